#include "calib/teach_height.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "calib/ring_refine.h"
#include "vision/ring.h"

namespace calib {
namespace {

constexpr double kStepMm = 0.1;
constexpr double kFootReachMm = 0.9;
constexpr double kFaceMm = 0.5;  // the wall's foot shows where the camera sees so much of the wall
constexpr float kLeastStep = 2.0F;
constexpr double kSizeDoubtMm = 0.15;  // of the foot's outline against the taught opening, common to all places
constexpr double kGateMm = 0.35;
constexpr double kLeastSpreadMm = 25.0;  // rms distance of the places from their middle, for a height worth having
constexpr double kWorthMm = 0.5;         // standard uncertainty beyond which the places are too close
// Of a place's centre: light and texture move the foot's and the rim's edge against one another.
constexpr double kCentreDoubtMm = 0.035;
constexpr double kDisagreeMm = 0.25;
// Standard deviation of found heights about the true ones on rendered rings, six hoops: the foot that shows is not
// always the wall's.
constexpr double kFootDoubtMm = 0.6;

// Where the camera looks from, board frame.
cv::Vec3d camera_in_board(const vision::CameraPose& pose) { return -(pose.rotation.t() * pose.translation_mm); }

struct Place {
  cv::Point2d rim_mm;   // the outer outline's centre, cut at the trial height
  cv::Point2d foot_mm;  // the wall's foot's, on the board
  double rim_height_mm = 0.0;
  double camera_height_mm = 0.0;
  cv::Point2d camera_foot_mm;
};

// The shift (x, y) of a contour to points of it, a common distance outwards left free within its doubt. The contour
// keeps its angle.
struct Shift {
  cv::Point2d by_mm;
  bool known = false;
};
Shift shift_to(const Contour& contour, const std::vector<double>& off, const std::vector<char>& seen,
               double size_doubt_mm) {
  cv::Vec3d x(0.0, 0.0, 0.0);
  int used = 0;
  for (int round = 0; round < 8; ++round) {
    cv::Matx33d normal = cv::Matx33d::zeros();
    cv::Vec3d right(0.0, 0.0, 0.0);
    used = 0;
    const double gate = round < 3 ? 2.0 * kFootReachMm : kGateMm;
    for (size_t i = 0; i < contour.size(); ++i) {
      if (!seen[i]) continue;
      const cv::Vec3d j(contour[i].outward.x, contour[i].outward.y, 1.0);
      const double residual = off[i] - j.dot(x), ratio = residual / gate;
      if (std::abs(ratio) >= 1.0) continue;
      const double weight = (1.0 - ratio * ratio) * (1.0 - ratio * ratio);
      normal += weight * (j * j.t());
      right += weight * residual * j;
      ++used;
    }
    // As if it were one measurement among points of a tenth of a millimetre each.
    const double prior = 0.01 / (size_doubt_mm * size_doubt_mm);
    normal(2, 2) += prior;
    right[2] -= prior * x[2];
    cv::Vec3d step;
    if (used < 40 || !cv::solve(normal, right, step, cv::DECOMP_CHOLESKY)) return {};
    x += step;
  }
  return {{x[0], x[1]}, true};
}

Contour placed(const std::vector<cv::Point2d>& outline, const vision::Pose2& board_from_hoop) {
  std::vector<cv::Point2d> on_board = outline;
  for (cv::Point2d& p : on_board) p = vision::apply(board_from_hoop, p);
  return contour_of(std::move(on_board), 1.0);
}

// Where the inner wall stands on the board: the nearest plain step to the expected foot, where the camera sees the
// wall.
Shift foot_shift(const RingScene& scene, const Contour& foot, const vision::CameraPose& pose) {
  constexpr double kMargin = 0.8;
  const cv::Vec3d camera = camera_in_board(pose);
  const Strip strip = unrolled(scene.grey, scene.view(scene.rim_height_mm), foot, -kFootReachMm - kMargin,
                               kFootReachMm + kMargin, kStepMm);
  const cv::Mat1f steps = steps_across(strip, 0.25, 2);
  std::vector<double> off(foot.size(), 0.0);
  std::vector<char> seen(foot.size(), 0);
  for (size_t i = 0; i < foot.size(); ++i) {
    // How much of the wall is seen, in the board's plane.
    const cv::Point2d from_camera = foot[i].at_mm - cv::Point2d(camera[0], camera[1]);
    if (from_camera.dot(foot[i].outward) * scene.rim_height_mm / camera[2] < kFaceMm) continue;
    const int row = static_cast<int>(i);
    int best = -1;
    float most = kLeastStep;
    for (int c = static_cast<int>(kMargin / kStepMm); c + static_cast<int>(kMargin / kStepMm) < steps.cols; ++c) {
      const float here = std::abs(steps(row, c));
      if (here > most && here >= std::abs(steps(row, c - 1)) && here > std::abs(steps(row, c + 1)))
        most = here, best = c;
    }
    if (best < 0) continue;
    const double before = static_cast<double>(std::abs(steps(row, best - 1))), here = static_cast<double>(most),
                 after = static_cast<double>(std::abs(steps(row, best + 1)));
    const double curve = before - 2.0 * here + after;
    off[i] = strip.at_mm(best + (curve < -1e-9 ? 0.5 * (before - after) / curve : 0.0));
    seen[i] = 1;
  }
  return shift_to(foot, off, seen, kSizeDoubtMm);
}

Shift rim_shift(const RingScene& scene, const Contour& outer) {
  const EdgePoints edge = outer_edge(scene, outer, Boundary::step, kFootReachMm, kFootReachMm);
  std::vector<double> off(outer.size(), 0.0);
  size_t next = 0;
  for (size_t i = 0; i < outer.size(); ++i) {
    if (edge.seen[i]) off[i] = (edge.at_mm[next++] - outer[i].at_mm).dot(outer[i].outward);
  }
  return shift_to(outer, off, edge.seen, 1.0);
}

// The foot's place depends on the height that is looked for: found where the present height puts it, then nearer.
std::optional<Place> place_in(const TaughtRing& ring, const vision::Station& station, const HeightFrame& frame,
                              vision::RingGauge& gauge) {
  const vision::RingOutcome& outcome =
      gauge.measure(frame.grey, station.lens, frame.camera_from_board, std::nullopt, std::nullopt);
  if (outcome.status != vision::Status::ok && outcome.status != vision::Status::which_way_up) return std::nullopt;
  const RingScene scene{frame.grey, station.lens, frame.camera_from_board, ring.hoop.rim_height_mm};
  const vision::Pose2 pose = outcome.board_from_hoop;
  const Shift rim = rim_shift(scene, placed(ring.hoop.outer_mm, pose));
  if (!rim.known) return std::nullopt;
  Place place;
  place.rim_mm = pose.origin_mm + rim.by_mm;
  vision::Pose2 on_board = pose;
  on_board.origin_mm = place.rim_mm;
  for (int round = 0; round < 3; ++round) {
    const Shift foot = foot_shift(scene, placed(ring.hoop.inner_mm, on_board), frame.camera_from_board);
    if (!foot.known) return std::nullopt;
    on_board.origin_mm += foot.by_mm;
    if (cv::norm(foot.by_mm) < 0.02) break;
  }
  place.foot_mm = on_board.origin_mm;
  const cv::Vec3d camera = camera_in_board(frame.camera_from_board);
  place.camera_height_mm = camera[2];
  place.camera_foot_mm = {camera[0], camera[1]};
  place.rim_height_mm = ring.hoop.rim_height_mm - ring.hoop.outer_edge_drop_mm;
  return place;
}

// At the trial height h the rim appears at camera + (true - camera) * (H - h) / (H - true h): the displacement of the
// rim over that of the foot between two places is that ratio.
RimHeight adjusted(const std::vector<Place>& places, double drop_mm) {
  const double n = static_cast<double>(places.size());
  cv::Point2d rim{0.0, 0.0}, foot{0.0, 0.0};
  double camera = 0.0;
  for (const Place& place : places) {
    rim += (place.rim_mm - place.camera_foot_mm) * (1.0 / n);
    foot += (place.foot_mm - place.camera_foot_mm) * (1.0 / n);
    camera += place.camera_height_mm / n;
  }
  double along = 0.0, spread = 0.0;
  for (const Place& place : places) {
    const cv::Point2d r = place.rim_mm - place.camera_foot_mm - rim, f = place.foot_mm - place.camera_foot_mm - foot;
    along += r.dot(f);
    spread += f.dot(f);
  }
  RimHeight height;
  height.frames_used = static_cast<int>(places.size());
  if (!(spread > 1.0)) {
    height.fault = HeightFault::too_close;
    return height;
  }
  const double ratio = along / spread;
  double squares = 0.0;
  for (const Place& place : places) {
    const cv::Point2d r = place.rim_mm - place.camera_foot_mm - rim, f = place.foot_mm - place.camera_foot_mm - foot;
    const cv::Point2d left = r - ratio * f;
    squares += left.dot(left);
  }
  const double freedom = 2.0 * n - 3.0;
  height.rms_mm = std::sqrt(squares / (2.0 * n));
  const double sigma = std::max(kCentreDoubtMm * std::sqrt(2.0), std::sqrt(squares / freedom));
  const double trial = places.front().rim_height_mm;
  // ratio = (H - trial) / (H - true).
  height.height_mm = camera - (camera - trial) / ratio + drop_mm;
  height.u_mm = (camera - trial) / (ratio * ratio) * sigma / std::sqrt(spread);
  height.fault = HeightFault::none;
  if (height.rms_mm > kDisagreeMm) {
    height.fault = HeightFault::disagree;
  } else if (height.u_mm > kWorthMm || std::sqrt(spread / n) < kLeastSpreadMm) {
    height.fault = HeightFault::too_close;
  }
  height.u_mm = std::hypot(height.u_mm, kFootDoubtMm);
  return height;
}

std::string rounded(double value) {
  std::array<char, 32> text{};
  std::snprintf(text.data(), text.size(), "%.1f", value);
  return text.data();
}

}  // namespace

std::string sentence(HeightFault fault) {
  switch (fault) {
    case HeightFault::none:
      return "The rim height was found.";
    case HeightFault::too_few_frames:
      return "The ring and the foot of its inner wall were seen in fewer than two pictures: take more, well lit.";
    case HeightFault::too_close:
      return "The places are too close together to tell the height: shift the hoop by 100 mm or more between pictures.";
    case HeightFault::disagree:
      return "The pictures do not agree: use the same hoop in all of them, and let go of it before each.";
  }
  return {};
}

RimHeight rim_height_from(const TaughtRing& ring, const vision::Station& station,
                          const std::vector<HeightFrame>& frames) {
  std::vector<Place> places;
  vision::RingGauge gauge(ring.hoop);
  for (const HeightFrame& frame : frames) {
    if (frame.grey.type() != CV_8UC1 || frame.grey.cols != station.lens.width_px ||
        frame.grey.rows != station.lens.height_px)
      continue;
    if (const std::optional<Place> place = place_in(ring, station, frame, gauge)) places.push_back(*place);
  }
  if (places.size() < 2) return {};
  return adjusted(places, ring.hoop.outer_edge_drop_mm);
}

HeightComparison compare_heights(const RimHeight& found, double typed_mm) {
  constexpr double kRulerMm = 0.5;
  HeightComparison comparison;
  comparison.difference_mm = found.height_mm - typed_mm;
  comparison.agree = std::abs(comparison.difference_mm) <= std::hypot(kRulerMm, 2.0 * found.u_mm);
  const std::string says = "The pictures say " + rounded(found.height_mm) + " mm (give or take " +
                           rounded(2.0 * found.u_mm) + "), typed was " + rounded(typed_mm) + " mm: ";
  comparison.sentence = says + (comparison.agree ? "they agree." : "measure the rim again, from the board to its top.");
  return comparison;
}

}  // namespace calib
