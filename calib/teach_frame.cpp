#include "calib/teach_frame.h"

#include <algorithm>
#include <cmath>

namespace calib {
namespace {

constexpr std::array<const char*, 4> kSideNames{"north", "east", "south", "west"};

void move_to(TaughtRing& ring, const vision::Pose2& old_from_new) {
  for (cv::Point2d& p : ring.hoop.inner_mm) p = vision::apply_inverse(old_from_new, p);
  for (cv::Point2d& p : ring.hoop.outer_mm) p = vision::apply_inverse(old_from_new, p);
  for (vision::Notch& notch : ring.hoop.notches) notch.at_mm = vision::apply_inverse(old_from_new, notch.at_mm);
  ring.board_from_hoop = vision::compose(ring.board_from_hoop, old_from_new);
}

// The turn that all grooves of a round ring share against the sides' directions.
double common_turn(const std::array<GrooveAt, 4>& grooves) {
  cv::Point2d sum{0.0, 0.0};
  for (size_t k = 0; k < 4; ++k) {
    if (!grooves[k].found) continue;
    const cv::Point2d& p = grooves[k].at_mm;
    const double turn =
        vision::wrapped_rad(std::atan2(p.y, p.x) - std::atan2(kSideDirections[k].y, kSideDirections[k].x));
    sum += cv::Point2d(std::cos(turn), std::sin(turn));
  }
  return cv::norm(sum) > 0.0 ? std::atan2(sum.y, sum.x) : 0.0;
}

double off_axis_mm(cv::Point2d p, size_t side) { return kSideDirections[side].cross(p); }

void put_on_axes(TaughtRing& ring) {
  for (size_t k = 0; k < 4; ++k) ring.hoop.notches[k].at_mm = on_outline(ring.hoop.inner_mm, kSideDirections[k]);
}

vision::Pose2 frame_of_lines(const std::array<vision::Notch, 4>& notches) {
  const cv::Point2d south = notches[2].at_mm, up = notches[0].at_mm - south;
  const cv::Point2d west = notches[3].at_mm, right = notches[1].at_mm - west;
  const double cross = up.cross(right);
  vision::Pose2 frame;
  if (std::abs(cross) > 1e-9) frame.origin_mm = south + ((west - south).cross(right) / cross) * up;
  const double by_up = std::atan2(-up.x, up.y), by_right = std::atan2(right.y, right.x);
  frame.angle_rad = by_right + 0.5 * vision::wrapped_rad(by_up - by_right);
  return frame;
}

}  // namespace

cv::Point2d on_outline(const std::vector<cv::Point2d>& outline, cv::Point2d direction) {
  for (size_t i = 0; i < outline.size(); ++i) {
    const cv::Point2d a = outline[i], b = outline[(i + 1) % outline.size()];
    const double from = direction.cross(a), to = direction.cross(b);
    if ((from > 0.0) == (to > 0.0)) continue;
    const cv::Point2d p = a + (from / (from - to)) * (b - a);
    if (p.dot(direction) > 0.0) return p;
  }
  return direction;
}

void lay_frame(TaughtRing& ring, const std::array<GrooveAt, 4>& grooves, bool symmetrical) {
  std::array<GrooveAt, 4> kept = grooves;
  if (ring.shape == RingShape::round) {
    const double turn = common_turn(grooves);
    const vision::Pose2 turned{{0.0, 0.0}, turn};
    move_to(ring, turned);
    for (GrooveAt& groove : kept) groove.at_mm = vision::apply_inverse(turned, groove.at_mm);
  }
  int found = 0, off = 0;
  size_t stray = 0;
  for (size_t k = 0; k < 4; ++k) {
    ring.hoop.notches[k].side = vision::kSides[k];
    ring.hoop.notches[k].at_mm = kept[k].at_mm;
    ring.hoop.notches[k].teeth = std::max(1, kept[k].teeth);
    ring.notch_found[k] = kept[k].found;
    if (!kept[k].found) continue;
    ++found;
    if (std::abs(off_axis_mm(kept[k].at_mm, k)) > kOnAxisMm) ++off, stray = k;
  }
  if (symmetrical && off == 1 && found == 4) {
    ring.notch_found[stray] = false;
    ring.hoop.notches[stray].teeth = 1;
    ring.doubts.push_back(std::string("The ") + kSideNames[stray] +
                          " notch was seen off the ring's axis; look whether it is one, and drag it if it is.");
    off = 0;
  }
  if (symmetrical && off == 0) {
    put_on_axes(ring);
    ring.u_origin_mm = 0.05;
    ring.u_angle_deg = ring.shape == RingShape::round ? 0.06 : 0.03;
    return;
  }
  move_to(ring, frame_of_lines(ring.hoop.notches));
  ring.u_origin_mm = 0.10;
  ring.u_angle_deg = 0.08;
  if (symmetrical)
    ring.doubts.push_back("The notches do not stand in the middle of the sides; look whether they were found rightly.");
}

TaughtRing north_by_teeth(const TaughtRing& ring) {
  size_t doubled = 4, furthest = 0;
  int several = 0, single = 0;
  for (size_t k = 0; k < 4; ++k) {
    const vision::Notch& notch = ring.hoop.notches[k];
    const auto board_y = [&](size_t i) { return vision::apply(ring.board_from_hoop, ring.hoop.notches[i].at_mm).y; };
    if (board_y(k) > board_y(furthest)) furthest = k;
    if (!ring.notch_found[k]) continue;
    if (notch.teeth >= 2) doubled = k, ++several;
    if (notch.teeth == 1) ++single;
  }
  TaughtRing named = with_north(ring, vision::kSides[several == 1 ? doubled : furthest]);
  named.north_certain = several == 1 && single >= 2;
  return named;
}

TaughtRing with_north(const TaughtRing& ring, vision::Side side) {
  TaughtRing turned = ring;
  const auto index = static_cast<size_t>(side);
  const cv::Point2d north = kSideDirections[index];
  move_to(turned, vision::Pose2{{0.0, 0.0}, std::atan2(-north.x, north.y)});
  const std::array<vision::Notch, 4> notches = turned.hoop.notches;
  for (size_t k = 0; k < 4; ++k) {
    turned.hoop.notches[k] = notches[(k + index) % 4];
    turned.hoop.notches[k].side = vision::kSides[k];
    turned.notch_found[k] = ring.notch_found[(k + index) % 4];
  }
  turned.north_certain = true;
  return turned;
}

}  // namespace calib
