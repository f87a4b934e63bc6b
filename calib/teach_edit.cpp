// What a person changes of a taught ring, on the picture it was taught from.
#include <algorithm>
#include <cmath>
#include <limits>

#include "calib/outline_check.h"
#include "calib/ring_refine.h"
#include "calib/teach_frame.h"

namespace calib {
namespace {

constexpr double kNotchSnapMm = 3.0;
constexpr double kOutlineSnapMm = 0.6;  // an outline found again passes this near to the person's point
constexpr double kBumpMm = 12.0;        // standard deviation along the outline of a bend by hand
constexpr double kSuggestRimMm = 1.5;   // no rim is narrower

vision::PlaneView view_of(const TaughtRing& ring, const vision::Station& station, const vision::CameraPose& pose,
                          double below_mm) {
  return {station.lens, pose, ring.hoop.rim_height_mm - below_mm, ring.board_from_hoop};
}

size_t nearest(const Contour& contour, cv::Point2d p) {
  size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (size_t i = 0; i < contour.size(); ++i) {
    const double apart = cv::norm(contour[i].at_mm - p);
    if (apart < least) least = apart, best = i;
  }
  return best;
}

std::vector<cv::Point2d> bent_through(const Contour& contour, size_t at, double by_mm) {
  std::vector<cv::Point2d> outline;
  for (const ContourPoint& point : contour) {
    const double apart = cv::norm(point.at_mm - contour[at].at_mm);
    outline.push_back(point.at_mm + by_mm * std::exp(-0.5 * std::pow(apart / kBumpMm, 2)) * point.outward);
  }
  return outline;
}

bool all_found(const TaughtRing& ring) {
  return std::all_of(ring.notch_found.begin(), ring.notch_found.end(), [](bool found) { return found; });
}

// The hoop frame anew from the notches as they are now; north stays.
TaughtRing framed_again(TaughtRing ring) {
  std::array<GrooveAt, 4> grooves;
  std::array<vision::Notch, 4> notches = ring.hoop.notches;
  for (size_t k = 0; k < 4; ++k) grooves[k] = {ring.notch_found[k], notches[k].at_mm, notches[k].teeth, 0.1};
  const bool certain = ring.north_certain;
  ring.doubts.clear();
  // A person's notches count as they stand: none of them is a stray.
  const bool on_axes = std::all_of(notches.begin(), notches.end(), [](const vision::Notch& notch) {
    return std::abs(kSideDirections[static_cast<size_t>(notch.side)].cross(notch.at_mm)) <= kOnAxisMm;
  });
  lay_frame(ring, grooves, ring.shape != RingShape::other && on_axes);
  ring.north_certain = certain;
  return ring;
}

// The outer outline found again about half a rim's width to either side of where the person put it.
std::optional<RefinedRing> found_again(const TaughtRing& ring, const RingScene& scene, double by_mm) {
  std::vector<cv::Point2d> outline = shifted(contour_of(ring.hoop.outer_mm, 1.0), by_mm);
  for (cv::Point2d& p : outline) p = vision::apply(ring.board_from_hoop, p);
  RingLines lines;
  lines.outer = fit_ring_shape(outline, 1.0, 1.0);
  lines.width_mm = std::max(kLeastRimMm, cv::norm(ring.hoop.outer_mm.front() - ring.hoop.inner_mm.front()) + by_mm);
  RefinedRing refined;
  if (!refine_ring(scene, lines, refined) || !refined.shape.fits) return std::nullopt;
  return refined;
}

}  // namespace

TaughtRing with_notch(const TaughtRing& ring, const cv::Mat& grey, const vision::Station& station,
                      const vision::CameraPose& pose, vision::Side side, cv::Point2d image_px, int teeth) {
  TaughtRing changed = ring;
  const auto k = static_cast<size_t>(side);
  const vision::PlaneView face = view_of(ring, station, pose, 0.0);
  const Contour inner = contour_of(ring.hoop.inner_mm, 0.25);
  const cv::Point2d put = inner[nearest(inner, face.plane(image_px))].at_mm;
  const GrooveAt groove = groove_near(grey, face, ring.hoop.inner_mm, ring.hoop.outer_mm, put, kNotchSnapMm);
  vision::Notch& notch = changed.hoop.notches[k];
  notch.at_mm = groove.found ? groove.at_mm : put;
  if (teeth > 0) {
    notch.teeth = teeth;
  } else if (groove.found && groove.teeth > 0) {
    notch.teeth = groove.teeth;
  }
  changed.notch_found[k] = true;  // the person says so
  return all_found(changed) ? framed_again(changed) : changed;
}

TaughtRing with_outline_point(const TaughtRing& ring, const cv::Mat& grey, const vision::Station& station,
                              const vision::CameraPose& pose, bool inner, cv::Point2d image_px) {
  TaughtRing changed = ring;
  const double drop = inner ? ring.hoop.inner_edge_drop_mm : ring.hoop.outer_edge_drop_mm;
  std::vector<cv::Point2d>& outline = inner ? changed.hoop.inner_mm : changed.hoop.outer_mm;
  const cv::Point2d p = view_of(ring, station, pose, drop).plane(image_px);
  if (!std::isfinite(p.x) || !std::isfinite(p.y)) return ring;
  const Contour contour = contour_of(outline, 1.0);
  const size_t at = nearest(contour, p);
  const double by_mm = (p - contour[at].at_mm).dot(contour[at].outward);
  if (!inner) {
    const RingScene scene{grey, station.lens, pose, ring.hoop.rim_height_mm};
    const std::optional<RefinedRing> refined = found_again(ring, scene, by_mm);
    if (refined && std::abs(distance_mm(refined->shape, vision::apply(ring.board_from_hoop, p))) < kOutlineSnapMm) {
      outline.clear();
      for (const cv::Point2d& q : refined->outer_mm)
        outline.push_back(
            vision::apply_inverse(ring.board_from_hoop, vision::apply(refined->shape.board_from_shape, q)));
      changed.rms_mm = refined->rms_mm;
      changed.seen_share = refined->seen_share;
      return changed;
    }
    outline = bent_through(contour, at, by_mm);
  } else {
    // The opening runs parallel to the outer edge: moved as a whole, its notches with it.
    outline = shifted(contour, by_mm);
    for (vision::Notch& notch : changed.hoop.notches)
      notch.at_mm = on_outline(outline, notch.at_mm * (1.0 / cv::norm(notch.at_mm)));
  }
  const bool sound = fault_of_outline(outline).message.empty() &&
                     fault_of_ring(changed.hoop.inner_mm, changed.hoop.outer_mm).message.empty() &&
                     cv::norm(changed.hoop.outer_mm.front() - changed.hoop.inner_mm.front()) > kSuggestRimMm;
  return sound ? changed : ring;
}

TaughtRing with_rim_height(const TaughtRing& ring, const vision::Station& station, const vision::CameraPose& pose,
                           double rim_height_mm) {
  TaughtRing changed = ring;
  changed.hoop.rim_height_mm = rim_height_mm;
  const auto moved = [&](cv::Point2d p, double drop_mm) {
    const cv::Point2d px = view_of(ring, station, pose, drop_mm).image(p);
    const vision::PlaneView view(station.lens, pose, rim_height_mm - drop_mm, ring.board_from_hoop);
    return view.plane(px);
  };
  // The ring as a whole moves towards the camera's foot or away from it.
  const cv::Point2d middle = moved({0.0, 0.0}, ring.hoop.outer_edge_drop_mm);
  changed.board_from_hoop = vision::compose(ring.board_from_hoop, vision::Pose2{middle, 0.0});
  for (cv::Point2d& p : changed.hoop.outer_mm) p = moved(p, ring.hoop.outer_edge_drop_mm) - middle;
  for (vision::Notch& notch : changed.hoop.notches) notch.at_mm = moved(notch.at_mm, 0.0) - middle;
  if (!ring.inner_from_board)
    for (cv::Point2d& p : changed.hoop.inner_mm) p = moved(p, ring.hoop.inner_edge_drop_mm) - middle;
  return all_found(changed) ? framed_again(std::move(changed)) : changed;
}

}  // namespace calib
