#include "app/fit/nearest_pose.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "app/fit/nearest_place.h"

namespace app {
namespace {

constexpr int kMostLooks = 4000;
constexpr double kInfinite = std::numeric_limits<double>::infinity();

// value + slope * x + bend / 2 * x^2
struct Parabola {
  double value = 0.0, slope = 0.0, bend = 0.0;

  double at(double x) const { return value + x * (slope + 0.5 * bend * x); }
  Parabola moved(double by) const { return {at(by), slope + bend * by, bend}; }  // seen from x = by
  double lowest_at(double from, double to) const {
    if (bend > 0.0) return std::clamp(-slope / bend, from, to);
    return at(from) <= at(to) ? from : to;
  }
};

// A rotation that was tried, and fits at some place.
struct Look {
  double turn = 0.0;
  NearestPlace place;
  double cost = 0.0;  // squared distance
};

class Search {
 public:
  Search(const Room& room, const std::vector<cv::Point2d>& hull, const vision::Pose2& wanted, double reach)
      : room_(room), hull_(hull), wanted_(wanted), reach_(reach) {}

  std::optional<NearestPose> run(std::optional<double> turn) {
    if (turn) take({*turn, {true, wanted_.origin_mm, 0.0, {}, {}}, square(reach_ * *turn)});
    look(0.0);
    const double most = best_ ? furthest_turn() : vision::kPi;
    if (most > 0.0) {
      open(0.0, most);
      open(-most, 0.0);
    }
    while (!stretches_.empty()) {
      std::pop_heap(stretches_.begin(), stretches_.end(), later);
      const Stretch stretch = std::move(stretches_.back());
      stretches_.pop_back();
      if (stretch.lower < enough()) split(stretch);
    }
    if (!best_) return std::nullopt;
    return NearestPose{
        {best_->place.centre_mm, vision::wrapped_rad(wanted_.angle_rad + best_->turn)}, std::sqrt(best_cost_), looks_};
  }

 private:
  // Between two rotations that fit.
  struct Stretch {
    Look from, to;
    double lower = 0.0;     // no cost inside is less
    double split_at = 0.0;  // where that might be
  };
  static double square(double v) { return v * v; }
  static bool later(const Stretch& a, const Stretch& b) { return a.lower > b.lower; }
  double furthest_turn() const {
    return std::min(vision::kPi, reach_ > 0.0 ? std::sqrt(best_cost_) / reach_ : vision::kPi);
  }
  // What costs no less than this is no better.
  double enough() const { return best_ ? square(std::max(0.0, std::sqrt(best_cost_) - kNearest_mm)) : kInfinite; }
  void take(const Look& one) {
    if (best_ && !(one.cost < best_cost_)) return;
    best_ = one;
    best_cost_ = one.cost;
  }

  // Tries a rotation. Where it does not fit: nothing, and how far on it does not either, to both sides.
  std::optional<Look> look(double turn) {
    ++looks_;
    const double rotation = wanted_.angle_rad + turn;
    Look one{turn, nearest_place(room_, hull_, rotation, wanted_.origin_mm, hints_), 0.0};
    if (!one.place.deciding.empty()) hints_ = one.place.deciding;
    if (one.place.possible) {
      one.cost = square(one.place.distance_mm) + square(reach_ * turn);
      take(one);
      return one;
    }
    const double least = 0.1 * kTouch_mm / std::max(1e-3, reach_);  // by less the hull does not move as far as counts
    const bool proved = one.place.proof.at(rotation) > 0.0;
    for (const int direction : {-1, 1})
      ruled_out_[direction > 0] = std::max(least, proved ? way_down_rad(one.place.proof, rotation, direction) : 0.0);
    return std::nullopt;
  }

  // From a rotation on towards another one, the first that fits.
  std::optional<Look> first_fitting(double from, double to) {
    const int direction = to > from ? 1 : -1;
    for (double turn = from; direction * (to - turn) >= 0.0 && looks_ < kMostLooks;) {
      if (std::optional<Look> one = look(turn)) return one;
      turn += direction * ruled_out_[direction > 0];
    }
    return std::nullopt;
  }
  // Nothing is known yet of either end.
  void open(double from, double to) {
    const std::optional<Look> left = first_fitting(from, to);
    if (!left) return;
    if (const std::optional<Look> right = first_fitting(to, left->turn)) push(*left, *right);
  }

  // A cost never lower than the true one's, near this look: the proof's wave squared plus the turn's cost, bent as
  // little as it can be within `reach_rad`.
  Parabola below(const Look& one, double reach_rad) const {
    const double rotation = wanted_.angle_rad + one.turn;
    const Wave& wave = one.place.proof;
    const double f = wave.at(rotation), slope = f > 0.0 ? wave.slope(rotation) : 0.0, up = std::max(0.0, f);
    // f'' = level - f, and the bend of f^2 is 2 f'^2 + 2 f f''.
    const double highest = std::max(0.0, std::min(up + wave.swing() * reach_rad, wave.level + wave.swing()));
    return {up * up + square(reach_ * one.turn), 2.0 * up * slope + 2.0 * square(reach_) * one.turn,
            2.0 * square(reach_) + 2.0 * std::min(0.0, highest * (wave.level - highest))};
  }

  void push(const Look& from, const Look& to) {
    const double width = to.turn - from.turn;
    if (!(width > 1e-14)) return;
    const Parabola left = below(from, width), right = below(to, width).moved(-width);
    Stretch stretch{from, to, 0.0, 0.0};
    const auto consider = [&](const Parabola& one) {
      const double x = one.lowest_at(0.0, width);
      if (one.at(x) >= stretch.lower) stretch.lower = one.at(x), stretch.split_at = x;
    };
    consider(left);
    consider(right);
    // Where one falls and the other rises, their mixture with level slope is the best of their mixtures, nearly.
    if (const double fall = -left.moved(width / 2.0).slope, rise = right.moved(width / 2.0).slope;
        fall > 0.0 && rise > 0.0) {
      const double share = rise / (rise + fall);
      consider({share * left.value + (1.0 - share) * right.value, share * left.slope + (1.0 - share) * right.slope,
                share * left.bend + (1.0 - share) * right.bend});
    }
    if (!(stretch.lower < enough())) return;
    const double margin = width > 0.05 ? 0.5 : 0.02;
    stretch.split_at = from.turn + std::clamp(stretch.split_at, margin * width, (1.0 - margin) * width);
    stretches_.push_back(std::move(stretch));
    std::push_heap(stretches_.begin(), stretches_.end(), later);
  }

  void split(const Stretch& s) {
    if (looks_ >= kMostLooks) return;
    if (const std::optional<Look> middle = look(s.split_at)) {
      push(s.from, *middle);
      push(*middle, s.to);
      return;
    }
    const double back = s.split_at - ruled_out_[0], on = s.split_at + ruled_out_[1];
    if (back > s.from.turn)
      if (const auto left = first_fitting(back, s.from.turn)) push(s.from, *left);
    if (on < s.to.turn)
      if (const auto right = first_fitting(on, s.to.turn)) push(*right, s.to);
  }

  const Room& room_;
  const std::vector<cv::Point2d>& hull_;
  vision::Pose2 wanted_;
  double reach_;
  std::optional<Look> best_;
  double best_cost_ = kInfinite;    // its own; apart, so that it is always set
  std::vector<Stretch> stretches_;  // a heap, the most promising first
  std::vector<Contact> hints_;      // of the last look
  double ruled_out_[2] = {0.0, 0.0};
  int looks_ = 0;
};

}  // namespace

std::optional<NearestPose> nearest_pose(const Room& room, const std::vector<cv::Point2d>& hull,
                                        const vision::Pose2& wanted, double reach_mm, std::optional<double> turn_rad) {
  return Search(room, hull, wanted, reach_mm).run(turn_rad);
}

}  // namespace app
