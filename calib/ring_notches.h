// The four notches of a ring whose outlines are known but not its north.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/plane_view.h"
#include "vision/station.h"

namespace calib {

struct GrooveAt {
  bool found = false;
  cv::Point2d at_mm;  // on the inner outline; where one should be when none was found
  int teeth = 0;      // 0 where they cannot be told
  double sigma_mm = 0.0;
};

// How groove-like the rim is along the inner outline, a value every kGrooveStepMm: 0 to about 1 within a notch's reach.
inline constexpr double kGrooveStepMm = 0.5;

// Grooves at four places a quarter turn apart, counter-clockwise from +x. Where the outline has axes (`along_axes`)
// near these, otherwise (round) at the turn at which four grooves show best. Outlines in a frame of their own, whose
// view at rim height is given.
std::array<GrooveAt, 4> four_grooves(const cv::Mat& grey, const vision::PlaneView& view,
                                     const std::vector<cv::Point2d>& inner_mm, const std::vector<cv::Point2d>& outer_mm,
                                     bool along_axes);

// The groove within reach_mm of a place on the inner outline.
GrooveAt groove_near(const cv::Mat& grey, const vision::PlaneView& view, const std::vector<cv::Point2d>& inner_mm,
                     const std::vector<cv::Point2d>& outer_mm, cv::Point2d place_mm, double reach_mm);

}  // namespace calib
