#include "tests/bench/sticker_on_board.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/calib3d.hpp>

#include "vision/fits.h"

namespace bench {
namespace {

// The sticker as the design page prints it, mm.
constexpr double kTagCentreMm = 12.5, kTagSideMm = 12.0;

// Corners of an upright tag: top-left, top-right, bottom-right, bottom-left.
std::array<cv::Point2d, 4> tag_corners(const vision::Pose2& parent_from_tag, double side_mm) {
  const double h = 0.5 * side_mm;
  std::array<cv::Point2d, 4> corners{cv::Point2d{-h, h}, {h, h}, {h, -h}, {-h, -h}};
  for (cv::Point2d& p : corners) p = vision::apply(parent_from_tag, p);
  return corners;
}

struct Lens {
  cv::Matx33d matrix;
  std::vector<double> distortion;
};

Lens opencv_lens(const vision::Lens& lens) {
  return {cv::Matx33d(lens.fx, 0.0, lens.cx, 0.0, lens.fy, lens.cy, 0.0, 0.0, 1.0),
          {lens.distortion.begin(), lens.distortion.end()}};
}

struct BoardPose {
  cv::Matx33d rotation;
  cv::Vec3d translation;
};

std::optional<BoardPose> board_pose(const PeerTags& tags, const vision::Station& station, const Lens& lens) {
  std::vector<cv::Point3d> in_board;
  std::vector<cv::Point2d> in_image;
  for (const PeerTag& tag : tags) {
    const auto mark = std::find_if(station.board_marks.begin(), station.board_marks.end(),
                                   [&](const vision::BoardMark& m) { return m.id == tag.id; });
    if (mark == station.board_marks.end()) continue;
    const auto corners = tag_corners({{mark->x_mm, mark->y_mm}, mark->angle_deg * vision::kRadPerDeg}, mark->size_mm);
    for (std::size_t k = 0; k < 4; ++k) {
      in_board.emplace_back(corners[k].x, corners[k].y, 0.0);
      in_image.push_back(tag.corners_px[k]);
    }
  }
  if (in_board.size() < 3 * 4) return std::nullopt;
  cv::Vec3d turn, translation;
  if (!cv::solvePnP(in_board, in_image, lens.matrix, lens.distortion, turn, translation)) return std::nullopt;
  BoardPose pose;
  cv::Rodrigues(turn, pose.rotation);
  pose.translation = translation;
  return pose;
}

cv::Point2d at_height(const BoardPose& pose, const Lens& lens, cv::Point2d image_px, double height_mm) {
  std::vector<cv::Point2d> normalised;
  cv::undistortPoints(std::vector<cv::Point2d>{image_px}, normalised, lens.matrix, lens.distortion, cv::noArray(),
                      cv::noArray(), cv::TermCriteria(cv::TermCriteria::COUNT | cv::TermCriteria::EPS, 50, 1e-12));
  const cv::Vec3d centre = -(pose.rotation.t() * pose.translation);
  const cv::Vec3d ray = pose.rotation.t() * cv::Vec3d(normalised[0].x, normalised[0].y, 1.0);
  const double along = (height_mm - centre[2]) / ray[2];
  return {centre[0] + along * ray[0], centre[1] + along * ray[1]};
}

}  // namespace

std::optional<vision::Pose2> sticker_on_board(const PeerTags& tags, const vision::Station& station,
                                              double cloth_height_mm, int sticker_number) {
  const Lens lens = opencv_lens(station.lens);
  const std::optional<BoardPose> pose = board_pose(tags, station, lens);
  if (!pose) return std::nullopt;
  std::vector<cv::Point2d> in_sticker, in_board;
  for (const PeerTag& tag : tags) {
    const int place = tag.id - 4 * sticker_number;  // north-west, north-east, south-east, south-west
    if (place < 0 || place > 3) continue;
    const vision::Pose2 at{
        {place == 0 || place == 3 ? -kTagCentreMm : kTagCentreMm, place < 2 ? kTagCentreMm : -kTagCentreMm}, 0.0};
    const auto corners = tag_corners(at, kTagSideMm);
    for (std::size_t k = 0; k < 4; ++k) {
      in_sticker.push_back(corners[k]);
      in_board.push_back(at_height(*pose, lens, tag.corners_px[k], cloth_height_mm));
    }
  }
  if (in_sticker.size() < 2 * 4) return std::nullopt;
  const vision::RigidFit fit = vision::fit_rigid(in_sticker, in_board);
  if (fit.status != vision::FitStatus::ok) return std::nullopt;
  return fit.a_from_b;
}

}  // namespace bench
