// What to enter at the machine: against hand-worked cases, an exhaustive search, and a simulated machine that does
// what is pressed.
#include <algorithm>
#include <cmath>
#include <complex>
#include <random>
#include <string>

#include "app/machine/entry.h"
#include "tests/app/simulated_machine.h"
#include "tests/catch.h"

namespace {

using app::Machine;
using app::MachineEntry;
using Point = std::complex<double>;

constexpr double kDeg = vision::kRadPerDeg;
const std::vector<cv::Point2d> kNoHull;

vision::Pose2 wanted(double x_mm, double y_mm, double deg) { return {{x_mm, y_mm}, deg * kDeg}; }

std::vector<cv::Point2d> box(double width_mm, double height_mm) {
  return app::rectangle_design({width_mm, height_mm}).hull_mm;
}

std::string keys_of(const MachineEntry& entry) {
  std::string out;
  for (const app::KeyPresses& one : entry.keys) {
    const int tenths = static_cast<int>(std::lround(one.key_deg * 10.0));
    out += std::string(out.empty() ? "" : " ") + (tenths < 0 ? "-" : "") + std::to_string(std::abs(tenths) / 10) +
           (tenths % 10 != 0 ? "." + std::to_string(std::abs(tenths % 10)) : "") + "x" + std::to_string(one.times);
  }
  return out;
}

std::string keys_to(const Machine& machine, double number) {
  const double cloth = machine.sense == Machine::Sense::clockwise ? -number : number;
  return keys_of(app::machine_entry(machine, box(80, 60), wanted(0, 0, cloth)));
}

}  // namespace

TEST_CASE("the keys of common rotations, worked out by hand", "[machine]") {
  const Machine both;
  CHECK(keys_to(both, 112) == "90x1 10x2 1x2");  // TRADE.md's own example
  CHECK(keys_to(both, 0) == "");
  CHECK(keys_to(both, 1) == "1x1");
  CHECK(keys_to(both, 359) == "-1x1");
  CHECK(keys_to(both, 85) == "90x1 -1x5");
  CHECK(keys_to(both, 45) == "10x4 1x5");
  CHECK(keys_to(both, 180) == "90x2");  // not twice back
  CHECK(keys_to(both, 270) == "-90x1");
  CHECK(keys_to(both, 50) == "10x5");  // as short as 90 and four times 10 back, with one key only
  CHECK(keys_to(both, 355) == "-1x5");
  Machine one_way = both;
  one_way.turn_keys_both_ways = false;
  CHECK(keys_to(one_way, 112) == "90x1 10x2 1x2");
  CHECK(keys_to(one_way, 359) == "90x3 10x8 1x9");
  Machine fine = both;
  fine.rotation_step_deg = 0.1;
  fine.turn_keys_deg = {90.0, 10.0, 1.0, 0.1};
  CHECK(keys_to(fine, 112.3) == "90x1 10x2 1x2 0.1x3");
  CHECK(keys_to(fine, 359.9) == "-0.1x1");
}

namespace {

// Fewest presses for each rotation by trying every count of every key: no search, no order.
std::vector<int> fewest_by_trying(const std::vector<int>& keys, bool both_ways, int most_each) {
  std::vector<int> fewest(3600, 1 << 20);
  std::vector<int> counts(keys.size(), both_ways ? -most_each : 0);
  for (;;) {
    long turns = 0;
    int presses = 0;
    for (std::size_t i = 0; i < keys.size(); ++i) {
      turns += static_cast<long>(keys[i]) * counts[i];
      presses += std::abs(counts[i]);
    }
    int& found = fewest[static_cast<std::size_t>(((turns % 3600) + 3600) % 3600)];
    found = std::min(found, presses);
    std::size_t i = 0;
    while (i < keys.size() && ++counts[i] > most_each) counts[i++] = both_ways ? -most_each : 0;
    if (i == keys.size()) return fewest;
  }
}

}  // namespace

// Guarantees: the shown keys reach the shown number, and no others do in fewer presses. Example failure: 359 as 20
// presses upward where one key back does.
TEST_CASE("no shorter way with the keys than the one shown", "[machine]") {
  struct Case {
    std::vector<double> keys;
    double step;
    bool both;
    int most_each;  // more presses of one key than any shortest way has
  };
  const std::vector<Case> cases{
      {{90, 10, 1}, 1, true, 10}, {{90, 10, 1}, 1, false, 10},       {{45, 7, 1}, 1, true, 12},
      {{45, 7, 1}, 1, false, 12}, {{90, 10, 1, 0.1}, 0.1, true, 10}, {{90, 5, 0.5}, 0.1, false, 20},
      {{90}, 1, true, 4},         {{100, 30}, 1, false, 40}};
  for (const Case& one : cases) {
    Machine machine;
    machine.sense = Machine::Sense::counter_clockwise;
    machine.rotation_step_deg = one.step;
    machine.turn_keys_deg = one.keys;
    machine.turn_keys_both_ways = one.both;
    std::vector<int> keys;
    for (const double key : one.keys) keys.push_back(static_cast<int>(std::lround(key * 10.0)));
    const std::vector<int> fewest = fewest_by_trying(keys, one.both, one.most_each);
    const app::TurnKeys turn(machine);
    int reached = 0;
    for (int turns = 0; turns < 3600; ++turns) {
      const bool reachable = fewest[static_cast<std::size_t>(turns)] < 1 << 20;
      REQUIRE(reachable == (turns % turn.grid() == 0));
      if (!reachable) continue;
      int presses = 0, sum = 0;
      for (const app::KeyPresses& press : turn.shortest(turns)) {
        presses += press.times;
        sum += static_cast<int>(std::lround(press.key_deg * 10.0)) * press.times;
        REQUIRE((one.both || press.key_deg > 0.0));
      }
      REQUIRE(((sum - turns) % 3600) == 0);
      REQUIRE(presses == fewest[static_cast<std::size_t>(turns)]);
      ++reached;
    }
    CHECK(reached > 3);
  }
}

// Guarantees: signs. Example failure: a design wanted right of the middle is jogged to the left.
TEST_CASE("entries worked out by hand: number, jog and what is left over", "[machine][sign]") {
  const auto hull = box(80, 60);
  Machine m;  // clockwise, 1 degree, jog of the design in 0.1 mm
  MachineEntry e = app::machine_entry(m, hull, wanted(2.34, -1.26, -5.2));
  CHECK_THAT(e.rotation, WithinAbs(5.0, 1e-12));
  CHECK(keys_of(e) == "1x5");
  CHECK(e.jog_right_presses == 23);
  CHECK(e.jog_up_presses == -13);
  CHECK_THAT(e.jog_right_mm, WithinAbs(2.3, 1e-12));
  CHECK_THAT(e.left_over_deg, WithinAbs(-0.2, 1e-9));
  // 0.2 degrees at the corner 50 mm off: 0.1745 mm; and the jog's 0.04 mm both ways: between their difference and sum.
  CHECK(e.left_over_mm > 0.1745);
  CHECK(e.left_over_mm < 0.1745 + 0.0567);
  CHECK(e.possible());

  m.sense = Machine::Sense::counter_clockwise;
  CHECK_THAT(app::machine_entry(m, hull, wanted(0, 0, -5.2)).rotation, WithinAbs(355.0, 1e-12));
  m.range = Machine::Range::half_turns;
  CHECK_THAT(app::machine_entry(m, hull, wanted(0, 0, -5.2)).rotation, WithinAbs(-5.0, 1e-12));
  CHECK_THAT(app::machine_entry(m, hull, wanted(0, 0, 179.9)).rotation, WithinAbs(180.0, 1e-12));
  CHECK_THAT(app::machine_entry(m, hull, wanted(0, 0, -179.9)).rotation, WithinAbs(180.0, 1e-12));

  // The hoop moves: the other way.
  m.moves = Machine::Moves::hoop;
  e = app::machine_entry(m, hull, wanted(2.3, -1.3, 0));
  CHECK(e.jog_right_presses == -23);
  CHECK(e.jog_up_presses == 13);

  // Stitched mirrored: what is shown left comes right, and a turn is seen the other way.
  m = Machine();
  m.mirror = Machine::Mirror::left_right;
  e = app::machine_entry(m, hull, wanted(2.3, -1.3, -5));
  CHECK(e.jog_right_presses == -23);
  CHECK(e.jog_up_presses == -13);
  CHECK_THAT(e.rotation, WithinAbs(355.0, 1e-12));

  // Jogged first, then turned by 90 counter-clockwise about the field's centre: right becomes up.
  m = Machine();
  m.order = Machine::Order::jog_first;
  m.about = Machine::About::field_centre;
  e = app::machine_entry(m, hull, wanted(0, 5, 90));
  CHECK_THAT(e.rotation, WithinAbs(270.0, 1e-12));
  CHECK(e.jog_right_presses == 50);
  CHECK(e.jog_up_presses == 0);
}

TEST_CASE("a rotation just below a full turn is entered as 0", "[machine]") {
  Machine m;
  m.sense = Machine::Sense::counter_clockwise;
  m.rotation_step_deg = 0.1;
  m.turn_keys_deg.clear();
  for (const double deg : {359.96, -0.04, 0.04, 720.01}) {
    const MachineEntry e = app::machine_entry(m, box(80, 60), wanted(0, 0, deg));
    CHECK_THAT(e.rotation, WithinAbs(0.0, 0.0));
    CHECK_THAT(e.left_over_deg, WithinAbs(std::remainder(deg, 360.0), 1e-9));
  }
  CHECK_THAT(app::machine_entry(m, kNoHull, wanted(0, 0, 359.94)).rotation, WithinAbs(359.9, 1e-12));
}

TEST_CASE("what a machine cannot do is named, and the nearest is given", "[machine]") {
  Machine fixed;
  fixed.rotation_step_deg = 0.0;
  fixed.turn_keys_deg.clear();
  MachineEntry e = app::machine_entry(fixed, box(80, 60), wanted(1, 2, 3));
  CHECK(e.turn == MachineEntry::Turn::none);
  CHECK_THAT(e.left_over_deg, WithinAbs(3.0, 1e-9));
  CHECK_THAT(e.left_over_mm, WithinAbs(2.0 * 50.0 * std::sin(1.5 * kDeg), 1e-6));
  CHECK(e.jog_right_presses == 10);
  CHECK(app::machine_entry(fixed, box(80, 60), wanted(1, 2, 0.4)).turn == MachineEntry::Turn::possible);

  Machine quarter;
  quarter.turn_keys_deg = {90.0};
  e = app::machine_entry(quarter, box(80, 60), wanted(0, 0, 50));
  CHECK(e.turn == MachineEntry::Turn::too_coarse);
  CHECK_THAT(e.rotation, WithinAbs(270.0, 1e-12));
  CHECK_THAT(e.left_over_deg, WithinAbs(-40.0, 1e-9));

  Machine limited;
  limited.jog_limit_mm = {3.0, 0.0};
  e = app::machine_entry(limited, box(80, 60), wanted(-3.04, 40.0, 0));
  CHECK(e.jog_possible);
  CHECK(e.jog_right_presses == -30);
  CHECK(e.jog_up_presses == 400);
  e = app::machine_entry(limited, box(80, 60), wanted(-4.5, 0.0, 0));
  CHECK_FALSE(e.jog_possible);
  CHECK_FALSE(e.possible());
  CHECK(e.jog_right_presses == -30);
  CHECK_THAT(e.jog_wanted_mm.x, WithinAbs(-4.5, 1e-6));
  CHECK_THAT(e.left_over_mm, WithinAbs(1.5, 1e-6));
}

namespace {

// All that differs between machines, one after another by number.
Machine machine_no(int number) {
  const auto pick = [&](int choices) {
    const int picked = number % choices;
    number /= choices;
    return picked;
  };
  Machine m;
  m.sense = static_cast<Machine::Sense>(pick(2));
  m.moves = static_cast<Machine::Moves>(pick(2));
  m.order = static_cast<Machine::Order>(pick(2));
  m.about = static_cast<Machine::About>(pick(2));
  m.mirror = static_cast<Machine::Mirror>(pick(3));
  m.range = static_cast<Machine::Range>(pick(2));
  switch (pick(8)) {
    case 0:
      break;
    case 1:
      m.turn_keys_both_ways = false;
      break;
    case 2:
      m.turn_keys_deg.clear();
      break;
    case 3:
      m.rotation_step_deg = 0.1;
      m.turn_keys_deg = {90.0, 10.0, 1.0, 0.1};
      break;
    case 4:
      m.rotation_step_deg = 0.1;
      m.turn_keys_deg = {90.0, 5.0, 0.5, 0.1};
      m.turn_keys_both_ways = false;
      break;
    case 5:
      m.rotation_step_deg = 0.1;
      m.turn_keys_deg.clear();
      break;
    case 6:
      m.turn_keys_deg = {90.0};
      break;
    default:
      m.rotation_step_deg = 0.0;
      m.turn_keys_deg.clear();
  }
  if (pick(2) == 1) m.jog_limit_mm = {8.0, 12.5};
  m.jog_step_mm = pick(2) == 1 ? 0.1 : 0.25;
  return m;
}
constexpr int kMachines = 2 * 2 * 2 * 2 * 3 * 2 * 8 * 2 * 2;

struct Trial {
  Machine machine;
  std::vector<cv::Point2d> hull;
  vision::Pose2 wanted;
};

Trial trial(int number, std::mt19937& random) {
  const auto between = [&](double low, double high) {
    return low + (high - low) * (static_cast<double>(random() >> 5) / 134217728.0);
  };
  Trial t{machine_no(number), {}, {}};
  // Three to six points around, not in the middle.
  const int corners = 3 + static_cast<int>(random() % 4);
  for (int i = 0; i < corners; ++i) {
    const double angle = 2.0 * vision::kPi * (i + between(0.0, 0.8)) / corners, reach = between(5.0, 90.0);
    t.hull.emplace_back(reach * std::cos(angle), reach * std::sin(angle));
  }
  const double most_deg = random() % 3 == 0 ? 180.0 : 6.0;
  t.wanted = {{between(-15.0, 15.0), between(-15.0, 15.0)}, between(-most_deg, most_deg) * kDeg};
  return t;
}

// Presses what the entry says, in the machine's order.
void operate(SimulatedMachine& at, const Machine& machine, const MachineEntry& entry) {
  const auto turn = [&] {
    if (machine.turn_keys_deg.empty()) return at.type_rotation(entry.rotation);
    for (const app::KeyPresses& keys : entry.keys)
      for (int i = 0; i < keys.times; ++i) at.press_turn_key(keys.key_deg);
  };
  const auto jog = [&] {
    for (int i = 0; i < std::abs(entry.jog_right_presses); ++i) at.press_right(entry.jog_right_presses > 0 ? 1 : -1);
    for (int i = 0; i < std::abs(entry.jog_up_presses); ++i) at.press_up(entry.jog_up_presses > 0 ? 1 : -1);
  };
  if (machine.order == Machine::Order::turn_first) {
    turn();
    jog();
  } else {
    jog();
    turn();
  }
}

// The largest distance of a point from where it is wanted, and how far the whole is turned off (wanted less done).
struct Off {
  double mm = 0.0, deg = 0.0;
};

Off off(const std::vector<Point>& design, const std::vector<Point>& stitched, const vision::Pose2& wanted) {
  Off out;
  const Point centre(wanted.origin_mm.x, wanted.origin_mm.y), turn = std::polar(1.0, wanted.angle_rad);
  for (std::size_t i = 0; i < design.size(); ++i)
    out.mm = std::max(out.mm, std::abs(stitched[i] - (centre + turn * design[i])));
  const Point there = turn * (design[1] - design[0]), done = stitched[1] - stitched[0];
  out.deg = std::arg(there * std::conj(done)) / kDeg;
  return out;
}

double reach_of(const std::vector<cv::Point2d>& hull) {
  double reach = 0.0;  // about the origin: no smaller than about the best point
  for (const cv::Point2d& p : hull) reach = std::max(reach, std::hypot(p.x, p.y));
  return reach;
}

int put_through(int trials) {
  std::mt19937 random(20261);
  int unreachable = 0;
  for (int i = 0; i < trials; ++i) {
    const Trial t = trial(i, random);
    const MachineEntry entry = app::machine_entry(t.machine, t.hull, t.wanted);
    std::vector<Point> design;
    for (const cv::Point2d& p : t.hull) design.emplace_back(p.x, p.y);
    SimulatedMachine at(t.machine, design);
    operate(at, t.machine, entry);
    const Off found = off(design, at.stitched(), t.wanted);
    INFO("trial " << i);
    REQUIRE(at.beeps() == 0);
    REQUIRE_THAT(at.shown_rotation(), WithinAbs(entry.rotation, 1e-6));
    REQUIRE_THAT(found.mm, WithinAbs(entry.left_over_mm, 1e-6));
    REQUIRE_THAT(found.deg, WithinAbs(entry.left_over_deg, 1e-6));
    // What rounding to the machine's steps leaves at most; more must be named.
    const double step = t.machine.rotation_step_deg;
    const double half_cell = t.machine.jog_step_mm / std::sqrt(2.0);
    const double of_turn = 2.0 * reach_of(t.hull) * std::sin(0.25 * step * kDeg);
    if (entry.possible() && step > 0.0) {
      REQUIRE(std::abs(found.deg) <= 0.5 + 1e-6);
      if (t.machine.turn_keys_deg != std::vector<double>{90.0}) REQUIRE(found.mm <= of_turn + half_cell + 1e-3);
    }
    REQUIRE((entry.turn == MachineEntry::Turn::possible) == (std::abs(found.deg) <= 0.5 + 1e-9));
    if (!entry.jog_possible) REQUIRE(found.mm >= 0.5 * t.machine.jog_step_mm);
    if (t.machine.jog_limit_mm.width == 0.0) REQUIRE(entry.jog_possible);
    unreachable += entry.possible() ? 0 : 1;
  }
  return unreachable;
}

}  // namespace

// Guarantees: whoever enters what is shown has the design where it belongs, but for what is said to be left over.
// Example failure: the jog's sign of a mirrored machine that moves the hoop and turns about the field's centre.
TEST_CASE("a simulated machine puts the design on the sticker within what is said to be left over", "[machine]") {
  const int unreachable = put_through(10000);
  CHECK(unreachable > 500);
  CHECK(unreachable < 6000);
  CHECK(kMachines < 10000);  // each machine at least once
}

TEST_CASE("a simulated machine, a million readings", "[.long]") { CHECK(put_through(1000000) > 0); }

// Guarantees: rotation and jog are chosen together, the best there is. Example failure: a design whose shape lies to
// one side of its centre is jogged for the centre alone.
TEST_CASE("no rotation and jog that can be entered leave less than those chosen", "[machine]") {
  std::mt19937 random(7);
  int joint = 0;
  for (int i = 0; i < 60; ++i) {
    Trial t = trial(i, random);
    t.machine = machine_no(i % 48);  // all kinds of mirror, order, point and motion; steps of 1 degree
    t.machine.jog_step_mm = 0.5;
    t.wanted.origin_mm *= 0.1;
    const MachineEntry entry = app::machine_entry(t.machine, t.hull, t.wanted);
    double least = 1e9;
    for (int deg = 0; deg < 360; ++deg) {
      const Point turn = std::polar(1.0, deg * kDeg) - std::polar(1.0, t.wanted.angle_rad);
      // Any jog puts the centre onto a grid; turned with the design where that swings about the field's centre.
      const bool swings =
          t.machine.order == Machine::Order::jog_first && t.machine.about == Machine::About::field_centre;
      const Point axis = swings ? std::polar(1.0, deg * kDeg) : Point(1.0, 0.0);
      for (int x = -10; x <= 10; ++x)
        for (int y = -10; y <= 10; ++y) {
          const Point centre = axis * Point(0.5 * x, 0.5 * y);
          double most = 0.0;
          for (const cv::Point2d& p : t.hull) {
            most = std::max(
                most, std::abs(centre - Point(t.wanted.origin_mm.x, t.wanted.origin_mm.y) + turn * Point(p.x, p.y)));
            if (most > least) break;
          }
          least = std::min(least, most);
        }
    }
    INFO("case " << i);
    REQUIRE_THAT(entry.left_over_mm, WithinAbs(least, 1e-9));
    const MachineEntry alone = app::machine_entry(t.machine, kNoHull, t.wanted);
    joint += alone.jog_right_presses != entry.jog_right_presses || alone.jog_up_presses != entry.jog_up_presses;
  }
  CHECK(joint > 5);
}
