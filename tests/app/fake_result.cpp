#include "tests/app/fake_result.h"

#include <cmath>

namespace fake {
namespace {

std::vector<cv::Point2d> rounded_box(double half_w, double half_h, double radius) {
  std::vector<cv::Point2d> points;
  const std::array<cv::Point2d, 4> centres{{{half_w - radius, half_h - radius},
                                            {-half_w + radius, half_h - radius},
                                            {-half_w + radius, -half_h + radius},
                                            {half_w - radius, -half_h + radius}}};
  for (int corner = 0; corner < 4; ++corner) {
    for (int i = 0; i <= 16; ++i) {
      const double a = (90.0 * corner + 90.0 * i / 16) * vision::kRadPerDeg;
      points.push_back(centres[static_cast<std::size_t>(corner)] + radius * cv::Point2d(std::cos(a), std::sin(a)));
    }
  }
  return points;
}

}  // namespace

vision::Station station() {
  vision::Station s;
  s.lens.width_px = 2304;
  s.lens.height_px = 1296;
  s.lens.fx = s.lens.fy = 2246.0;
  s.lens.cx = 1152.0;
  s.lens.cy = 648.0;
  int id = 400;
  for (double x : {-190.0, 190.0}) {
    for (double y : {-142.0, 0.0, 142.0}) s.board_marks.push_back({id++, x, y, 0.0, 30.0});
  }
  return s;
}

vision::Hoop hoop() {
  vision::Hoop h;
  h.name = "140 x 190";
  h.rim_height_mm = 11.0;
  h.cloth_height_mm = 1.0;
  h.field_mm = {130.0, 180.0};
  h.inner_mm = rounded_box(70.0, 95.0, 25.0);
  h.outer_mm = rounded_box(76.0, 101.0, 31.0);
  const std::array<cv::Point2d, 4> at{{{0.0, 95.0}, {70.0, 0.0}, {0.0, -95.0}, {-70.0, 0.0}}};
  for (std::size_t i = 0; i < 4; ++i) h.notches[i] = {vision::kSides[i], at[i], i == 0 ? 2 : 1};
  return h;
}

vision::CameraPose straight_down() {
  vision::CameraPose pose;
  pose.rotation = cv::Matx33d(1, 0, 0, 0, -1, 0, 0, 0, -1);
  pose.translation_mm = {0.0, 0.0, 650.0};
  return pose;
}

vision::FrameResult no_reading(const vision::Station& station, const vision::CameraPose& pose, vision::Status status) {
  vision::FrameResult r;
  r.status = status;
  r.camera_from_board = pose;
  for (const vision::BoardMark& mark : station.board_marks) {
    vision::SeenTag tag;
    tag.id = mark.id;
    const double h = mark.size_mm / 2.0;
    const std::array<cv::Point2d, 4> corners{{{-h, h}, {h, h}, {h, -h}, {-h, -h}}};
    for (std::size_t i = 0; i < 4; ++i) {
      tag.corners_px[i] =
          vision::image_from_board(station.lens, pose, {mark.x_mm + corners[i].x, mark.y_mm + corners[i].y, 0.0});
    }
    r.board_marks.push_back(tag);
  }
  return r;
}

vision::FrameResult result(const vision::Station& station, const vision::Hoop& hoop, const vision::CameraPose& pose,
                           const vision::Pose2& board_from_hoop, double offset_x_mm, double offset_y_mm,
                           double rotation_deg) {
  vision::FrameResult r = no_reading(station, pose, vision::Status::ok);
  r.board_from_hoop = board_from_hoop;
  const auto image = [&](const vision::Pose2& board_from_a, cv::Point2d p, double height_mm) {
    const cv::Point2d b = vision::apply(board_from_a, p);
    return vision::image_from_board(station.lens, pose, {b.x, b.y, height_mm});
  };
  for (const cv::Point2d& p : hoop.inner_mm) r.inner_px.push_back(image(board_from_hoop, p, hoop.rim_height_mm));
  for (const cv::Point2d& p : hoop.outer_mm) r.outer_px.push_back(image(board_from_hoop, p, hoop.rim_height_mm));
  for (std::size_t i = 0; i < 4; ++i) {
    r.notches[i] = {vision::kSides[i], true, image(board_from_hoop, hoop.notches[i].at_mm, hoop.rim_height_mm)};
  }
  r.notches_seen = 4;
  r.ring_support = 1.0;

  vision::SeenSticker s;
  s.number = 7;
  s.tags_seen = 4;
  s.board_from_sticker =
      vision::compose(board_from_hoop, {{offset_x_mm, offset_y_mm}, rotation_deg * vision::kRadPerDeg});
  const std::array<cv::Point2d, 4> paper{{{-22.0, 22.0}, {22.0, 22.0}, {22.0, -22.0}, {-22.0, -22.0}}};
  for (std::size_t i = 0; i < 4; ++i) {
    s.outline_px[i] = image(s.board_from_sticker, paper[i], hoop.cloth_height_mm);
  }
  s.centre_px = image(s.board_from_sticker, {0.0, 0.0}, hoop.cloth_height_mm);
  s.arrow_px = image(s.board_from_sticker, {0.0, 15.0}, hoop.cloth_height_mm);
  r.stickers.push_back(s);

  vision::Reading reading;
  reading.offset_x_mm = offset_x_mm;
  reading.offset_y_mm = offset_y_mm;
  reading.rotation_deg = rotation_deg;
  reading.u_offset_mm = 0.06;
  reading.u_rotation_deg = 0.04;
  r.reading = reading;
  return r;
}

}  // namespace fake
