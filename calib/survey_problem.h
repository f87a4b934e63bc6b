// The survey's material sorted for the adjustment: corners in normalised coordinates, marks by index, what is in use.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "calib/survey_board.h"

namespace calib {

struct SheetCorner {
  cv::Point2d in_sheet_mm;  // true mm
  cv::Point2d image_px;
  cv::Point2d normalised;
  double sigma = 0.0;  // normalised coordinates
  bool in_use = true;
};

struct MarkSight {
  int mark = 0;  // index into SurveyProblem::ids
  std::array<cv::Point2d, 4> image_px;
  std::array<cv::Point2d, 4> normalised;
  double sigma = 0.0;
};

struct PictureSights {
  std::vector<SheetCorner> corners;
  std::vector<MarkSight> marks;  // each mark once
};

struct SurveyProblem {
  vision::Lens lens;
  SurveyOptions options;
  double print_scale = 1.0;
  double mark_size_mm = kBoardMarkSizeMm;  // true mm
  std::vector<int> ids;                    // of the marks, ascending
  std::vector<char> twice;                 // alongside: seen at two places in one picture
  std::vector<PictureSights> pictures;     // as given

  double focal_px() const { return 0.5 * (lens.fx + lens.fy); }
};

// A mark whose number is seen twice in one picture is left out of that picture.
SurveyProblem survey_problem(const std::vector<SurveyPicture>& pictures, const vision::Lens& lens, double print_scale,
                             const SurveyOptions& options);

// Corner k of a mark in its own frame, mm: top-left, top-right, bottom-right, bottom-left.
cv::Point2d mark_corner(int k, double size_mm);

}  // namespace calib
