// What is wrong with a mark, judged with the adjusted cameras: each picture alone tells a place for it.
#pragma once

#include "calib/survey_adjustment.h"

namespace calib {

struct MarkVerdict {
  MarkFault fault = MarkFault::none;
  double score = 0.0;  // how far over its limit the worst finding is; above 1 is a fault
  int pictures = 0;
  std::vector<int> moved_in;
  double moved_mm = 0.0;
  double bend_mm = 0.0, u_bend_mm = 0.0;
  double height_mm = 0.0, u_height_mm = 0.0;
  vision::Pose2 board_from_mark;  // where most pictures see it
  double swell_mm = 0.0;
};

// Alongside SurveyProblem::ids, marks in use or not.
std::vector<MarkVerdict> judge_marks(const SurveyProblem& problem, const SurveyState& state);
// The middle one of the swellings of the marks that were seen.
double usual_swell_mm(const std::vector<MarkVerdict>& verdicts);

}  // namespace calib
