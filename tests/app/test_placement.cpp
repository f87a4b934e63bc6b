// What pieces say together: hand-computed figures, and habits that are there or only seem to be.
#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "app/figures/habit.h"
#include "app/figures/placement.h"
#include "tests/catch.h"

namespace {

app::PlacedPiece piece(double x, double y, double turn_deg) {
  app::PlacedPiece one;
  one.offset_mm = {x, y};
  one.rotation_deg = turn_deg;
  one.tolerance_mm = 3.0;
  one.tolerance_deg = 1.0;
  one.seconds = 40.0;
  return one;
}

std::vector<app::PlacedPiece> pieces(std::size_t count, cv::Point2d bias, double turn_deg, std::uint64_t seed) {
  std::mt19937_64 random(seed);
  std::normal_distribution<double> curve;
  std::vector<app::PlacedPiece> all;
  for (std::size_t i = 0; i < count; ++i) {
    const double x = bias.x + 0.8 * curve(random), y = bias.y + 1.2 * curve(random);
    all.push_back(piece(x, y, turn_deg + 0.4 * curve(random)));
  }
  return all;
}

}  // namespace

TEST_CASE("a piece is within its tolerance or not", "[figures]") {
  CHECK(piece(3.0, 0.0, 1.0).within());
  CHECK_FALSE(piece(2.2, 2.2, 0.0).within());  // 3.11 mm off, though within 3 mm each way
  CHECK_FALSE(piece(0.0, 0.0, -1.01).within());
  CHECK(piece(0.0, 0.0, 359.5).within());
}

TEST_CASE("the figures of four pieces by hand", "[figures]") {
  std::vector<app::PlacedPiece> four{piece(1, 0, 0.5), piece(-1, 2, -0.5), piece(1, 4, 0.5), piece(-1, -2, 1.5)};
  four[1].tries = 2;
  four[1].seconds = 0.0;
  four[3].seconds = 60.0;
  four[2].seconds = 50.0;
  const app::PlacementFigures figures = app::placement_figures(four, {0.5, 0.1});
  CHECK(figures.count == 4);
  CHECK(figures.within == 2);
  CHECK_THAT(figures.offset.mean_mm.x, WithinAbs(0.0, 1e-12));
  CHECK_THAT(figures.offset.mean_mm.y, WithinAbs(1.0, 1e-12));
  CHECK_THAT(figures.rotation.mean_deg, WithinAbs(0.5, 1e-3));
  CHECK_THAT(figures.median_seconds, WithinAbs(50.0, 1e-12));
  CHECK_THAT(figures.mean_tries, WithinAbs(1.25, 1e-12));
  CHECK_THAT(figures.first_try_share, WithinAbs(0.75, 1e-12));
  // x: 1, -1, 1, -1 has the variance 4/3; less the station's 0.25.
  CHECK_THAT(*figures.people_x_mm, WithinAbs(std::sqrt(4.0 / 3.0 - 0.25), 1e-12));
  CHECK_FALSE(app::placement_figures(four, {9.0, 0.1}).people_x_mm);
  // In shares of the tolerance of 3 mm: mean 1/3, spread sqrt(20/3) / 3.
  CHECK_THAT(figures.y.throughout.cpk.value, WithinAbs((1.0 - 1.0 / 3.0) / std::sqrt(20.0 / 3.0), 1e-12));
  CHECK(figures.y.too_few);
  const app::PlacementFigures none = app::placement_figures({});
  CHECK(none.count == 0);
  CHECK(none.within_share.high == 1.0);
}

TEST_CASE("the trend's charts find the piece that stands out", "[figures]") {
  std::vector<app::PlacedPiece> row = pieces(30, {0.0, 0.0}, 0.0, 5);
  row[20].offset_mm.y = 9.0;
  const app::PlacementTrend trend = app::placement_trend(row);
  const auto found = std::find_if(trend.y_mm.signals.begin(), trend.y_mm.signals.end(), [](const auto& signal) {
    return signal.rule == app::ControlRule::beyond_3_sigma && signal.at == 20;
  });
  REQUIRE(found != trend.y_mm.signals.end());
  CHECK(found->above);
  CHECK(trend.x_mm.values.size() == 30);
  CHECK(trend.turn_deg.ewma.z.size() == 30);
}

// Guarantees: a hint names the side on which the pieces lie. Example failure: low is said of pieces above.
TEST_CASE("a habit is named by its side and its size", "[figures][habit]") {
  using Kind = app::Habit::Kind;
  struct Case {
    cv::Point2d bias;
    double turn_deg;
    Kind kind;
  };
  for (const Case& one : {Case{{0.0, -1.8}, 0.0, Kind::low},
                          {{0.0, 1.8}, 0.0, Kind::high},
                          {{-1.5, 0.0}, 0.0, Kind::left},
                          {{1.5, 0.0}, 0.0, Kind::right},
                          {{0.0, 0.0}, -0.8, Kind::clockwise},
                          {{0.0, 0.0}, 0.8, Kind::counter_clockwise}}) {
    const auto found = app::habit(pieces(40, one.bias, one.turn_deg, 3));
    REQUIRE(found);
    CHECK(found->kind == one.kind);
    CHECK(found->of == 20);
    CHECK(found->pieces >= 15);
    CHECK_THAT(found->amount,
               WithinAbs(std::max({std::abs(one.bias.x), std::abs(one.bias.y), std::abs(one.turn_deg)}), 0.7));
  }
  // By hand: eleven of twelve lie 2 mm low, one 1 mm high.
  std::vector<app::PlacedPiece> twelve(12, piece(0.0, -2.0, 0.0));
  twelve[4].offset_mm.y = 1.0;
  const auto found = app::habit(twelve);
  REQUIRE(found);
  CHECK(found->kind == Kind::low);
  CHECK(found->pieces == 11);
  CHECK_THAT(found->amount, WithinAbs(21.0 / 12.0, 1e-12));
  CHECK_FALSE(app::habit(std::span(twelve).first(11)));
}

TEST_CASE("no habit is made of chance, nor of what is too small to matter", "[figures][habit]") {
  int named = 0;
  for (std::uint64_t seed = 1; seed <= 500; ++seed) named += app::habit(pieces(20, {0.0, 0.0}, 0.0, seed)) ? 1 : 0;
  CHECK(named <= 14);  // three looks at 0.005 each: 7.5 expected at most
  std::vector<app::PlacedPiece> steady(20, piece(0.2, -0.3, 0.1));
  CHECK_FALSE(app::habit(steady));
}
