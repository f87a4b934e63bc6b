// The observations of the survey's adjustment: each corner's residual and how it moves with the unknowns.
#pragma once

#include <array>

#include "calib/survey_adjustment.h"

namespace calib {

// One corner's two residuals with the parameters that move them.
struct SurveyRow {
  std::array<int, 15> at{};
  std::array<cv::Point2d, 15> slope{};  // of the predicted point
  int count = 0;
  cv::Point2d error;  // seen minus predicted
  double weight = 0.0;
  cv::Point2d height_slope;  // of the predicted point by the point's height

  void add(int index, cv::Point2d by) {
    at[static_cast<std::size_t>(count)] = index;
    slope[static_cast<std::size_t>(count++)] = by;
  }
};

// Corner of the sheet, or corner k of a mark in use, as one picture shows it. `places`: where the parameters are.
// Throw SurveyError where the point would lie behind the camera.
SurveyRow sheet_row(const SurveyProblem& problem, const SurveyState& state, const Adjustment& places,
                    std::size_t picture, const SheetCorner& corner);
SurveyRow mark_row(const SurveyProblem& problem, const SurveyState& state, const Adjustment& places,
                   std::size_t picture, const MarkSight& sight, std::size_t k);

}  // namespace calib
