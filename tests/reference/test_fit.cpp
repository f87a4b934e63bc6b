// Fit against the outside: a published condition, closed forms, and a plain search of another build.
#include <cmath>
#include <fstream>
#include <random>
#include <sstream>
#include <string>
#include <vector>

#include "app/fit/fit.h"
#include "tests/catch.h"
#include "tests/reference/fit_by_search.h"

using app::Field;
using app::Fit;
using vision::kDegPerRad;
using vision::kPi;
using vision::kRadPerDeg;
using vision::Pose2;

namespace {

using Rows = std::vector<std::vector<double>>;

Rows rows_of(const std::string& file, std::size_t columns) {
  std::ifstream in(std::string(HOOPGAUGE_SOURCE_DIR) + "/tests/reference/data/rectangles/" + file);
  Rows rows;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    std::istringstream fields(line);
    std::vector<double> row;
    for (std::string field; std::getline(fields, field, ',');) row.push_back(std::stod(field));
    REQUIRE(row.size() == columns);
    rows.push_back(row);
  }
  REQUIRE(rows.size() >= 8);
  return rows;
}

Field rectangle(double a, double b) { return {Field::Shape::rectangle, {a, b}, 0.0}; }

bool fits_somehow(double p, double q, double a, double b, const Pose2& wanted) {
  const Fit fit = app::fit(app::rectangle_design({p, q}), rectangle(a, b), wanted, {0.0});
  return fit.fits || fit.hoop_from_design_nearest.has_value();
}

// Carver 1957, as Wetzel 2000 quotes it: p x q (p >= q) in a x b (a >= b).
bool carver(double p, double q, double a, double b) {
  if (p <= a) return q <= b;
  const double sum = (a + b) / (p + q), difference = (a - b) / (p - q);
  return q <= b && sum * sum + difference * difference >= 2.0;
}

class Draw {
 public:
  explicit Draw(unsigned seed) : engine_(seed) {}
  // Not of the library's distributions, whose numbers differ between its versions.
  double between(double low, double high) { return low + (high - low) * static_cast<double>(engine_()) / 4294967295.0; }
  int below(int n) { return static_cast<int>(between(0.0, n - 1e-9)); }

 private:
  std::mt19937 engine_;
};

struct Case {
  Field field;
  double clearance = 0.0;
  std::vector<cv::Point2d> hull;
  Pose2 pose;
};

Case any_case(Draw& draw) {
  Case one;
  const double a = draw.between(60.0, 360.0), b = draw.between(60.0, 360.0);
  one.field.size_mm = {a, b};
  one.clearance = draw.below(4) == 0 ? 0.0 : draw.between(0.0, 5.0);
  switch (draw.below(4)) {
    case 0:
      break;
    case 1:
      one.field.shape = Field::Shape::rounded_rectangle;
      one.field.corner_mm = draw.between(0.0, 0.5) * std::min(a, b);
      break;
    case 2:
      one.field = {Field::Shape::oval, {a, a}, 0.0};
      break;
    default:
      one.field.shape = Field::Shape::oval;
      // Less than the smallest radius of curvature, as the search's chords ask for.
      one.clearance = std::min(one.clearance, 0.4 * std::pow(std::min(a, b), 2) / std::max(a, b));
  }
  const double x = draw.between(0.05, 0.6) * one.field.size_mm.width;
  const double y = draw.between(0.05, 0.6) * one.field.size_mm.height;
  if (draw.below(3) == 0) {
    one.hull = app::rectangle_design({2.0 * x, 2.0 * y}).hull_mm;
  } else {
    const int n = 1 + draw.below(9);
    const cv::Point2d off(draw.between(-0.2, 0.2) * x, draw.between(-0.2, 0.2) * y);
    for (int i = 0; i < n; ++i) {
      const double u = 2.0 * kPi * (i + draw.between(0.0, 0.9)) / n;
      one.hull.push_back(off + cv::Point2d(x * std::cos(u), y * std::sin(u)));
    }
  }
  const double far = draw.below(4) == 0 ? 0.0 : draw.between(0.0, 0.5);
  one.pose.origin_mm = {draw.between(-far, far) * one.field.size_mm.width,
                        draw.between(-far, far) * one.field.size_mm.height};
  one.pose.angle_rad = draw.below(4) == 0 ? draw.below(4) * kPi / 2.0 : draw.between(-kPi, kPi);
  return one;
}

struct Tally {
  int fit = 0, slid = 0, turned = 0, nearest = 0, none = 0, touching = 0;
};

constexpr double kAgree_mm = 1e-6;

std::vector<cv::Point2d> placed(const Case& one, const Pose2& pose) {
  std::vector<cv::Point2d> points;
  for (const cv::Point2d& p : one.hull) points.push_back(vision::apply(pose, p));
  return points;
}

// Empty when all agrees, else what does not. `all`: the turn and the nearest pose as well, which take the search long.
std::string disagreement(const Case& one, bool all, Tally& tally) {
  app::Design design;
  design.hull_mm = one.hull;
  const double reach = app::reach_mm(design);
  const Fit fit = app::fit(design, one.field, one.pose, {one.clearance});
  const auto gap_at = [&](const Pose2& pose) {
    return by_search::gap_mm(one.field, placed(one, pose)) - one.clearance;
  };
  const double gap = gap_at(one.pose);
  if (!(std::abs(gap - fit.gap_mm) <= kAgree_mm)) return "gap";
  const double at = by_search::gap_mm(one.field, {fit.at_mm}) - one.clearance;
  if (!(std::abs(at - gap) <= kAgree_mm)) return "where the gap is";
  if (!(std::abs(cv::norm(fit.at_mm - fit.on_edge_mm) - std::abs(gap + one.clearance)) <= kAgree_mm))
    return "the edge's point";
  if (fit.fits) return ++tally.fit, gap >= -kAgree_mm ? "" : "fits";
  if (gap > kAgree_mm) return "does not fit";

  const std::vector<cv::Point2d> turned = placed(one, {{}, one.pose.angle_rad});
  const double too_narrow = by_search::too_narrow_mm(one.field, one.clearance, turned);
  if (std::abs(too_narrow) < kAgree_mm) {
    ++tally.touching;  // whether there is a place is a matter of rounding
  } else {
    const auto slide = by_search::slide_mm(one.field, one.clearance, turned, one.pose.origin_mm);
    if (slide.has_value() != fit.slide_mm.has_value()) return "whether a slide fits";
    if (slide && !(std::abs(*slide - cv::norm(*fit.slide_mm)) <= kAgree_mm)) return "slide";
  }
  if (fit.slide_mm) {
    ++tally.slid;
    if (!(gap_at({one.pose.origin_mm + *fit.slide_mm, one.pose.angle_rad}) >= -kAgree_mm)) return "slide does not fit";
  }
  if (fit.turn_deg) {
    ++tally.turned;
    if (!(gap_at({one.pose.origin_mm, one.pose.angle_rad + *fit.turn_deg * kRadPerDeg}) >= -kAgree_mm))
      return "turn does not fit";
  }
  double nearest = 0.0;
  if (fit.hoop_from_design_nearest) {
    ++tally.nearest;
    const Pose2& pose = *fit.hoop_from_design_nearest;
    if (!(gap_at(pose) >= -kAgree_mm)) return "nearest does not fit";
    nearest = std::hypot(cv::norm(pose.origin_mm - one.pose.origin_mm),
                         reach * vision::wrapped_rad(pose.angle_rad - one.pose.angle_rad));
    if (fit.slide_mm && !(nearest <= cv::norm(*fit.slide_mm) + kAgree_mm)) return "the slide is nearer";
    if (fit.turn_deg && !(nearest <= reach * std::abs(*fit.turn_deg) * kRadPerDeg + kAgree_mm))
      return "the turn is nearer";
  } else {
    ++tally.none;
    if (fit.slide_mm || fit.turn_deg) return "nearest is missing";
  }
  if (!all) return {};
  // A search of samples may miss what fits on a narrow stretch only; but what it finds is never better.
  if (const auto turn = by_search::turn_rad(one.field, one.clearance, one.hull, one.pose, 0.2 * kRadPerDeg)) {
    if (!fit.turn_deg) return "turn is missing";
    if (!(std::abs(*fit.turn_deg) * kRadPerDeg <= std::abs(*turn) + kAgree_mm / reach)) return "turn";
  }
  const auto found = by_search::nearest_mm(one.field, one.clearance, one.hull, one.pose, reach, 1.0 * kRadPerDeg);
  if (found && !fit.hoop_from_design_nearest) return "nearest is missing altogether";
  if (found && !(nearest <= *found + kAgree_mm)) return "nearest is not the nearest";
  return {};
}

void agree(int cases, int every, unsigned seed, Tally& tally) {
  Draw draw(seed);
  for (int i = 0; i < cases; ++i) {
    const Case one = any_case(draw);
    if (const std::string what = disagreement(one, i % every == 0, tally); !what.empty()) {
      INFO("case " << i << ": " << what);
      FAIL_CHECK();
    }
  }
}

}  // namespace

// Guarantees: a rectangle fits in a rectangle at some angle exactly when the published condition says so.
TEST_CASE("rectangles fit in rectangles as Wetzel and Carver say", "[fit][reference]") {
  for (const auto& row : rows_of("rectangle_in_rectangle.csv", 5)) {
    const double a = row[0], b = row[1], p = row[2], q = row[3];
    CAPTURE(a, b, p, q);
    const Pose2 wanted{{1.0, -2.0}, 0.3};
    if (row[4] == 0.0) {
      CHECK_FALSE(fits_somehow(p, q, a, b, wanted));
      continue;
    }
    // The files have nine digits.
    CHECK(fits_somehow(p, q - 1e-6, a, b, wanted));
    CHECK_FALSE(fits_somehow(p, q + 1e-6, a, b, wanted));
  }
  Draw draw(57);
  int fitting = 0, slanted = 0;
  for (int i = 0; i < 4000; ++i) {
    const double a = draw.between(50.0, 300.0), b = draw.between(0.2, 1.0) * a;
    const double p = draw.between(0.7, 1.2) * a, q = draw.between(0.02, 1.0) * std::min(p, 1.1 * b);
    // Within a millionth of the boundary either answer is right.
    if (carver(p - 1e-6, q - 1e-6, a, b) != carver(p + 1e-6, q + 1e-6, a, b)) continue;
    CAPTURE(i, a, b, p, q);
    const bool expected = carver(p, q, a, b);
    CHECK(fits_somehow(p, q, a, b, {{draw.between(-20.0, 20.0), 0.0}, draw.between(-3.0, 3.0)}) == expected);
    fitting += expected;
    slanted += expected && p > a;
  }
  CHECK(fitting > 1000);
  CHECK(slanted > 100);
}

// Guarantees: the smallest turn stops where the closed form says.
TEST_CASE("a rectangle turned about the middle stops at the closed form's angle", "[fit][reference]") {
  for (const auto& row : rows_of("turned_about_the_middle.csv", 5)) {
    CAPTURE(row[0], row[1], row[2], row[3]);
    const double limit = row[4], wanted = limit + 5.0;
    const Fit fit = app::fit(app::rectangle_design({row[2], row[3]}), rectangle(row[0], row[1]),
                             {{0.0, 0.0}, wanted * kRadPerDeg}, {0.0});
    REQUIRE(fit.turn_deg);
    CHECK_THAT(wanted + *fit.turn_deg, WithinAbs(limit, 2e-8));
  }
}

// Guarantees: gap, slide, turn and nearest pose for any hull in any field agree with a search of another build.
TEST_CASE("fit agrees with a plain search on random cases", "[fit][reference]") {
  Tally tally;
  agree(4000, 40, 1, tally);
  CHECK(tally.fit > 500);
  CHECK(tally.slid > 500);
  CHECK(tally.turned > 100);
  CHECK(tally.nearest > tally.slid);
  CHECK(tally.none > 100);
  CHECK(tally.touching < 10);
}

TEST_CASE("fit agrees with a plain search on a million random cases", "[.long]") {
  Tally tally;
  agree(1000000, 50, 2, tally);
  WARN("fits " << tally.fit << ", slides " << tally.slid << ", turns " << tally.turned << ", nearest " << tally.nearest
               << ", none " << tally.none << ", touching " << tally.touching);
}
