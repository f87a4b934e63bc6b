#include "app/screen/theme.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

double linear(std::uint8_t channel) {
  const double c = channel / 255.0;
  return c <= 0.04045 ? c / 12.92 : std::pow((c + 0.055) / 1.055, 2.4);
}

}  // namespace

double relative_luminance(Colour colour) {
  return 0.2126 * linear(colour.r) + 0.7152 * linear(colour.g) + 0.0722 * linear(colour.b);
}

double contrast_ratio(Colour a, Colour b) {
  const double la = relative_luminance(a);
  const double lb = relative_luminance(b);
  return (std::max(la, lb) + 0.05) / (std::min(la, lb) + 0.05);
}

// A 10-inch screen of 16 : 9 is 124.5 mm high, the lowest of the usual ones; on 16 : 10 everything is 8 % larger.
Scale::Scale(int width_px, int height_px) {
  constexpr double kShortSide_mm = 124.5;
  // What the rows of the readout need across, beside a picture that is still worth looking at.
  constexpr double kLandscapeWidth_mm = 190.0;
  constexpr double kPortraitHeight_mm = 205.0;
  px_per_mm_ = height_px > width_px ? std::min(width_px / kShortSide_mm, height_px / kPortraitHeight_mm)
                                    : std::min(height_px / kShortSide_mm, width_px / kLandscapeWidth_mm);
}

float Scale::mm(double mm) const { return std::max(1.0F, static_cast<float>(mm * px_per_mm_)); }

}  // namespace app
