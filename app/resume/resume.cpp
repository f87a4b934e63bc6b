#include "app/resume/resume.h"

#include <algorithm>
#include <cmath>

#include "vision/fits.h"

namespace app {
namespace {

using vision::Covariance3;
using vision::Pose2;

double squared(double value) { return value * value; }

double larger_eigenvalue(const cv::Matx22d& m) {
  return 0.5 * (m(0, 0) + m(1, 1)) + std::hypot(0.5 * (m(0, 0) - m(1, 1)), m(0, 1));
}

struct Match {
  std::vector<cv::Point2d> in_design, in_hoop;
  std::vector<double> weights;  // 1 / variance, mm^-2
  std::vector<const HoopedSticker*> stickers;
};

Match matched(const std::vector<ResumePoint>& points, const std::vector<HoopedSticker>& stickers,
              const ResumeOptions& options) {
  Match match;
  for (const ResumePoint& point : points)
    for (const HoopedSticker& sticker : stickers) {
      if (point.sticker < 0 || sticker.number != point.sticker) continue;
      match.in_design.push_back(point.at_mm);
      match.in_hoop.push_back(sticker.hoop_from_sticker.origin_mm);
      const double measured = 0.5 * (sticker.covariance(0, 0) + sticker.covariance(1, 1));
      match.weights.push_back(1.0 / (squared(options.placed_u_mm) + measured));
      match.stickers.push_back(&sticker);
    }
  return match;
}

// Of the rigid fit, and of the hoop that it is in: a change (d, turn) of the hoop moves what lies in it by -d and turns
// it back.
Covariance3 whole_covariance(const vision::RigidFit& fit, const Covariance3& hoop) {
  const cv::Point2d o = fit.a_from_b.origin_mm;
  const cv::Matx33d by_hoop(-1.0, 0.0, o.y, 0.0, -1.0, -o.x, 0.0, 0.0, -1.0);
  return fit.unit_covariance + by_hoop * hoop * by_hoop.t();
}

// Of a point of the design in the hoop, in its worse direction, k = 1.
double u_at(const ResumeAnswer& answer, cv::Point2d p_in_design) {
  const cv::Point2d arm = vision::apply(Pose2{{0.0, 0.0}, answer.hoop_from_design.angle_rad}, p_in_design);
  const cv::Matx<double, 2, 3> by(1.0, 0.0, -arm.y, 0.0, 1.0, arm.x);
  return std::sqrt(larger_eigenvalue(by * answer.covariance * by.t()));
}

void set_misfits(const Match& match, ResumeAnswer& answer) {
  for (std::size_t i = 0; i < match.in_design.size(); ++i) {
    const cv::Point2d off = vision::apply_inverse(answer.hoop_from_design, match.in_hoop[i]) - match.in_design[i];
    answer.points.push_back({match.stickers[i]->number, off});
    if (i > 0 && !(cv::norm(off) > answer.misfit_mm)) continue;
    answer.misfit_mm = cv::norm(off);
    answer.sticker = match.stickers[i]->number;
  }
}

void set_scale(const Match& match, const ResumeOptions& options, ResumeAnswer& answer) {
  const vision::RigidFit similar =
      vision::fit_rigid(match.in_design, match.in_hoop, match.weights, {.with_scale = true, .refuse_mirrored = false});
  if (similar.status != vision::FitStatus::ok) return;
  answer.scale_percent = 100.0 * (similar.scale - 1.0);
  cv::Point2d mean{0.0, 0.0};
  double sum = 0.0, spread = 0.0;
  for (std::size_t i = 0; i < match.weights.size(); ++i)
    mean += match.weights[i] * match.in_design[i], sum += match.weights[i];
  mean *= 1.0 / sum;
  for (std::size_t i = 0; i < match.weights.size(); ++i) {
    const cv::Point2d d = match.in_design[i] - mean;
    spread += match.weights[i] * d.dot(d);
  }
  answer.u_scale_percent = 200.0 * std::hypot(1.0 / std::sqrt(spread), options.scale_u);
}

// The first one whose arrow is wrong; nullptr: none.
const HoopedSticker* wrong_arrow(const Match& match, const Pose2& hoop_from_design, double limit_deg) {
  for (const HoopedSticker* sticker : match.stickers) {
    const double off_rad = vision::wrapped_rad(sticker->hoop_from_sticker.angle_rad - hoop_from_design.angle_rad);
    if (!(std::abs(off_rad) * vision::kDegPerRad <= limit_deg)) return sticker;
  }
  return nullptr;
}

cv::Point2d nearest_on(cv::Point2d a, cv::Point2d b, cv::Point2d p) {
  const cv::Point2d d = b - a;
  const double length2 = d.dot(d);
  return length2 > 0.0 ? a + std::clamp((p - a).dot(d) / length2, 0.0, 1.0) * d : a;
}

// The nearest of some points; nothing further away than `within_mm`.
std::optional<cv::Point2d> nearest_of(const std::vector<cv::Point2d>& points, cv::Point2d at, double within_mm) {
  std::optional<cv::Point2d> best;
  for (const cv::Point2d& p : points)
    if (cv::norm(p - at) <= (best ? cv::norm(*best - at) : within_mm)) best = p;
  return best;
}

}  // namespace

void state_uncertainty(ResumeAnswer& answer, const Design& design) {
  const Covariance3& c = answer.covariance;
  answer.u_offset_mm = 2.0 * std::sqrt(larger_eigenvalue({c(0, 0), c(0, 1), c(1, 0), c(1, 1)}));
  answer.u_rotation_deg = 2.0 * std::sqrt(c(2, 2)) * vision::kDegPerRad;
  answer.far_corner_u_mm = 0.0;
  for (const cv::Point2d& p : design.hull_mm)
    answer.far_corner_u_mm = std::max(answer.far_corner_u_mm, 2.0 * u_at(answer, p));
}

ResumeAnswer resume(const std::vector<ResumePoint>& points, const std::vector<HoopedSticker>& stickers,
                    const Covariance3& hoop_covariance, const Design& design, const ResumeOptions& options) {
  ResumeAnswer answer;
  const Match match = matched(points, stickers, options);
  if (match.in_design.size() < 2) return answer;
  const vision::RigidFit fit = vision::fit_rigid(match.in_design, match.in_hoop, match.weights);
  if (fit.status == vision::FitStatus::mirrored) answer.fault = ResumeFault::misfit;
  if (fit.status == vision::FitStatus::degenerate) answer.fault = ResumeFault::too_close;
  if (fit.status != vision::FitStatus::ok) return answer;
  answer.hoop_from_design = fit.a_from_b;
  answer.covariance = whole_covariance(fit, hoop_covariance);
  state_uncertainty(answer, design);
  set_misfits(match, answer);
  set_scale(match, options, answer);
  answer.fault = ResumeFault::none;
  if (const HoopedSticker* wrong = wrong_arrow(match, fit.a_from_b, options.arrow_limit_deg)) {
    answer.fault = ResumeFault::arrow;
    answer.sticker = wrong->number;
  } else if (!(answer.misfit_mm <= options.tolerance_mm)) {
    answer.fault = ResumeFault::misfit;
  } else if (!(answer.far_corner_u_mm <= options.tolerance_mm)) {
    answer.fault = ResumeFault::too_close;
  }
  return answer;
}

std::optional<std::vector<ResumePoint>> matched_points(const std::vector<ResumePoint>& points,
                                                       const std::vector<HoopedSticker>& stickers, const Design& design,
                                                       const ResumeOptions& options) {
  constexpr std::size_t kMost = 5;  // 120 ways
  const bool open = std::none_of(points.begin(), points.end(), [](const ResumePoint& p) { return p.sticker >= 0; });
  if (!open || points.size() != stickers.size() || points.size() > kMost) return std::nullopt;
  std::vector<int> numbers;
  for (const HoopedSticker& sticker : stickers) numbers.push_back(sticker.number);
  std::sort(numbers.begin(), numbers.end());
  std::optional<std::vector<ResumePoint>> found;
  do {
    std::vector<ResumePoint> tried = points;
    for (std::size_t i = 0; i < tried.size(); ++i) tried[i].sticker = numbers[i];
    const ResumeFault fault = resume(tried, stickers, Covariance3::zeros(), design, options).fault;
    if (fault != ResumeFault::none && fault != ResumeFault::too_close) continue;
    if (found) return std::nullopt;
    found = tried;
  } while (std::next_permutation(numbers.begin(), numbers.end()));
  return found;
}

std::vector<cv::Point2d> basting_corners(const Design& design, double margin_mm) {
  const double x = 0.5 * design.size_mm.width + margin_mm, y = 0.5 * design.size_mm.height + margin_mm;
  return {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
}

cv::Point2d picked_point(const Design& design, double margin_mm, cv::Point2d at, double catch_mm) {
  if (const auto corner = nearest_of(basting_corners(design, margin_mm), at, catch_mm)) return *corner;
  std::vector<std::vector<cv::Point2d>> outlines = design.outlines_mm;
  if (outlines.empty()) outlines.push_back(design.hull_mm);
  std::vector<cv::Point2d> corners, nearest;
  for (const std::vector<cv::Point2d>& outline : outlines)
    for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
      nearest.push_back(nearest_on(outline[j], outline[i], at));
      // A corner: the outline turns by more than 30 degrees there. A curve's points are none.
      const cv::Point2d in = outline[i] - outline[j], out = outline[(i + 1) % outline.size()] - outline[i];
      if (in.dot(out) < std::cos(30.0 * vision::kRadPerDeg) * cv::norm(in) * cv::norm(out))
        corners.push_back(outline[i]);
    }
  if (const auto corner = nearest_of(corners, at, catch_mm)) return *corner;
  return nearest_of(nearest, at, 1e9).value_or(at);
}

}  // namespace app
