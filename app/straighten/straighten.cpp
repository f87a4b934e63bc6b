#include "app/straighten/straighten.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

constexpr int kMostFrames = 12;
constexpr int kMissedFrames = 4;
// Further from the mean than this the cloth was moved.
constexpr double kMovedDeg = 0.25, kMovedMm = 0.4;

double off_side_deg(double angle_deg, AlongSide along) {
  const double off = std::remainder(angle_deg - (along == AlongSide::east ? 90.0 : 0.0), 180.0);
  return off <= -90.0 ? off + 180.0 : off;
}

LineAgainstAim of_line(const vision::LinePlace& place, AlongSide along) {
  LineAgainstAim line;
  line.turn_off_deg = off_side_deg(place.angle_deg, along);
  line.u_turn_deg = place.u_angle_deg;
  const double a = place.angle_deg * vision::kRadPerDeg, c = std::cos(a), s = std::sin(a);
  // The line is -sin(a) x + cos(a) y = d; it crosses the axis x = 0 at d / cos(a), y = 0 at -d / sin(a).
  const bool level = along == AlongSide::north;
  const double square = level ? c : -s;
  if (std::abs(square) < 0.1) return line;  // all but along that axis: it crosses nowhere near
  line.distance_mm = place.distance_mm / square;
  const double by_angle = level ? place.distance_mm * s / (c * c) : place.distance_mm * c / (s * s);
  const cv::Vec2d j(by_angle, 1.0 / square);
  line.u_distance_mm = 2.0 * std::sqrt(std::max(0.0, j.dot(place.covariance * j)));
  return line;
}

// Of two sets of stripes the one that is nearer to the side.
LineAgainstAim of_weave(const vision::WeaveReading& weave, AlongSide along) {
  const vision::WeaveDirection* best = &*weave.main;
  if (weave.cross &&
      std::abs(off_side_deg(weave.cross->angle_deg, along)) < std::abs(off_side_deg(weave.main->angle_deg, along)))
    best = &*weave.cross;
  LineAgainstAim line;
  line.turn_off_deg = off_side_deg(best->angle_deg, along);
  line.u_turn_deg = best->u_angle_deg;
  return line;
}

}  // namespace

std::optional<LineAgainstAim> against_aim(const LineSeen& seen, const StraightenAim& aim) {
  if (seen.kind == LookKind::line && seen.line.status == vision::LineStatus::ok)
    return of_line(seen.line.line->place, aim.along);
  if (seen.kind == LookKind::weave && seen.weave.status == vision::WeaveStatus::ok)
    return of_weave(seen.weave, aim.along);
  return std::nullopt;
}

StraightenNudge straighten_nudge(const LineAgainstAim& line, const StraightenAim& aim,
                                 const vision::Pose2& board_from_hoop) {
  StraightenNudge nudge;
  nudge.turn_ccw_deg = -line.turn_off_deg;
  const double way = line.distance_mm ? aim.distance_mm - *line.distance_mm : 0.0;
  // The hoop's axis square to the side, in the board frame.
  const double c = std::cos(board_from_hoop.angle_rad), s = std::sin(board_from_hoop.angle_rad);
  const cv::Point2d axis = aim.along == AlongSide::north ? cv::Point2d(-s, c) : cv::Point2d(c, s);
  nudge.sideways = std::abs(axis.x) > std::abs(axis.y);
  nudge.slide_mm = way * ((nudge.sideways ? axis.x : axis.y) < 0.0 ? -1.0 : 1.0);
  return nudge;
}

void LineAverage::see(const std::optional<LineAgainstAim>& line) {
  if (!line) {
    if (++missed_ >= kMissedFrames) forget();
    return;
  }
  missed_ = 0;
  const bool same = mean_ && mean_->distance_mm.has_value() == line->distance_mm.has_value() &&
                    std::abs(std::remainder(line->turn_off_deg - mean_->turn_off_deg, 180.0)) < kMovedDeg &&
                    (!line->distance_mm || std::abs(*line->distance_mm - *mean_->distance_mm) < kMovedMm);
  if (!same) {
    mean_ = line;
    frames_ = 1;
    return;
  }
  frames_ = std::min(frames_ + 1, kMostFrames);
  const double share = 1.0 / frames_;
  const double turn = mean_->turn_off_deg + share * std::remainder(line->turn_off_deg - mean_->turn_off_deg, 180.0);
  mean_->turn_off_deg = turn > 90.0 ? turn - 180.0 : turn <= -90.0 ? turn + 180.0 : turn;
  mean_->u_turn_deg += share * (line->u_turn_deg - mean_->u_turn_deg);
  if (line->distance_mm) *mean_->distance_mm += share * (*line->distance_mm - *mean_->distance_mm);
  mean_->u_distance_mm += share * (line->u_distance_mm - mean_->u_distance_mm);
}

}  // namespace app
