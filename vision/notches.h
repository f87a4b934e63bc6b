// The reference notches: grooves cut from the inner outline into the rim's face. Each is looked for by itself.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/plane_view.h"
#include "vision/station.h"

namespace vision {

// A place along the inner outline, hoop frame: t_mm counter-clockwise along it.
struct RimPlace {
  cv::Point2d at_mm;
  cv::Point2d outward;
};

inline constexpr double kNotchStepMm = 0.25;
inline constexpr int kNotchHalfColumns = 40;  // 10 mm to either side
inline constexpr int kNotchColumns = 2 * kNotchHalfColumns + 1;

// The stretch of rim around one notch, column kNotchHalfColumns being where it was taught.
struct NotchSite {
  std::array<RimPlace, kNotchColumns> places;
  double depth_mm = 2.6;  // how far into the rim to look
};

// Four sites in the order of kSides.
std::array<NotchSite, 4> notch_sites(const Hoop& hoop);

struct FoundNotch {
  bool looked = false;  // its stretch of rim is in the frame
  bool found = false;
  bool clear_rim = false;  // nothing was found on a rim that is clearly to be seen: there is no notch here
  int teeth = 0;           // 1 or more grooves side by side; 0 when it cannot be told
  double shift_mm = 0.0;   // along the outline, counter-clockwise, from where it was expected
  double sigma_mm = 0.0;
};

// The notch of a site within reach_mm of its expected place, the view being that of the hoop frame at rim height.
// The grooves' faces may be darker or brighter than the rim: what counts is that they differ from it, saturated, so
// that a shaded face weighs no more than a lit one. The middle is the centre of mirror symmetry.
FoundNotch find_notch(const cv::Mat& grey, const PlaneView& view, const NotchSite& site, double reach_mm);

}  // namespace vision
