#include "app/screen/picture_region.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace app {
namespace {

// Room around the outermost mark, as a share of the part's larger side.
constexpr double kRoom = 0.03;

cv::Rect2d bounds(const std::vector<cv::Point2d>& points) {
  double left = 1e9, top = 1e9, right = -1e9, bottom = -1e9;
  for (const cv::Point2d& p : points) {
    if (!std::isfinite(p.x) || !std::isfinite(p.y)) continue;
    left = std::min(left, p.x);
    right = std::max(right, p.x);
    top = std::min(top, p.y);
    bottom = std::max(bottom, p.y);
  }
  return right > left && bottom > top ? cv::Rect2d(left, top, right - left, bottom - top) : cv::Rect2d();
}

// The board's y axis as it runs in the picture, as quarter turns that bring it upright. Degrees off upright decide.
double degrees_off_upright(const vision::Station& station, const vision::CameraPose& pose) {
  const cv::Point2d foot = vision::image_from_board(station.lens, pose, {0.0, 0.0, 0.0});
  const cv::Point2d away = vision::image_from_board(station.lens, pose, {0.0, 50.0, 0.0}) - foot;
  return std::atan2(away.x, -away.y) * vision::kDegPerRad;  // clockwise positive: y axis points to the right at 90
}

}  // namespace

SDL_FPoint PictureRegion::to_screen(cv::Point2d image_px) const {
  // Shares of the crop, 0..1.
  const double u = (image_px.x + 0.5 - crop.x) / crop.width;
  const double v = (image_px.y + 0.5 - crop.y) / crop.height;
  double x = u, y = v;
  switch (quarter_turns) {
    case 1:
      x = 1.0 - v, y = u;
      break;
    case 2:
      x = 1.0 - u, y = 1.0 - v;
      break;
    case 3:
      x = v, y = 1.0 - u;
      break;
    default:
      break;
  }
  return {static_cast<float>(screen.x + x * screen.w), static_cast<float>(screen.y + y * screen.h)};
}

cv::Point2d PictureRegion::to_image(SDL_FPoint at) const {
  const double x = (static_cast<double>(at.x) - screen.x) / screen.w;
  const double y = (static_cast<double>(at.y) - screen.y) / screen.h;
  double u = x, v = y;
  switch (quarter_turns) {
    case 1:
      u = y, v = 1.0 - x;
      break;
    case 2:
      u = 1.0 - x, v = 1.0 - y;
      break;
    case 3:
      u = 1.0 - y, v = x;
      break;
    default:
      break;
  }
  return {crop.x + u * crop.width - 0.5, crop.y + v * crop.height - 0.5};
}

PictureRegion fit_region(cv::Size frame, cv::Rect2d wanted, int quarter_turns, const SDL_FRect& area) {
  PictureRegion region;
  region.quarter_turns = quarter_turns & 3;
  const bool sideways = (region.quarter_turns & 1) != 0;
  const double aspect = sideways ? static_cast<double>(area.h) / static_cast<double>(area.w)
                                 : static_cast<double>(area.w) / static_cast<double>(area.h);
  if (wanted.empty()) wanted = cv::Rect2d(0.0, 0.0, frame.width, frame.height);
  const cv::Point2d centre(wanted.x + wanted.width / 2.0, wanted.y + wanted.height / 2.0);
  double width = std::max(wanted.width, wanted.height * aspect);
  double height = std::max(wanted.height, wanted.width / aspect);
  width = std::clamp(width, 16.0, static_cast<double>(frame.width));
  height = std::clamp(height, 16.0, static_cast<double>(frame.height));
  const double x = std::clamp(centre.x - width / 2.0, 0.0, frame.width - width);
  const double y = std::clamp(centre.y - height / 2.0, 0.0, frame.height - height);
  region.crop = cv::Rect(cvRound(x), cvRound(y), cvRound(width), cvRound(height)) & cv::Rect({0, 0}, frame);

  return laid_into(region, area);
}

PictureRegion laid_into(PictureRegion region, const SDL_FRect& area) {
  const bool sideways = (region.quarter_turns & 1) != 0;
  const double shown_w = sideways ? region.crop.height : region.crop.width;
  const double shown_h = sideways ? region.crop.width : region.crop.height;
  const double zoom = std::min(static_cast<double>(area.w) / shown_w, static_cast<double>(area.h) / shown_h);
  region.screen.w = std::max(1, static_cast<int>(shown_w * zoom + 1e-6));
  region.screen.h = std::max(1, static_cast<int>(shown_h * zoom + 1e-6));
  region.screen.x = static_cast<int>(area.x + (area.w - static_cast<float>(region.screen.w)) / 2.0F);
  region.screen.y = static_cast<int>(area.y + (area.h - static_cast<float>(region.screen.h)) / 2.0F);
  return region;
}

void RegionChooser::update(const vision::Station& station, const vision::FrameResult& result) {
  if (!result.camera_from_board) return;
  const vision::CameraPose& pose = *result.camera_from_board;
  std::vector<cv::Point2d> points(result.outer_px);
  for (const vision::BoardMark& mark : station.board_marks) {
    const double reach = 0.75 * mark.size_mm;  // the white border and a turned corner
    for (const auto& [sx, sy] : {std::pair{-1, -1}, {1, -1}, {1, 1}, {-1, 1}}) {
      points.push_back(
          vision::image_from_board(station.lens, pose, {mark.x_mm + sx * reach, mark.y_mm + sy * reach, 0.0}));
    }
  }
  cv::Rect2d now = bounds(points);
  if (now.empty()) return;
  const double room = kRoom * std::max(now.width, now.height);
  now = cv::Rect2d(now.x - room, now.y - room, now.width + 2.0 * room, now.height + 2.0 * room);
  const double limit = 0.05 * std::max(wanted_.width, wanted_.height);
  const bool moved = wanted_.empty() || std::abs(now.x - wanted_.x) > limit || std::abs(now.y - wanted_.y) > limit ||
                     std::abs(now.br().x - wanted_.br().x) > limit || std::abs(now.br().y - wanted_.br().y) > limit;
  if (moved) wanted_ = now;

  const double off = degrees_off_upright(station, pose) + 90.0 * quarter_turns_;
  const double wrapped = std::remainder(off, 360.0);
  if (std::abs(wrapped) > 60.0) {
    quarter_turns_ = (quarter_turns_ - static_cast<int>(std::lround(wrapped / 90.0)) + 8) % 4;
  }
}

cv::Rect2d RegionChooser::wanted(cv::Size frame) const {
  return wanted_.empty() ? cv::Rect2d(0.0, 0.0, frame.width, frame.height)
                         : wanted_ & cv::Rect2d(0.0, 0.0, frame.width, frame.height);
}

}  // namespace app
