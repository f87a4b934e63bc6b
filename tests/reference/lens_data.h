// Published photographs and corners of calibration sheets (refdata zhang, bouguet_stereo).
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "calib/lens_fit.h"

namespace reference {

// Zhang's corners of picture 1 to 5, as he measured them: 64 squares of four corners; in inches.
calib::LensPicture zhang_corners(const std::filesystem::path& folder, int picture);

// The same corners measured here in his photograph, from a start at his rounded to whole pixels. `missing`: corners
// that the fit refused.
calib::LensPicture zhang_photograph(const std::filesystem::path& folder, int picture, int* missing);

// The 9 x 6 inner corners of one of the chessboard photographs left01..14, right01..14 (10 was never there), squares of
// 30 mm. Found by OpenCV, then measured here, or by OpenCV's cornerSubPix with this half window.
calib::LensPicture bouguet_photograph(const std::filesystem::path& folder, const std::string& name,
                                      int half_window = 0);
std::vector<std::string> bouguet_names(const std::string& side);

}  // namespace reference
