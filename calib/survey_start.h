// Where the survey's adjustment starts: each picture's camera over its own sheet, and the pictures laid onto one
// another by the marks that most of them agree on.
#pragma once

#include <optional>

#include "calib/survey_adjustment.h"

namespace calib {

// The camera over the sheet (chart frame in true mm, z = 0 on its face) from the sheet's corners alone; corners that do
// not fit are taken out of use. Nothing where they do not determine it.
std::optional<vision::CameraPose> camera_over_sheet(PictureSights& picture);

// A mark's place as one picture shows it, its corners cut with the plane z = height_mm and freed of an even swelling.
struct MarkPlace {
  vision::Pose2 pose;
  double swell_mm = 0.0;
  std::array<cv::Point2d, 4> off_mm;  // corners minus the fitted square's, mark frame
};
std::optional<MarkPlace> mark_place(const MarkSight& sight, const vision::CameraPose& camera, double height_mm,
                                    double mark_size_mm);

struct SurveyStart {
  SurveyState state;            // one camera a picture
  std::vector<PictureUse> use;  // alongside the pictures
};

// Throws SurveyError when no picture can be used.
SurveyStart survey_start(SurveyProblem& problem);

}  // namespace calib
