// One camera's lens from pictures of the calibration sheet: start, distortion model by evidence, bundle adjustment,
// outliers removed and named, uncertainty.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "calib/chart_finder.h"
#include "calib/lens_adjust.h"

namespace calib {

enum class LensFault {
  none,
  too_few_pictures,   // with enough corners each
  too_flat,           // the sheet was not tilted enough, or not near the rim, to tell the parameters apart
  pictures_disagree,  // more than a third of the pictures would have to be left out
  not_a_lens,         // the result is none that a camera has
};
// What to do about it; empty for none.
std::string advice(LensFault fault);

struct LensFitOptions {
  std::optional<LensModel> model;   // nothing: chosen by cross-validation
  std::size_t fewest_pictures = 6;  // two is what the equations need
  std::size_t fewest_corners = 12;  // of a picture; one with fewer is left out, and named
  bool remove_pictures = true;      // that fit much worse than the others, worst first
  bool robust = true;               // single corners that lie far off do not count; false: all count alike
};

// How one picture came out; in the order given.
struct LensPictureFit {
  std::string name;
  bool used = false;
  std::string why;                        // where it was not used
  vision::CameraPose camera_from_sheet;   // without a covariance
  std::vector<cv::Point2d> residuals_px;  // measured - computed, of all its corners
  std::vector<bool> corner_used;          // false: this corner alone was off
  double rms_px = 0.0;                    // of the distances of all its corners
};

// How well a model foretells corners of pictures that it was not fitted to.
struct LensModelScore {
  LensModel model = LensModel::none;
  double rms_px = 0.0;
  bool fitted = false;
};

struct LensFit {
  LensFault fault = LensFault::too_few_pictures;
  // With the covariance of all nine parameters (zeros for what the model does not have): standard uncertainties are
  // the roots of its diagonal. It assumes independent corner errors, of the size that the residuals show. What all
  // pictures share, such as a sheet that is not flat or not to scale in both directions alike, is not in it.
  vision::Lens lens;
  LensModel model = LensModel::none;
  std::vector<LensModelScore> scores;     // where the model was chosen
  double rms_px = 0.0;                    // of the distances of the corners used
  std::size_t corners = 0, pictures = 0;  // used
  std::vector<LensPictureFit> each;
};

// Deterministic. Throws nothing for what the pictures hold.
LensFit fit_lens(const std::vector<LensPicture>& pictures, cv::Size size_px, const LensFitOptions& options = {});

// Standard uncertainty of a parameter (index as in vision::Lens::covariance); 0 without a covariance.
double standard_uncertainty(const vision::Lens& lens, std::size_t index);

// The sheet as seen, as a picture for the fit. print_scale: true mm a printed mm.
LensPicture lens_picture(const SeenChart& chart, const std::string& name, double print_scale = 1.0);

}  // namespace calib
