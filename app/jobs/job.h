// A job: what is hooped, with which hoop, how well.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/nudge.h"

namespace app {

// Where a design goes on a garment: words that people measure by, such as "down from the shoulder seam".
struct GarmentPlace {
  std::string name;                 // "left chest"; empty: not said
  std::optional<double> down_mm;    // from the place's first reference; what these are stands in the guide of places
  std::optional<double> across_mm;  // from its second reference
  bool operator==(const GarmentPlace&) const = default;
};

// A sticker at a known place of the design: design frame (its centre, x right, y to its top), mm; turn of its arrow
// from the design's top, counter-clockwise.
struct PlacedSticker {
  int number = 0;
  cv::Point2d at_mm;
  double turn_deg = 0.0;
  bool operator==(const PlacedSticker&) const = default;
};

struct Job {
  std::string name;           // unique
  std::optional<int> ticket;  // tag 480..586, unique, no operator's badge
  std::string garment;        // "polo, adult"
  std::string cloth;          // a name of the cloth guide; empty: not said
  GarmentPlace place;
  std::string stabilizer, topping, way;  // empty: as the cloth guide proposes; the topping "none" is none
  std::string hoop;                      // the taught hoop's name; empty: any
  std::string machine;                   // a machine's name; empty: the station's
  std::vector<int> stickers;             // numbers that belong to it, one a piece, on the design's centre; empty: any
  // Two or more: all of these lie on every piece; then `stickers` is empty. One: a sticker that is not at the centre.
  std::vector<PlacedSticker> placed_stickers;
  Tolerance tolerance;
  std::optional<double> stretch_limit_percent;  // left out: what the cloth guide says
  std::optional<cv::Size2d> design_mm;          // width, height, about the design's centre
  std::string design_file;                      // an SVG drawing, beside the job's file or with its whole path
  int pieces = 0;                               // wanted; 0: not said
  std::string note;                             // for the operator, one line
};

}  // namespace app
