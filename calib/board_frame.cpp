#include "calib/board_frame.h"

#include <algorithm>
#include <cmath>

#include "vision/fits.h"

namespace calib {
namespace {

constexpr double kLeastApartMm = 10.0, kSamePlaceMm = 0.5;
constexpr std::size_t kFewestAgreeing = 3;

vision::Pose2 pose_of(const vision::BoardMark& mark) {
  return {{mark.x_mm, mark.y_mm}, mark.angle_deg * vision::kRadPerDeg};
}

struct Points {
  std::vector<cv::Point2d> from, to;
};

Points agreeing(const Points& all, const vision::Pose2& to_from) {
  Points out;
  for (std::size_t i = 0; i < all.from.size(); ++i) {
    if (!(cv::norm(vision::apply(to_from, all.from[i]) - all.to[i]) <= kSamePlaceMm)) continue;
    out.from.push_back(all.from[i]);
    out.to.push_back(all.to[i]);
  }
  return out;
}

}  // namespace

std::optional<vision::Pose2> frame_through(cv::Point2d origin, const std::optional<cv::Point2d>& toward) {
  double angle_rad = 0.0;
  if (toward) {
    const cv::Point2d way = *toward - origin;
    if (!(cv::norm(way) >= kLeastApartMm)) return std::nullopt;
    angle_rad = std::atan2(way.y, way.x);
  }
  return vision::inverse({origin, angle_rad});
}

void move_mark(vision::BoardMark& mark, const vision::Pose2& new_from_old) {
  const vision::Pose2 moved = vision::compose(new_from_old, pose_of(mark));
  mark.x_mm = moved.origin_mm.x;
  mark.y_mm = moved.origin_mm.y;
  mark.angle_deg = vision::wrapped_rad(moved.angle_rad) * vision::kDegPerRad;
}

void move_camera(vision::CameraPose& camera, const vision::Pose2& new_from_old) {
  const vision::Pose2 old_from_new = vision::inverse(new_from_old);
  const double c = std::cos(old_from_new.angle_rad), s = std::sin(old_from_new.angle_rad);
  camera.translation_mm += camera.rotation * cv::Vec3d(old_from_new.origin_mm.x, old_from_new.origin_mm.y, 0.0);
  camera.rotation = camera.rotation * cv::Matx33d(c, -s, 0, s, c, 0, 0, 0, 1);
}

void move_frame(vision::Station& station, const vision::Pose2& new_from_old) {
  for (vision::BoardMark& mark : station.board_marks) move_mark(mark, new_from_old);
  if (station.surveyed_camera) move_camera(*station.surveyed_camera, new_from_old);
}

std::optional<vision::Pose2> frame_of(const std::vector<vision::BoardMark>& onto,
                                      const std::vector<vision::BoardMark>& marks) {
  Points all;
  for (const vision::BoardMark& mark : marks) {
    const auto same = std::find_if(onto.begin(), onto.end(), [&](const auto& one) { return one.id == mark.id; });
    if (same == onto.end()) continue;
    all.from.push_back(pose_of(mark).origin_mm);
    all.to.push_back(pose_of(*same).origin_mm);
  }
  Points best;
  for (std::size_t a = 0; a < all.from.size(); ++a) {
    for (std::size_t b = a + 1; b < all.from.size(); ++b) {
      const vision::RigidFit fit =
          vision::fit_rigid(std::array{all.from[a], all.from[b]}, std::array{all.to[a], all.to[b]});
      if (fit.status != vision::FitStatus::ok) continue;
      Points agree = agreeing(all, fit.a_from_b);
      if (agree.from.size() > best.from.size()) best = std::move(agree);
    }
  }
  if (best.from.size() < kFewestAgreeing) return std::nullopt;
  const vision::RigidFit fit = vision::fit_rigid(best.from, best.to);
  return fit.status == vision::FitStatus::ok ? std::optional(fit.a_from_b) : std::nullopt;
}

}  // namespace calib
