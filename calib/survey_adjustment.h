// The joint least squares of the survey. Unknown: every camera, every sheet's pose and unflatness, every mark's place
// and the swelling of its black square. Residuals in normalised image coordinates.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "calib/survey_problem.h"

namespace calib {

// The plane of the marks is z = 0; the sheet's face lies over it by the paper's thickness and what is estimated here,
// mm at u = x/100 mm, v = y/100 mm of the sheet: height + tilt . (u, v) + bend . (u u, u v, v v).
struct SheetState {
  vision::Pose2 board_from_sheet;
  std::array<double, 6> lift{};  // height, tilt x, tilt y, bend xx, xy, yy
};

struct MarkState {
  vision::Pose2 board_from_mark;
  double swell_mm = 0.0;
  std::array<cv::Point2d, 4> bias_px{};  // by which a corner is found off its place in every picture alike
  bool in_use = true;
};

struct SurveyState {
  std::vector<vision::CameraPose> cameras;
  std::vector<int> camera_of;      // picture -> camera, -1 when the picture is not used
  std::vector<SheetState> sheets;  // picture -> sheet
  std::vector<MarkState> marks;    // alongside SurveyProblem::ids
  int datum = 0;                   // the picture whose sheet has a fixed pose
};

// Heights over the sheet's own plane, sheet frame.
double sheet_lift(const SheetState& sheet, cv::Point2d in_sheet_mm);
// Its derivatives by `lift`.
std::array<double, 6> sheet_lift_slopes(cv::Point2d in_sheet_mm);

struct Adjustment {
  double chi2 = 0.0;  // with the terms of what is known beforehand
  double dof = 0.0;
  cv::Mat1d covariance;  // of all parameters, k = 1
  // Where each one's parameters begin in it: camera 6 (turn rad, shift mm), sheet 3 (x, y, rad; -1 for the datum's),
  // lift 6, mark 12 (x, y, rad, swell, biases; -1 for one not in use).
  std::vector<int> camera_at, sheet_at, lift_at, mark_at;

  double sigma0() const;
};

// Gauss-Newton from a good start; `state` is improved in place. The covariance is that of the corners' scatter where
// this exceeds their sigma, and of what is taken for granted: the flatness and the lens. Throws SurveyError when the
// material does not determine the unknowns.
Adjustment adjust(const SurveyProblem& problem, SurveyState& state);

}  // namespace calib
