// The weeks of the records view: bins, signs and the word whether it gets better, which chance alone seldom says.
// Example failures: a Sunday counted to the next week; "better" of noise; a spread called a trend.
#include <random>

#include "app/views/records/trend.h"
#include "app/views/records/trend_drawing.h"
#include "tests/catch.h"

namespace {

using app::PieceRow;
using app::TrendVerdict;

constexpr std::int64_t kDay_s = 86400;

std::int64_t noon(int year, int month, int day) {
  std::tm here{};
  here.tm_year = year - 1900;
  here.tm_mon = month - 1;
  here.tm_mday = day;
  here.tm_hour = 12;
  here.tm_isdst = -1;
  return std::mktime(&here);
}

PieceRow row(std::int64_t time_s, double x_mm, double y_mm) {
  PieceRow one;
  one.time_s = time_s;
  one.offset_x_mm = static_cast<float>(x_mm);
  one.offset_y_mm = static_cast<float>(y_mm);
  one.tolerance_mm = 3.0F;
  one.tolerance_deg = 1.0F;
  return one;
}

// So many pieces a week from Monday on, of bell curves of this spread.
std::vector<PieceRow> weeks(int count, int pieces, double first_sd, double last_sd, std::mt19937_64& random) {
  std::normal_distribution<double> bell;
  std::vector<PieceRow> out;
  for (int week = 0; week < count; ++week)
    for (int i = 0; i < pieces; ++i) {
      const double sd = first_sd + (last_sd - first_sd) * week / std::max(1, count - 1);
      out.push_back(row(noon(2026, 1, 5) + week * 7 * kDay_s + i * 60, sd * bell(random), sd * bell(random)));
    }
  return out;
}

}  // namespace

TEST_CASE("pieces are counted by days, and by weeks from Monday where there are more", "[recordsview][trend]") {
  // The 5th and the 12th of January 2026 are Mondays.
  std::vector<PieceRow> pieces{row(noon(2026, 1, 5), 3.0, 4.0), row(noon(2026, 1, 11), 0.0, 1.0),
                               row(noon(2026, 1, 12), 0.0, -2.0)};
  app::Trend trend = app::trend(pieces);
  CHECK(trend.days);
  REQUIRE(trend.rows[0].bins.size() == 3);
  CHECK_THAT(trend.rows[0].bins[0].mean, WithinAbs(5.0, 1e-6));
  CHECK_THAT(trend.rows[1].bins[0].mean, WithinAbs(3.0, 1e-6));
  CHECK_THAT(trend.rows[2].bins[2].mean, WithinAbs(-2.0, 1e-6));
  CHECK_FALSE(trend.rows[0].bins[0].of_mean);  // of one piece there is none
  pieces.push_back(row(noon(2026, 1, 26), 0.0, 6.0));
  trend = app::trend(pieces);
  CHECK_FALSE(trend.days);
  REQUIRE(trend.rows[0].bins.size() == 3);  // a week without pieces has no bin
  CHECK(trend.rows[0].bins[0].count == 2);
  CHECK_THAT(trend.rows[0].bins[0].mean, WithinAbs(3.0, 1e-6));
  CHECK(trend.rows[0].bins[1].begin_s == noon(2026, 1, 12) - kDay_s / 2);
  CHECK(trend.verdict.kind == TrendVerdict::Kind::too_few);
  CHECK(app::trend({}).rows[0].bins.empty());
}

TEST_CASE("a scatter that shrinks from week to week is called better, one that grows worse", "[recordsview][trend]") {
  std::mt19937_64 random(3);
  const app::Trend better = app::trend(weeks(10, 40, 2.4, 1.2, random));
  CHECK(better.verdict.kind == TrendVerdict::Kind::better);
  // The mean distance of a round bell curve is sqrt(pi / 2) of its spread.
  CHECK_THAT(better.verdict.from_mm, WithinAbs(1.2533 * 2.4, 0.35));
  CHECK_THAT(better.verdict.to_mm, WithinAbs(1.2533 * 1.2, 0.35));
  CHECK(app::verdict_words(better, app::Units::mm).find("getting better") != std::string::npos);
  CHECK(app::trend(weeks(10, 40, 1.2, 2.4, random)).verdict.kind == TrendVerdict::Kind::worse);
}

TEST_CASE("without a trend a word of one comes no more often than stated", "[recordsview][trend]") {
  std::mt19937_64 random(4);
  constexpr int kLooks = 400;
  int called = 0, signs = 0, bins = 0;
  for (int look = 0; look < kLooks; ++look) {
    const app::Trend trend = app::trend(weeks(10, 8, 1.5, 1.5, random));
    called += trend.verdict.kind != TrendVerdict::Kind::no_change ? 1 : 0;
    signs += static_cast<int>(trend.rows[1].signals.size());
    bins += static_cast<int>(trend.rows[1].bins.size());
  }
  const double stated = app::kFalseVerdict * kLooks;
  CHECK(called <= stated + 3.0 * std::sqrt(stated));
  CHECK(called > 0);
  CHECK(signs < bins / 20);
}

TEST_CASE("a week far off completes a rule, and is named", "[recordsview][trend]") {
  std::mt19937_64 random(5);
  std::vector<PieceRow> pieces = weeks(12, 20, 1.0, 1.0, random);
  for (PieceRow& one : pieces)
    if (one.time_s > noon(2026, 3, 22)) one.offset_x_mm += 4.0F;
  const app::TrendRow right = app::trend(pieces).rows[static_cast<std::size_t>(app::TrendOf::right)];
  REQUIRE_FALSE(right.signals.empty());
  CHECK(right.signals.back().at == 11);
  CHECK(right.signals.back().above);
  const std::vector<std::string> words = app::signal_words(right, false);
  REQUIRE_FALSE(words.empty());
  CHECK(words.back().find("the week from 03-23") != std::string::npos);
  CHECK(app::signal_words(app::trend(weeks(5, 20, 1.0, 1.0, random)).rows[0], false).front().find("8 means") !=
        std::string::npos);
}
