#include "app/hoops/teach_picture.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/overlay.h"

namespace app {
namespace {

constexpr double kNotch_px = 14.0;
constexpr double kLetter_px = 70.0;  // outside the notch

std::vector<cv::Point2d> circle(cv::Point2d centre, double radius) {
  std::vector<cv::Point2d> out;
  for (int i = 0; i < 48; ++i) {
    const double angle = i * vision::kPi / 24.0;
    out.push_back(centre + radius * cv::Point2d(std::cos(angle), std::sin(angle)));
  }
  return out;
}

}  // namespace

cv::Mat draw_taught(const cv::Mat& grey, const vision::Station& station, const vision::CameraPose& camera_from_board,
                    const calib::TaughtRing& ring, const std::vector<std::string>& words, bool trouble) {
  constexpr std::array<const char*, 4> kNames{"NORTH", "E", "S", "W"};
  const calib::RingPicture picture = calib::picture_of(ring, station, camera_from_board);
  const double scale = std::max(0.3, grey.cols / 2304.0);
  const cv::Point2d origin = ring.board_from_hoop.origin_mm;
  const cv::Point2d centre =
      vision::image_from_board(station.lens, camera_from_board, {origin.x, origin.y, ring.hoop.rim_height_mm});
  OverlayShapes shapes;
  shapes.shapes.push_back({picture.inner_px, Tone::ring, true});
  shapes.shapes.push_back({picture.outer_px, Tone::ring, true});
  for (const cv::Point2d arm : {cv::Point2d(12.0, 0.0), cv::Point2d(0.0, 12.0)})
    shapes.shapes.push_back({{centre - scale * arm, centre + scale * arm}, Tone::field});
  for (std::size_t i = 0; i < picture.notch_px.size(); ++i) {
    const cv::Point2d at = picture.notch_px[i];
    const Tone tone = ring.notch_found[i] ? Tone::notch : Tone::missing;
    shapes.shapes.push_back({circle(at, kNotch_px * scale), tone, true, false, i == 0 ? 1.5 : 1.0});
    const cv::Point2d out = (at - centre) / std::max(1.0, cv::norm(at - centre));
    shapes.labels.push_back(
        {kNames[i] + std::string(ring.notch_found[i] ? "" : " ?"), at + scale * kLetter_px * out, tone});
  }
  return draw_overlay(grey, shapes, words, trouble);
}

}  // namespace app
