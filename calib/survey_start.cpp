#include "calib/survey_start.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <opencv2/calib3d.hpp>

#include "vision/fits.h"

namespace calib {
namespace {

// One picture's marks are known to this at the start: an unflat sheet tilts the camera a little.
constexpr double kSamePlaceMm = 1.0, kSameAngleRad = 1.5 * vision::kRadPerDeg;
// Corners further off than this many standard deviations, and than kGrossPx at 1000 px focal length, are gross faults.
constexpr double kGrossSigmas = 6.0, kGrossPerMille = 0.5;

using Places = std::map<int, vision::Pose2>;  // of marks by index

cv::Point2d projected(const vision::CameraPose& pose, cv::Point2d in_plane) {
  const cv::Vec3d p = pose.rotation * cv::Vec3d(in_plane.x, in_plane.y, 0.0) + pose.translation_mm;
  return p[2] > 1.0 ? cv::Point2d(p[0] / p[2], p[1] / p[2]) : cv::Point2d(1e9, 1e9);
}

// Zhang (2000), section 3.1: the homography's columns are two axes and the shift, the rotation made orthonormal.
std::optional<vision::CameraPose> from_homography(const PictureSights& picture) {
  std::vector<cv::Point2d> sheet, seen;
  for (const SheetCorner& corner : picture.corners) {
    if (!corner.in_use) continue;
    sheet.push_back(corner.in_sheet_mm);
    seen.push_back(corner.normalised);
  }
  if (static_cast<int>(sheet.size()) < kFewestChartCorners) return std::nullopt;
  const cv::Mat found = cv::findHomography(sheet, seen, cv::RANSAC, 0.003, cv::noArray(), 500, 0.999);
  if (found.empty()) return std::nullopt;
  const cv::Matx33d h(found);
  const cv::Vec3d h1(h(0, 0), h(1, 0), h(2, 0)), h2(h(0, 1), h(1, 1), h(2, 1)), h3(h(0, 2), h(1, 2), h(2, 2));
  const double scale = 0.5 * (cv::norm(h1) + cv::norm(h2)) * (h3[2] < 0.0 ? -1.0 : 1.0);
  if (!(std::abs(scale) > 1e-15)) return std::nullopt;
  const cv::Vec3d r1 = h1 / scale, r2 = h2 / scale, r3 = r1.cross(r2);
  cv::Matx31d w;
  cv::Matx33d u, vt;
  cv::SVD::compute(cv::Matx33d(r1[0], r2[0], r3[0], r1[1], r2[1], r3[1], r1[2], r2[2], r3[2]), w, u, vt);
  vision::CameraPose pose;
  pose.rotation = u * vt;
  pose.translation_mm = h3 / scale;
  return cv::determinant(pose.rotation) > 0.0 ? std::optional(pose) : std::nullopt;
}

// Takes out what does not fit; true when something changed.
bool drop_gross(PictureSights& picture, const vision::CameraPose& pose) {
  std::vector<double> errors;
  for (const SheetCorner& corner : picture.corners)
    errors.push_back(cv::norm(corner.normalised - projected(pose, corner.in_sheet_mm)));
  std::vector<double> sorted = errors;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2), sorted.end());
  const double usual = sorted[sorted.size() / 2] / 1.1774;  // the median of a Rayleigh distribution of sigma 1
  bool changed = false;
  for (std::size_t i = 0; i < errors.size(); ++i) {
    const double limit = std::max(kGrossSigmas * std::max(usual, picture.corners[i].sigma), kGrossPerMille * 1e-3);
    const bool fits = errors[i] <= limit;
    changed = changed || fits != picture.corners[i].in_use;
    picture.corners[i].in_use = fits;
  }
  return changed;
}

// Places in another frame laid onto the known ones: the turn and shift that most marks agree with, in place and in
// angle. Nothing without a majority, which two of a pair that were both moved never are.
std::optional<vision::Pose2> laid_onto(const Places& known, const Places& own) {
  struct Pair {
    vision::Pose2 known, own;
  };
  std::vector<Pair> pairs;
  for (const auto& [mark, pose] : own)
    if (const auto there = known.find(mark); there != known.end()) pairs.push_back({there->second, pose});
  if (pairs.empty()) return std::nullopt;
  if (pairs.size() == 1) return vision::compose(pairs[0].known, vision::inverse(pairs[0].own));
  std::vector<Pair> best;
  for (std::size_t a = 0; a < pairs.size(); ++a) {
    for (std::size_t b = a + 1; b < pairs.size(); ++b) {
      const std::array<cv::Point2d, 2> from{pairs[a].own.origin_mm, pairs[b].own.origin_mm};
      const std::array<cv::Point2d, 2> to{pairs[a].known.origin_mm, pairs[b].known.origin_mm};
      const vision::RigidFit fit = vision::fit_rigid(from, to);
      if (fit.status != vision::FitStatus::ok) continue;
      std::vector<Pair> agree;
      for (const Pair& pair : pairs) {
        const vision::Pose2 laid = vision::compose(fit.a_from_b, pair.own);
        if (cv::norm(laid.origin_mm - pair.known.origin_mm) <= kSamePlaceMm &&
            std::abs(vision::wrapped_rad(laid.angle_rad - pair.known.angle_rad)) <= kSameAngleRad)
          agree.push_back(pair);
      }
      if (agree.size() > best.size()) best = agree;
    }
  }
  if (best.size() < 2 || 2 * best.size() <= pairs.size()) return std::nullopt;
  std::vector<cv::Point2d> from, to;
  for (const Pair& pair : best) {
    from.push_back(pair.own.origin_mm);
    to.push_back(pair.known.origin_mm);
  }
  const vision::RigidFit fit = vision::fit_rigid(from, to);
  return fit.status == vision::FitStatus::ok ? std::optional(fit.a_from_b) : std::nullopt;
}

// The pictures laid onto one of them, in the order of the marks they share with those laid before.
struct Layout {
  std::vector<std::optional<vision::Pose2>> base_from_sheet;
  Places marks;  // in the base's frame, as first seen
  int laid = 0;
};

Layout layout_from(std::size_t base, const std::vector<Places>& own) {
  Layout out;
  out.base_from_sheet.resize(own.size());
  std::vector<char> tried(own.size(), 0);
  const auto take = [&](std::size_t i, const vision::Pose2& base_from_sheet) {
    out.base_from_sheet[i] = base_from_sheet;
    ++out.laid;
    for (const auto& [mark, pose] : own[i]) out.marks.emplace(mark, vision::compose(base_from_sheet, pose));
  };
  take(base, {});
  tried[base] = 1;
  for (;;) {
    std::size_t next = own.size(), most = 0;
    for (std::size_t i = 0; i < own.size(); ++i) {
      if (tried[i]) continue;
      const auto shared = static_cast<std::size_t>(
          std::count_if(own[i].begin(), own[i].end(), [&](const auto& one) { return out.marks.count(one.first) > 0; }));
      if (shared > most) {
        most = shared;
        next = i;
      }
    }
    if (next == own.size()) return out;
    tried[next] = 1;
    if (const auto pose = laid_onto(out.marks, own[next])) take(next, *pose);
  }
}

// Marks that lie elsewhere in one of the pictures do not help to start.
bool lies_still(int mark, const Layout& layout, const std::vector<Places>& own) {
  const vision::Pose2& there = layout.marks.at(mark);
  for (std::size_t i = 0; i < own.size(); ++i) {
    const auto seen = own[i].find(mark);
    if (!layout.base_from_sheet[i] || seen == own[i].end()) continue;
    const vision::Pose2 here = vision::compose(*layout.base_from_sheet[i], seen->second);
    if (!(cv::norm(here.origin_mm - there.origin_mm) <= kSamePlaceMm) ||
        !(std::abs(vision::wrapped_rad(here.angle_rad - there.angle_rad)) <= kSameAngleRad))
      return false;
  }
  return true;
}

// camera_from_board where the camera is known over the sheet's face and the sheet over the board.
vision::CameraPose over_board(const vision::CameraPose& over_sheet, const vision::Pose2& board_from_sheet,
                              double thickness_mm) {
  const double c = std::cos(board_from_sheet.angle_rad), s = std::sin(board_from_sheet.angle_rad);
  const cv::Matx33d sheet_from_board(c, s, 0, -s, c, 0, 0, 0, 1);
  vision::CameraPose out;
  out.rotation = over_sheet.rotation * sheet_from_board;
  out.translation_mm = over_sheet.translation_mm - out.rotation * cv::Vec3d(board_from_sheet.origin_mm.x,
                                                                            board_from_sheet.origin_mm.y, thickness_mm);
  return out;
}

}  // namespace

std::optional<vision::CameraPose> camera_over_sheet(PictureSights& picture) {
  std::optional<vision::CameraPose> pose = from_homography(picture);
  if (!pose) return std::nullopt;
  drop_gross(picture, *pose);
  // Without the gross ones once more, now that nothing pulls.
  pose = from_homography(picture);
  if (pose && drop_gross(picture, *pose)) pose = from_homography(picture);
  return pose;
}

std::optional<MarkPlace> mark_place(const MarkSight& sight, const vision::CameraPose& camera, double height_mm,
                                    double mark_size_mm) {
  std::array<cv::Point2d, 4> own, seen;
  for (std::size_t k = 0; k < 4; ++k) {
    own[k] = mark_corner(static_cast<int>(k), mark_size_mm);
    seen[k] = vision::board_at_height_normalised(camera, sight.normalised[k], height_mm);
  }
  vision::RigidOptions options;
  options.with_scale = true;
  const vision::RigidFit fit = vision::fit_rigid(own, seen, {}, options);
  if (fit.status != vision::FitStatus::ok) return std::nullopt;
  MarkPlace place;
  place.pose = fit.a_from_b;
  place.swell_mm = 0.5 * (fit.scale - 1.0) * mark_size_mm;
  for (std::size_t k = 0; k < 4; ++k) place.off_mm[k] = vision::apply_inverse(place.pose, seen[k]) - fit.scale * own[k];
  return place;
}

SurveyStart survey_start(SurveyProblem& problem) {
  const std::size_t count = problem.pictures.size();
  SurveyStart start;
  start.use.assign(count, PictureUse::no_sheet);
  std::vector<std::optional<vision::CameraPose>> over_sheet(count);
  std::vector<Places> own(count);
  for (std::size_t i = 0; i < count; ++i) {
    over_sheet[i] = camera_over_sheet(problem.pictures[i]);
    if (!over_sheet[i]) continue;
    for (const MarkSight& sight : problem.pictures[i].marks) {
      if (problem.twice[static_cast<std::size_t>(sight.mark)]) continue;
      const auto place = mark_place(sight, *over_sheet[i], -problem.options.paper_thickness_mm, problem.mark_size_mm);
      if (place) own[i].emplace(sight.mark, place->pose);
    }
    start.use[i] = own[i].empty() ? PictureUse::no_marks : PictureUse::disagrees;
  }
  Layout layout;
  for (std::size_t i = 0; i < count; ++i) {
    if (own[i].empty()) continue;
    Layout from_here = layout_from(i, own);
    if (from_here.laid > layout.laid) layout = std::move(from_here);
  }
  if (layout.laid == 0)
    throw SurveyError(
        "no picture shows the calibration sheet together with a board mark; lay the sheet on the board, "
        "printed side up, so that it covers no mark");

  SurveyState& state = start.state;
  state.sheets.resize(count);
  state.camera_of.assign(count, -1);
  state.marks.resize(problem.ids.size());
  const auto first = std::find_if(layout.base_from_sheet.begin(), layout.base_from_sheet.end(),
                                  [](const auto& pose) { return pose.has_value(); });
  state.datum = static_cast<int>(first - layout.base_from_sheet.begin());
  const vision::Pose2 board_from_base = vision::inverse(**first);
  for (std::size_t i = 0; i < count; ++i) {
    if (!layout.base_from_sheet[i]) continue;
    start.use[i] = PictureUse::used;
    state.sheets[i].board_from_sheet = vision::compose(board_from_base, *layout.base_from_sheet[i]);
    state.camera_of[i] = static_cast<int>(state.cameras.size());
    state.cameras.push_back(
        over_board(*over_sheet[i], state.sheets[i].board_from_sheet, problem.options.paper_thickness_mm));
  }
  for (std::size_t m = 0; m < state.marks.size(); ++m) {
    const auto there = layout.marks.find(static_cast<int>(m));
    state.marks[m].in_use = there != layout.marks.end() && lies_still(static_cast<int>(m), layout, own);
    if (there != layout.marks.end()) state.marks[m].board_from_mark = vision::compose(board_from_base, there->second);
  }
  return start;
}

}  // namespace calib
