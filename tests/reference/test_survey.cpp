// The survey's adjustment against others' poses: OpenCV's solvePnP on the same corners, and the five poses that Zhang
// published for his photographs (IEEE TPAMI 22(11), 2000; his result file).
#include <cmath>
#include <fstream>
#include <opencv2/calib3d.hpp>

#include "calib/survey_adjustment.h"
#include "calib/survey_start.h"
#include "tests/calib/survey_scene.h"
#include "tests/catch.h"
#include "tests/reference/lens_data.h"
#include "tests/reference/shared_folder.h"

using namespace calib;

namespace {

// Flat sheets, so that the adjustment's model is the others'.
SurveyOptions flat() {
  SurveyOptions options;
  options.paper_thickness_mm = 0.0;
  options.sheet_height_u_mm = options.sheet_tilt_u_mm = options.sheet_bend_u_mm = 1e-7;
  options.mark_height_u_mm = 0.0;
  return options;
}

// One picture of a plane without marks.
vision::CameraPose resection(SurveyProblem problem) {
  PictureSights& picture = problem.pictures.front();
  const auto start = camera_over_sheet(picture);
  REQUIRE(start);
  for (SheetCorner& corner : picture.corners) corner.in_use = true;
  SurveyState state;
  state.cameras = {*start};
  state.camera_of = {0};
  state.sheets.resize(1);
  adjust(problem, state);
  return state.cameras.front();
}

// Rotation vector (rad) and translation between two poses.
cv::Vec6d difference(const cv::Matx33d& rotation, const cv::Vec3d& translation, const vision::CameraPose& pose) {
  cv::Vec3d turn;
  cv::Rodrigues(pose.rotation * rotation.t(), turn);
  const cv::Vec3d shift = pose.translation_mm - translation;
  return {turn[0], turn[1], turn[2], shift[0], shift[1], shift[2]};
}

}  // namespace

// Guarantees: one picture's camera is OpenCV's, to a small part of the uncertainty. Example failure: a wrong slope in
// the adjustment, which then stops beside the minimum.
TEST_CASE("a single picture's camera over the sheet is solvePnP's", "[reference][survey]") {
  std::mt19937 random(21);
  const vision::Lens lens = survey_scene::lens();
  const cv::Matx33d matrix(lens.fx, 0, lens.cx, 0, lens.fy, lens.cy, 0, 0, 1);
  const std::vector<double> distortion(lens.distortion.begin(), lens.distortion.end());
  for (int trial = 0; trial < 20; ++trial) {
    survey_scene::Scene scene = survey_scene::scene(random, 1);
    scene.cameras[0].tilt_x_deg += survey_scene::uniform(random, -15, 15);
    scene.cameras[0].tilt_y_deg += survey_scene::uniform(random, -15, 15);
    SurveyPicture picture = survey_scene::picture(scene, 0, random);
    picture.tags.clear();
    std::vector<cv::Point3d> on_sheet;
    std::vector<cv::Point2d> image;
    for (const ChartCorner& corner : picture.chart.corners) {
      const cv::Point2d p = chart_corner_mm(corner.id);
      on_sheet.emplace_back(p.x, p.y, 0.0);
      image.push_back(corner.image_px);
    }
    cv::Vec3d turn, translation;
    REQUIRE(cv::solvePnP(on_sheet, image, matrix, distortion, turn, translation));
    cv::Matx33d rotation;
    cv::Rodrigues(turn, rotation);
    const vision::CameraPose ours = resection(survey_problem({picture}, lens, 1.0, flat()));
    const cv::Vec6d apart = difference(rotation, translation, ours);
    for (int k = 0; k < 6; ++k) {
      CAPTURE(trial, k);
      CHECK(std::abs(apart[k]) <= 0.1 * std::sqrt(ours.covariance(k, k)));
    }
  }
}

// Guarantees: the poses behind real photographs, as their author published them. His corners, his lens, his axes' skew;
// lengths in his inches as millimetres times 25.4. He printed six digits.
TEST_CASE("Zhang's published poses come out of his corners", "[reference][survey]") {
  const auto folder = reference::shared_folder("refdata/zhang");
  if (!folder) return;
  std::ifstream file(*folder / "calibration-result-zhang-withdistortion.txt");
  double alpha = 0, gamma = 0, beta = 0, u0 = 0, v0 = 0, k1 = 0, k2 = 0;
  REQUIRE(file >> alpha >> gamma >> beta >> u0 >> v0 >> k1 >> k2);
  vision::Lens lens;
  lens.width_px = 640;
  lens.height_px = 480;
  lens.fx = alpha;
  lens.fy = beta;
  lens.cx = u0;
  lens.cy = v0;
  lens.distortion = {k1, k2, 0.0, 0.0, 0.0};
  for (int picture = 1; picture <= 5; ++picture) {
    cv::Matx33d rotation;
    cv::Vec3d translation;
    for (double& number : rotation.val) REQUIRE(file >> number);
    for (double& number : translation.val) REQUIRE(file >> number);
    const LensPicture corners = reference::zhang_corners(*folder, picture);
    SurveyProblem problem;
    problem.lens = lens;
    problem.options = flat();
    problem.pictures.resize(1);
    for (std::size_t i = 0; i < corners.image_px.size(); ++i) {
      SheetCorner corner;
      corner.in_sheet_mm = cv::Point2d(corners.in_sheet_mm[i]) * 25.4;
      corner.image_px = corners.image_px[i];
      corner.image_px.x -= gamma * (corners.image_px[i].y - v0) / beta;
      corner.normalised = vision::undistort(lens, corner.image_px);
      corner.sigma = 0.24 / problem.focal_px();  // 0.336 px a corner in his fit, in one coordinate
      problem.pictures[0].corners.push_back(corner);
    }
    const vision::CameraPose ours = resection(problem);
    const cv::Vec6d apart = difference(rotation, translation * 25.4, ours);
    for (int k = 0; k < 6; ++k) {
      CAPTURE(picture, k, apart[k], ours.covariance(k, k));
      CHECK(std::abs(apart[k]) <= 0.2 * std::sqrt(ours.covariance(k, k)));
    }
  }
}
