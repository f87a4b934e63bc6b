#include "app/machine/entry.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "app/machine/machine_file.h"

namespace app {
namespace {

using vision::kDegPerRad;
using vision::kRadPerDeg;

constexpr double kFine_deg = 0.5 + 1e-9;  // half the commonest step: what rounding leaves there at most
constexpr double kSame_mm = 1e-9;         // two entries that differ by less are equally good
constexpr int kWidestSearch = 8;          // jog steps each way; reached only where the rotation is hopeless

cv::Matx22d rotation_of(double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {c, -s, s, c};
}

// On the cloth from on the screen.
cv::Matx22d mirror_of(const Machine& machine) {
  return {machine.mirror == Machine::Mirror::left_right ? -1.0 : 1.0, 0.0, 0.0,
          machine.mirror == Machine::Mirror::top_bottom ? -1.0 : 1.0};
}

// +1 where the machine's number grows counter-clockwise on the cloth.
double sense_on_cloth(const Machine& machine) {
  const double shown = machine.sense == Machine::Sense::counter_clockwise ? 1.0 : -1.0;
  return machine.mirror == Machine::Mirror::none ? shown : -shown;
}

// The way of the design's centre on the cloth from the jog, once all is entered.
cv::Matx22d cloth_from_jog(const Machine& machine, double cloth_rad) {
  const cv::Matx22d way = machine.moves == Machine::Moves::hoop ? -1.0 * cv::Matx22d::eye() : mirror_of(machine);
  const bool swings = machine.order == Machine::Order::jog_first && machine.about == Machine::About::field_centre;
  return swings ? rotation_of(cloth_rad) * way : way;
}

// The rotations next to the wanted one that can be entered, the nearer one first, in finest turns of the machine's
// own sense; one where it is met.
std::vector<int> candidates(const Machine& machine, double wanted_rad) {
  const int grid = TurnKeys(machine).grid();
  if (grid == 0) return {0};
  const double wanted = sense_on_cloth(machine) * wanted_rad * kDegPerRad / kFinestTurn_deg / grid;
  const double below = std::floor(wanted);
  const int lower = static_cast<int>(below) * grid;
  if (wanted - below < 1e-9) return {lower};
  if (wanted - below <= 0.5) return {lower, lower + grid};
  return {lower + grid, lower};
}

// The wanted place of a design, and how far an entry is off it.
class Aim {
 public:
  Aim(const std::vector<cv::Point2d>& hull_mm, const vision::Pose2& wanted) : wanted_(wanted), hull_(hull_mm) {
    if (hull_.empty()) hull_.emplace_back(0.0, 0.0);
    std::vector<cv::Point2f> points(hull_.begin(), hull_.end());
    cv::Point2f middle;
    cv::minEnclosingCircle(points, middle, radius_);
    middle_ = hull_.size() > 1 ? cv::Point2d(middle) : hull_.front();
  }

  // From here on for this rotation of the design on the cloth.
  void turn_to(double cloth_rad) {
    const cv::Matx22d turn = rotation_of(cloth_rad) - rotation_of(wanted_.angle_rad);
    off_.clear();
    for (const cv::Point2d& p : hull_) off_.push_back(turn * p);
    best_centre_ = wanted_.origin_mm - cv::Point2d(turn * middle_);
    least_ = static_cast<double>(radius_) * 2.0 * std::abs(std::sin((cloth_rad - wanted_.angle_rad) / 2.0));
  }
  // The design's centre that leaves the least, and how much that is (both but for the float of the circle's search).
  cv::Point2d best_centre() const { return best_centre_; }
  double least_mm() const { return least_; }
  double left_over_mm(cv::Point2d centre) const {
    double most = 0.0;
    for (const cv::Point2d& off : off_) {
      const cv::Point2d d = centre - wanted_.origin_mm + off;
      most = std::max(most, d.dot(d));
    }
    return std::sqrt(most);
  }

 private:
  vision::Pose2 wanted_;
  std::vector<cv::Point2d> hull_, off_;
  cv::Point2d middle_, best_centre_;
  float radius_ = 0.0F;
  double least_ = 0.0;
};

// Whole presses, as far as the limit lets.
int most_presses(double limit_mm, double step_mm) {
  if (limit_mm <= 0.0) return std::numeric_limits<int>::max() / 4;
  return static_cast<int>(std::floor(limit_mm / step_mm + 1e-9));
}

int nearest_presses(double wanted, int most) {
  return static_cast<int>(std::lround(std::clamp<double>(wanted, -most, most)));
}

struct Jog {
  int right = 0, up = 0;  // presses
  cv::Point2d centre_mm;
  double left_over_mm = std::numeric_limits<double>::infinity();
};

// The best presses for the rotation that the aim is turned to. A centre at distance r from the best one leaves at
// least sqrt(least^2 + r^2), and the grid point next to it at most least + half a cell's diagonal: what is farther
// need not be tried.
Jog best_jog(const Machine& machine, const Aim& aim, const cv::Matx22d& from_jog, cv::Point2d wanted_mm) {
  const double step = machine.jog_step_mm;
  const double half_cell = step / std::sqrt(2.0);
  const double reach = std::sqrt(half_cell * (2.0 * aim.least_mm() + half_cell));
  const int width = std::min(kWidestSearch, static_cast<int>(std::ceil(reach / step)) + 1);
  const int most_right = most_presses(machine.jog_limit_mm.width, step);
  const int most_up = most_presses(machine.jog_limit_mm.height, step);
  const int right = nearest_presses(wanted_mm.x / step, most_right);
  const int up = nearest_presses(wanted_mm.y / step, most_up);
  Jog best;
  for (int x = std::max(right - width, -most_right); x <= std::min(right + width, most_right); ++x)
    for (int y = std::max(up - width, -most_up); y <= std::min(up + width, most_up); ++y) {
      const cv::Point2d centre = from_jog * cv::Point2d(x * step, y * step);
      const double left = aim.left_over_mm(centre);
      const bool fewer = std::abs(x) + std::abs(y) < std::abs(best.right) + std::abs(best.up);
      if (left < best.left_over_mm - kSame_mm || (left < best.left_over_mm + kSame_mm && fewer))
        best = {x, y, centre, left};
    }
  return best;
}

MachineEntry entry_of(const Machine& machine, int finest_turns, const Jog& jog, cv::Point2d wanted_jog_mm) {
  MachineEntry entry;
  entry.rotation = shown_rotation(machine, finest_turns);
  entry.jog_right_presses = jog.right;
  entry.jog_up_presses = jog.up;
  entry.jog_right_mm = jog.right * machine.jog_step_mm;
  entry.jog_up_mm = jog.up * machine.jog_step_mm;
  entry.jog_wanted_mm = wanted_jog_mm;
  const auto beyond = [&](double wanted_mm, double limit_mm) {
    const double step = machine.jog_step_mm;
    return limit_mm > 0.0 && std::abs(wanted_mm) > most_presses(limit_mm, step) * step + step / 2.0 + kSame_mm;
  };
  entry.jog_possible =
      !beyond(wanted_jog_mm.x, machine.jog_limit_mm.width) && !beyond(wanted_jog_mm.y, machine.jog_limit_mm.height);
  entry.left_over_mm = jog.left_over_mm;
  const double cloth_rad = sense_on_cloth(machine) * finest_turns * kFinestTurn_deg * kRadPerDeg;
  entry.hoop_from_design = {jog.centre_mm, vision::wrapped_rad(cloth_rad)};
  return entry;
}

}  // namespace

double shown_rotation(const Machine& machine, int finest_turns) {
  constexpr int kFull = TurnKeys::kFullTurn;
  int shown = ((finest_turns % kFull) + kFull) % kFull;
  if (machine.range == Machine::Range::half_turns && shown > kFull / 2) shown -= kFull;
  return shown / 10.0;
}

MachineEntry machine_entry(const Machine& machine, const std::vector<cv::Point2d>& hull_mm,
                           const vision::Pose2& hoop_from_design) {
  Aim aim(hull_mm, hoop_from_design);
  MachineEntry best;
  std::optional<int> turned;
  for (const int turns : candidates(machine, hoop_from_design.angle_rad)) {
    const double cloth_rad = sense_on_cloth(machine) * turns * kFinestTurn_deg * kRadPerDeg;
    aim.turn_to(cloth_rad);
    const cv::Matx22d from_jog = cloth_from_jog(machine, cloth_rad);
    const cv::Point2d wanted_jog = from_jog.t() * aim.best_centre();
    const Jog jog = best_jog(machine, aim, from_jog, wanted_jog);
    if (turned && !(hull_mm.size() > 1 && jog.left_over_mm < best.left_over_mm - kSame_mm)) continue;
    best = entry_of(machine, turns, jog, wanted_jog);
    turned = turns;
  }
  best.left_over_deg = vision::wrapped_rad(hoop_from_design.angle_rad - best.hoop_from_design.angle_rad) * kDegPerRad;
  if (std::abs(best.left_over_deg) > kFine_deg)
    best.turn = TurnKeys(machine).grid() == 0 ? MachineEntry::Turn::none : MachineEntry::Turn::too_coarse;
  best.keys = TurnKeys(machine).shortest(*turned);
  return best;
}

MachineEntry machine_entry(const Machine& machine, const Design& design, const vision::Pose2& hoop_from_design) {
  return machine_entry(machine, design.hull_mm, hoop_from_design);
}

}  // namespace app
