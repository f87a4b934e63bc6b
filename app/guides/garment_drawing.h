// A simple line drawing of a garment with the design at its place, for sheet and screen: to scale as far as the
// garment's width is known about; the design and its place are to the same scale.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/guides/place_guide.h"
#include "app/jobs/job.h"

namespace app {

// Frame: mm, x to the viewer's right, y up, as the garment hangs before the eye; the origin is its middle line at the
// height that `down` is measured from.
struct GarmentDrawing {
  using Line = std::vector<cv::Point2d>;  // open; closed where the first point comes again at the end
  struct Dimension {
    cv::Point2d from, to;           // the measured ends, along one axis
    std::vector<Line> extensions;   // from the ends to what they belong to
    std::optional<double> said_mm;  // what the job says; nothing: the guide's middle is drawn
  };
  std::vector<Line> outlines, seams;
  std::optional<Line> middle;             // the line that `across` is measured from
  cv::Point2d centre;                     // the design's
  std::optional<cv::Size2d> design_mm;    // its box, about the centre
  std::optional<Dimension> down, across;  // across: only off the middle line
  cv::Rect2d box;                         // of all of it (y up: the rectangle's y is its lower edge)
};

// Nothing where the guide does not know the place. What the job does not say is drawn at the middle of the guide's
// range, and has no said_mm.
std::optional<GarmentDrawing> garment_drawing(const Job& job, const PlaceGuide& guide,
                                              const std::optional<cv::Size2d>& design_mm);

}  // namespace app
