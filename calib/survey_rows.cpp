#include "calib/survey_rows.h"

#include <cmath>

namespace calib {
namespace {

struct Projection {
  cv::Point2d at;
  std::array<cv::Point2d, 6> by_camera;
  cv::Matx23d by_point;  // board frame
};

Projection project(const vision::CameraPose& pose, const cv::Vec3d& p_in_board) {
  const cv::Vec3d rotated = pose.rotation * p_in_board;
  const cv::Vec3d p = rotated + pose.translation_mm;
  if (!(p[2] > 1.0)) throw SurveyError("the pictures do not fit together: the board would lie behind the camera");
  const double iz = 1.0 / p[2], u = p[0] * iz, v = p[1] * iz;
  const cv::Vec3d du(iz, 0.0, -u * iz), dv(0.0, iz, -v * iz);
  const cv::Vec3d du_turn = rotated.cross(du), dv_turn = rotated.cross(dv);
  Projection out;
  out.at = {u, v};
  for (int k = 0; k < 3; ++k) {
    out.by_camera[static_cast<std::size_t>(k)] = {du_turn[k], dv_turn[k]};
    out.by_camera[static_cast<std::size_t>(k + 3)] = {du[k], dv[k]};
  }
  const cv::Vec3d bu = pose.rotation.t() * du, bv = pose.rotation.t() * dv;
  out.by_point = {bu[0], bu[1], bu[2], bv[0], bv[1], bv[2]};
  return out;
}

cv::Point2d along(const Projection& projection, const cv::Vec3d& shift) {
  const cv::Vec2d d = projection.by_point * shift;
  return {d[0], d[1]};
}

SurveyRow camera_row(const SurveyState& state, const Adjustment& places, std::size_t picture,
                     const Projection& projection, cv::Point2d seen, double sigma) {
  SurveyRow row;
  row.error = seen - projection.at;
  row.weight = 1.0 / (sigma * sigma);
  row.height_slope = along(projection, {0.0, 0.0, 1.0});
  const int at = places.camera_at[static_cast<std::size_t>(state.camera_of[picture])];
  for (int k = 0; k < 6; ++k) row.add(at + k, projection.by_camera[static_cast<std::size_t>(k)]);
  return row;
}

void add_pose(SurveyRow& row, int at, const Projection& projection, const vision::Pose2& pose, cv::Point2d in_own) {
  const double c = std::cos(pose.angle_rad), s = std::sin(pose.angle_rad);
  row.add(at, along(projection, {1.0, 0.0, 0.0}));
  row.add(at + 1, along(projection, {0.0, 1.0, 0.0}));
  row.add(at + 2, along(projection, {-s * in_own.x - c * in_own.y, c * in_own.x - s * in_own.y, 0.0}));
}

}  // namespace

SurveyRow sheet_row(const SurveyProblem& problem, const SurveyState& state, const Adjustment& places,
                    std::size_t picture, const SheetCorner& corner) {
  const SheetState& sheet = state.sheets[picture];
  const cv::Point2d p = vision::apply(sheet.board_from_sheet, corner.in_sheet_mm);
  const double z = problem.options.paper_thickness_mm + sheet_lift(sheet, corner.in_sheet_mm);
  const Projection projection =
      project(state.cameras[static_cast<std::size_t>(state.camera_of[picture])], {p.x, p.y, z});
  SurveyRow row = camera_row(state, places, picture, projection, corner.normalised, corner.sigma);
  const std::array<double, 6> slopes = sheet_lift_slopes(corner.in_sheet_mm);
  for (int k = 0; k < 6; ++k)
    row.add(places.lift_at[picture] + k, row.height_slope * slopes[static_cast<std::size_t>(k)]);
  if (places.sheet_at[picture] >= 0)
    add_pose(row, places.sheet_at[picture], projection, sheet.board_from_sheet, corner.in_sheet_mm);
  return row;
}

SurveyRow mark_row(const SurveyProblem& problem, const SurveyState& state, const Adjustment& places,
                   std::size_t picture, const MarkSight& sight, std::size_t k) {
  const MarkState& mark = state.marks[static_cast<std::size_t>(sight.mark)];
  const cv::Point2d in_mark = mark_corner(static_cast<int>(k), problem.mark_size_mm + 2.0 * mark.swell_mm);
  const cv::Point2d p = vision::apply(mark.board_from_mark, in_mark);
  const Projection projection =
      project(state.cameras[static_cast<std::size_t>(state.camera_of[picture])], {p.x, p.y, 0.0});
  SurveyRow row = camera_row(state, places, picture, projection, sight.normalised[k], sight.sigma);
  const int at = places.mark_at[static_cast<std::size_t>(sight.mark)];
  add_pose(row, at, projection, mark.board_from_mark, in_mark);
  const cv::Point2d outward =
      vision::apply({{0.0, 0.0}, mark.board_from_mark.angle_rad}, mark_corner(static_cast<int>(k), 2.0));
  row.add(at + 3, along(projection, {outward.x, outward.y, 0.0}));
  const double a_pixel = 1.0 / problem.focal_px();
  row.error -= mark.bias_px[k] * a_pixel;
  row.add(at + 4 + 2 * static_cast<int>(k), {a_pixel, 0.0});
  row.add(at + 5 + 2 * static_cast<int>(k), {0.0, a_pixel});
  return row;
}

}  // namespace calib
