#include "vision/ring.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/round_angle.h"

namespace vision {
namespace {

constexpr double kFineSpacingMm = 4.4, kRoughSpacingMm = 6.0, kSparseSpacingMm = 10.0;
// Of what the edges show beyond chance:
constexpr double kSure = 0.68;      // a candidate this good ends the search
constexpr double kReadable = 0.28;  // two fifths covered, and the rest not perfect
constexpr double kRing = 0.15;      // a ring, but too little of it
constexpr double kPlain = 0.60;     // so much of a ring that its notches need not confirm it
constexpr int kLeastNotches = 2;
constexpr double kStillThere = 0.42;  // the last frame's ring, without a search
// Shading and the cloth at its foot move the edge together over about this length of rim; edges nearer to one another
// are not independent.
constexpr double kCorrelationMm = 20.0;
// What the shape of the edge leaves in the pose however many edges are found: one side lit, the other in shadow.
constexpr double kShadingMm = 0.024;
constexpr double kShareDoubt = 0.25;
constexpr double kShadingRad = 0.004 * kRadPerDeg;
constexpr int kMostCandidates = 40;
constexpr size_t kLikelyCandidates = 8;
constexpr size_t kCandidatesTriedBeside = 2;
constexpr double kStrayMm = 0.6;
constexpr double kNotchReachMm = 2.5;

// The search counts its hits in bytes.
double sparse_spacing(const Hoop& hoop) {
  return std::max(kSparseSpacingMm, (outline_length_mm(hoop.inner_mm) + outline_length_mm(hoop.outer_mm)) / 240.0);
}

double noise_scale(const RingFit& fit) { return std::max(1.0, fit.chi2); }

}  // namespace

RingGauge::RingGauge(Hoop hoop)
    : hoop_(std::move(hoop)),
      fine_(rim_model(hoop_, kFineSpacingMm)),
      rough_(rim_model(hoop_, kRoughSpacingMm)),
      sparse_(rim_model(hoop_, sparse_spacing(hoop_))),
      sites_(notch_sites(hoop_)) {}

// From a start to the edges' own optimum.
bool RingGauge::settle(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, const Pose2& start,
                       Start quality) {
  RingFitOptions options;
  options.fixed_angle = fine_.symmetry == 0;
  Pose2 at = start;
  if (quality != Start::tracked) {
    options.edges.window_mm = quality == Start::rough ? 6.0 : 3.5;
    options.edges.smooth_mm = 0.6;
    options.gate_mm = options.edges.window_mm;
    if (!fitter_.fit(grey, lens, pose, hoop_.rim_height_mm, rough_, at, options, fit_)) return false;
    at = fit_.board_from_hoop;
  }
  if (quality == Start::tracked) options.rounds = 6;
  options.edges.window_mm = 2.0;
  options.edges.smooth_mm = 0.16;
  options.gate_mm = 2.0;
  for (int round = 0; round < 3; ++round) {
    if (!fitter_.fit(grey, lens, pose, hoop_.rim_height_mm, fine_, at, options, fit_)) return false;
    const Pose2 moved = compose(inverse(at), fit_.board_from_hoop);
    at = fit_.board_from_hoop;
    if (cv::norm(moved.origin_mm) + std::abs(moved.angle_rad) * fine_.reach_mm < 0.15) break;
    options.edges.window_mm = 1.5;
    options.gate_mm = 0.8;
  }
  return true;
}

// The likeliest candidates first; the long tail only where none of them is a ring, as on a cloth full of edges.
bool RingGauge::search(const cv::Mat& grey, const Lens& lens, const CameraPose& pose,
                       const std::optional<cv::Point2d>& inside_in_board) {
  best_fit_ = RingFit{};
  candidates_ = search_.search(grey, lens, pose, hoop_.rim_height_mm, sparse_, kMostCandidates);
  if (inside_in_board) {
    std::stable_partition(candidates_.begin(), candidates_.end(), [&](const RingCandidate& candidate) {
      return cv::norm(candidate.board_from_hoop.origin_mm - *inside_in_board) < fine_.mean_radius_mm;
    });
  }
  const auto sure = [&] { return best_fit_.beyond_chance >= kSure; };
  size_t next = 0;
  for (; next < std::min(kLikelyCandidates, candidates_.size()) && !sure(); ++next) {
    try_start(grey, lens, pose, candidates_[next].board_from_hoop, Start::rough);
  }
  for (size_t i = 0; i < std::min(kCandidatesTriedBeside, candidates_.size()) && !sure(); ++i) {
    try_beside(grey, lens, pose, candidates_[i].board_from_hoop);
  }
  for (; next < candidates_.size() && best_fit_.beyond_chance < kReadable; ++next) {
    try_start(grey, lens, pose, candidates_[next].board_from_hoop, Start::rough);
  }
  fit_ = best_fit_;
  return fit_.beyond_chance > 0.0;
}

// Keeps the fit when it is the best so far; true when it is sure.
bool RingGauge::try_start(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, const Pose2& start,
                          Start quality) {
  if (settle(grey, lens, pose, start, quality) && fit_.beyond_chance > best_fit_.beyond_chance) best_fit_ = fit_;
  return best_fit_.beyond_chance >= kSure;
}

// A candidate may have taken one outline for the other on some sides: tries a rim's width to every side of it.
void RingGauge::try_beside(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, const Pose2& middle) {
  const double width = fine_.points.front().rim_width_mm;
  for (int k = 0; k < 8; ++k) {
    const double phi = k * kPi / 4.0;
    const Pose2 start = compose(middle, Pose2{{width * std::cos(phi), width * std::sin(phi)}, 0.0});
    if (try_start(grey, lens, pose, start, Start::near)) return;
  }
}

// Turns the fit of a round ring to its notches; `near` when the last frame's angle is a good start.
bool RingGauge::turn_round_ring(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, bool near) {
  if (fine_.symmetry != 0) return true;
  if (near) {
    look_for_notches(grey, lens, pose);
    if (outcome_.notches_found >= 2) return true;
  }
  const PlaneView view(lens, pose, hoop_.rim_height_mm, fit_.board_from_hoop);
  const std::optional<double> turn = round_angle(grey, view, hoop_);
  if (!turn) return false;
  Pose2 turned = fit_.board_from_hoop;
  turned.angle_rad = wrapped_rad(turned.angle_rad + *turn);
  // Once more, so that what was found of the outline belongs to the model as it is turned now.
  return settle(grey, lens, pose, turned, Start::tracked);
}

void RingGauge::look_for_notches(const cv::Mat& grey, const Lens& lens, const CameraPose& pose) {
  const PlaneView view(lens, pose, hoop_.rim_height_mm, fit_.board_from_hoop);
  outcome_.notches_found = 0;
  for (size_t k = 0; k < 4; ++k) {
    outcome_.notches[k] = find_notch(grey, view, sites_[k], kNotchReachMm);
    outcome_.notches_found += outcome_.notches[k].found ? 1 : 0;
    // A finger is as smooth as a bare rim; only where both outlines pass by is it the rim that is seen.
    // Beside a finger's edge a single groove can look like two.
    if (rim_shows_at(hoop_.notches[k].at_mm)) continue;
    outcome_.notches[k].clear_rim = false;
    outcome_.notches[k].teeth = 0;
  }
  drop_stray_notches();
}

// A finger's edge can pass for a groove. The outline tells where notches are to a few tenths of a millimetre, on a
// round ring but for a turn that all of them share: what lies elsewhere is none.
void RingGauge::drop_stray_notches() {
  double common = 0.0;
  if (fine_.symmetry == 0) {
    // The shift that most of them share: the one nearest to all others.
    double least = std::numeric_limits<double>::infinity();
    for (const FoundNotch& notch : outcome_.notches) {
      double apart = 0.0;
      for (const FoundNotch& other : outcome_.notches) {
        if (other.found) apart += std::abs(other.shift_mm - notch.shift_mm);
      }
      if (!notch.found || apart >= least) continue;
      least = apart;
      common = notch.shift_mm;
    }
  }
  for (FoundNotch& notch : outcome_.notches) {
    if (!notch.found || std::abs(notch.shift_mm - common) < kStrayMm) continue;
    notch = FoundNotch{};
    notch.looked = true;
    --outcome_.notches_found;
  }
}

// Whether an outline was found about a notch's place, the outer one or what is left of the inner one.
bool RingGauge::rim_shows_at(cv::Point2d place_in_hoop) const {
  constexpr double kAbout = 18.0;
  std::array<int, 2> near{}, found{};
  for (size_t i = 0; i < fine_.points.size(); ++i) {
    if (fine_.points[i].beside_notch || cv::norm(fine_.points[i].at_mm - place_in_hoop) > kAbout) continue;
    const size_t outline = fine_.points[i].inner ? 0 : 1;
    ++near[outline];
    found[outline] += fit_.found[i];
  }
  return found[0] >= std::max(2.0, 0.85 * near[0]) || found[1] >= std::max(2.0, 0.85 * near[1]);
}

// A ring taken a rim's width off its place has one outline for the other on one side: there the inner one is found and
// the outer one, commonly the plainer of the two, is not.
bool RingGauge::outlines_go_together() const {
  int inner = 0, both = 0;
  for (size_t i = 0; i < fine_.points.size(); ++i) {
    if (!fine_.points[i].inner || fine_.points[i].beside_notch || !fit_.found[i]) continue;
    ++inner;
    both += fit_.found[fine_.points[i].opposite];
  }
  return both >= 0.75 * inner;
}

// Weighs the notches' shifts along the rim in with the outline: all the angle of a round ring, a little of the others'.
void RingGauge::adjust_to_notches() {
  const double correlation = std::max(1.0, kCorrelationMm / kFineSpacingMm);
  cv::Matx33d information = fit_.information * (1.0 / (correlation * noise_scale(fit_)));
  information(2, 2) += 1e-3;  // rad^-2: a lid where nothing is known
  cv::Vec3d right = cv::Vec3d::all(0.0);
  for (size_t k = 0; k < 4; ++k) {
    const FoundNotch& notch = outcome_.notches[k];
    if (!notch.found) continue;
    const RimPlace& place = sites_[k].places[kNotchHalfColumns];
    const cv::Point2d along{-place.outward.y, place.outward.x};
    const cv::Vec3d j(along.x, along.y, along.dot(cv::Point2d(-place.at_mm.y, place.at_mm.x)));
    const double weight = 1.0 / (notch.sigma_mm * notch.sigma_mm);
    information += weight * (j * j.t());
    right += weight * notch.shift_mm * j;
  }
  cv::Vec3d step;
  if (!cv::solve(information, right, step, cv::DECOMP_CHOLESKY)) return;
  outcome_.board_from_hoop = compose(fit_.board_from_hoop, Pose2{{step[0], step[1]}, step[2]});
  const cv::Matx33d inverse = information.inv(cv::DECOMP_CHOLESKY);
  outcome_.covariance = inverse;
  outcome_.noise_covariance = inverse * (1.0 / correlation);
  // Where the outlines disagree the light comes from one side, and how much of that shift the outer edge shares is
  // not known.
  const cv::Vec2d doubt = kShareDoubt * cv::Vec2d(fit_.shift_mm.x, fit_.shift_mm.y);
  outcome_.covariance(0, 0) += kShadingMm * kShadingMm + doubt[0] * doubt[0];
  outcome_.covariance(1, 1) += kShadingMm * kShadingMm + doubt[1] * doubt[1];
  outcome_.covariance(0, 1) += doubt[0] * doubt[1];
  outcome_.covariance(1, 0) += doubt[0] * doubt[1];
  outcome_.covariance(2, 2) += kShadingRad * kShadingRad;
}

void RingGauge::conclude(const cv::Mat& grey, const Lens& lens, const CameraPose& pose,
                         const std::optional<cv::Point2d>& north_mark_in_board) {
  outcome_.support = fit_.support;
  outcome_.rms_mm = fit_.rms_mm;
  outcome_.found = fit_.found;
  outcome_.board_from_hoop = fit_.board_from_hoop;
  if (fit_.beyond_chance < kReadable || (fit_.beyond_chance < kSure && !outlines_go_together())) {
    outcome_.status = fit_.beyond_chance < kRing ? Status::no_ring : Status::ring_covered;
    return;
  }
  look_for_notches(grey, lens, pose);
  std::optional<int> turns = turns_to_north(hoop_, fine_, fit_.board_from_hoop, outcome_.notches, north_mark_in_board);
  // A pattern can feign a ring, and a fold a notch, but hardly both twice over.
  if (outcome_.notches_found < kLeastNotches && fit_.beyond_chance < kPlain) turns.reset();
  outcome_.status = turns ? Status::ok : Status::which_way_up;
  if (turns && *turns != 0) {
    // Again in the true position, where the evidence must still say so.
    const Pose2 turned = compose(fit_.board_from_hoop, Pose2{{0.0, 0.0}, *turns * 2.0 * kPi / positions(fine_)});
    const bool settled = settle(grey, lens, pose, turned, Start::tracked);
    outcome_.found = fit_.found;
    look_for_notches(grey, lens, pose);
    const std::optional<int> again =
        turns_to_north(hoop_, fine_, fit_.board_from_hoop, outcome_.notches, north_mark_in_board);
    if (!settled || again != 0) outcome_.status = Status::which_way_up;
  }
  adjust_to_notches();
}

const RingOutcome& RingGauge::measure(const cv::Mat& grey, const Lens& lens, const CameraPose& pose,
                                      const std::optional<Pose2>& last,
                                      const std::optional<cv::Point2d>& north_mark_in_board,
                                      const std::optional<cv::Point2d>& inside_in_board) {
  outcome_ = RingOutcome{};
  if (last && settle(grey, lens, pose, *last, Start::tracked) && fit_.beyond_chance >= kStillThere &&
      turn_round_ring(grey, lens, pose, true)) {
    outcome_.tracked = true;
    conclude(grey, lens, pose, north_mark_in_board);
    if (outcome_.status == Status::ok) return outcome_;
    outcome_ = RingOutcome{};
  }
  if (!search(grey, lens, pose, inside_in_board)) return outcome_;
  if (fit_.beyond_chance >= kReadable && !turn_round_ring(grey, lens, pose, false)) {
    outcome_.status = Status::which_way_up;
    outcome_.support = fit_.support;
    outcome_.found = fit_.found;
    outcome_.board_from_hoop = fit_.board_from_hoop;
    return outcome_;
  }
  conclude(grey, lens, pose, north_mark_in_board);
  return outcome_;
}

}  // namespace vision
