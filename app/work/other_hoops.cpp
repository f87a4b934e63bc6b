#include "app/work/other_hoops.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/cycle/seen_parts.h"
#include "app/cycle/stillness.h"

namespace app {
namespace {

using vision::Status;

// Far above what the ring's own finding asks for: a doubtful hoop is not named.
constexpr double kClearSupport = 0.85;
constexpr int kClearNotches = 3;
// A hoop that a third one may pass for must fit better by so much of its outline.
constexpr double kClearLead = 0.15;
constexpr StillLimits kLiesStill{1.0, 0.6};

constexpr int kRays = 72;
using Radii = std::array<double, kRays>;

// How far the outline is from the hoop's origin, every five degrees.
Radii radii(const std::vector<cv::Point2d>& outline) {
  Radii out{};
  for (int i = 0; i < kRays; ++i) {
    const double angle = i * 2.0 * vision::kPi / kRays;
    const cv::Point2d way(std::cos(angle), std::sin(angle));
    double best = -2.0;
    for (const cv::Point2d& p : outline) {
      const double length = std::hypot(p.x, p.y);
      if (length > 0.0 && p.dot(way) / length > best)
        best = p.dot(way) / length, out[static_cast<std::size_t>(i)] = length;
    }
  }
  return out;
}

bool alike(const Radii& a, const Radii& b, int turn, double limit_mm) {
  for (int i = 0; i < kRays; ++i)
    if (!(std::abs(a[static_cast<std::size_t>(i)] - b[static_cast<std::size_t>((i + turn) % kRays)]) < limit_mm))
      return false;
  return true;
}

// The ring was looked for in vain, on a board that is seen.
bool in_vain(const vision::FrameResult& result) { return result.camera_from_board && ring_hidden(result); }

}  // namespace

bool look_alike(const vision::Hoop& a, const vision::Hoop& b, double limit_mm) {
  const Radii inner_a = radii(a.inner_mm), outer_a = radii(a.outer_mm);
  const Radii inner_b = radii(b.inner_mm), outer_b = radii(b.outer_mm);
  for (int turn = 0; turn < kRays; turn += kRays / 4)
    if (alike(inner_a, inner_b, turn, limit_mm) && alike(outer_a, outer_b, turn, limit_mm)) return true;
  return false;
}

OtherHoops::OtherHoops(const vision::Lens& lens, const vision::Hoop& looked_for,
                       const std::vector<vision::Hoop>& others)
    : lens_(lens) {
  for (const vision::Hoop& other : others)
    if (other.name != looked_for.name && !look_alike(other, looked_for, kAlikeMm))
      others_.push_back({vision::RingGauge(other), {}});
  for (std::size_t i = 0; i < others_.size(); ++i)
    for (std::size_t k = 0; k < others_.size(); ++k)
      if (i != k && look_alike(others_[i].gauge.hoop(), others_[k].gauge.hoop(), kCloseMm))
        others_[i].close.push_back(k);
}

void OtherHoops::drop() {
  candidate_.reset();
  seen_ = missed_ = 0;
  name_.clear();
}

void OtherHoops::see(const cv::Mat& grey, const vision::FrameResult& result) {
  if (others_.empty()) return;
  if (result.board_from_hoop) {
    frames_ = 0;
    return drop();
  }
  if (!in_vain(result)) return;
  // One that lies where it lay is soon followed; only what is not there takes a search.
  const bool turn = ++frames_ % kTryEvery == 0;
  if (candidate_ && (turn || missed_ == 0)) {
    follow(grey, result);
  } else if (turn) {
    try_next(grey, result);
  }
}

bool OtherHoops::fits(std::size_t which, const cv::Mat& grey, const vision::FrameResult& result,
                      const std::optional<vision::Pose2>& last) {
  vision::RingGauge& gauge = others_[which].gauge;
  const vision::Hoop& hoop = gauge.hoop();
  std::optional<cv::Point2d> north_mark;
  for (const vision::SeenTag& tag : result.other_tags) {
    if (hoop.north_by != vision::NorthBy::mark || tag.id != hoop.north_mark) continue;
    const auto& c = tag.corners_normalised;
    north_mark = vision::board_at_height_normalised(*result.camera_from_board, 0.25 * (c[0] + c[1] + c[2] + c[3]),
                                                    hoop.rim_height_mm);
  }
  const vision::RingOutcome& found = gauge.measure(grey, lens_, *result.camera_from_board, last, north_mark);
  return found.status == Status::ok && found.support >= kClearSupport && found.notches_found >= kClearNotches;
}

void OtherHoops::try_next(const cv::Mat& grey, const vision::FrameResult& result) {
  next_ = (next_ + 1) % others_.size();
  if (!fits(next_, grey, result, std::nullopt)) return;
  candidate_ = next_;
  board_from_candidate_ = others_[next_].gauge.outcome().board_from_hoop;
  seen_ = 1;
  missed_ = 0;
}

void OtherHoops::follow(const cv::Mat& grey, const vision::FrameResult& result) {
  const bool there = fits(*candidate_, grey, result, board_from_candidate_);
  if (!there) {
    // Under a cloth that was laid it may still be.
    const bool may_be_hidden = !name_.empty() && !result.stickers.empty();
    if (++missed_ >= kFailuresToDrop && !may_be_hidden) drop();
    return;
  }
  missed_ = 0;
  const vision::Pose2 now = others_[*candidate_].gauge.outcome().board_from_hoop;
  seen_ = moved(now, board_from_candidate_, kLiesStill) ? 1 : seen_ + 1;
  board_from_candidate_ = now;
  if (!name_.empty() || seen_ < kFramesToName) return;
  if (stands_out(grey, result)) {
    name_ = others_[*candidate_].gauge.hoop().name;
  } else {
    drop();
  }
}

// Once, before it is named.
bool OtherHoops::stands_out(const cv::Mat& grey, const vision::FrameResult& result) {
  const double support = others_[*candidate_].gauge.outcome().support;
  return std::none_of(others_[*candidate_].close.begin(), others_[*candidate_].close.end(), [&](std::size_t third) {
    fits(third, grey, result, board_from_candidate_);
    const vision::RingOutcome& found = others_[third].gauge.outcome();
    return found.status != Status::no_ring && found.support > support - kClearLead;
  });
}

}  // namespace app
