// The numbers of a report.
//
// Guarantees: every piece counts where it belongs, hidden people are named nowhere, nobody is ranked whom the figures
// do not tell apart, and what costs money is counted as it is said. Example failure: the rest that a hoop is held
// against contains the hoop's own pieces.
#include <cmath>
#include <random>

#include "app/report/report_figures.h"
#include "app/report/write_report.h"
#include "tests/app/invented_rows.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

app::ReportInput input_of(const invented::Rows& all) {
  app::ReportInput input;
  input.rows = all.rows;
  input.names = &all.names;
  input.proof.line = "No proof.";
  return input;
}

// `bad` of `count` pieces 5 mm low, the others on the mark.
void add(invented::Rows& all, const std::string& who, const std::string& hoop, int count, int bad) {
  for (int i = 0; i < count; ++i) {
    app::PieceRow one = invented::row(all, who, invented::kStart_s + 60 * static_cast<int>(all.rows.size()));
    one.hoop = all.index(hoop);
    one.offset_y_mm = i < bad ? -5.0F : 0.0F;
    all.rows.push_back(one);
  }
}

const app::ReportGroup& group(const invented::Rows& all, const app::GroupedFigures& groups, const std::string& name) {
  for (const app::ReportGroup& one : groups.groups)
    if (all.names[one.name] == name) return one;
  FAIL("no group " << name);
  return groups.groups.front();
}

}  // namespace

TEST_CASE("pieces are counted in the whole and in each of their groups", "[report]") {
  invented::Rows all;
  add(all, "Ada", "small", 30, 15);
  add(all, "Bruno", "large", 60, 3);
  add(all, "", "large", 10, 0);
  app::PieceRow lost = invented::row(all, "Ada", invented::kStart_s + 9000);
  lost.offset_x_mm = NAN;
  all.rows.push_back(lost);
  const app::ReportFigures figures = app::report_figures(input_of(all));
  CHECK(figures.pieces == 101);
  CHECK(figures.unreadable == 1);
  CHECK(figures.whole.count == 100);
  CHECK(figures.whole.within == 82);
  CHECK(figures.usual_tolerance_mm == 3.0);
  CHECK(figures.one_tolerance);
  const auto& hoops = figures.by(app::Grouping::hoop);
  REQUIRE(hoops.groups.size() == 2);
  CHECK(group(all, hoops, "small").figures.within == 15);
  CHECK(group(all, hoops, "large").figures.within == 67);
  CHECK_THAT(group(all, hoops, "small").figures.offset.mean_mm.y, WithinAbs(-2.5, 1e-9));
  // Half against 67 of 70: far apart.
  CHECK(group(all, hoops, "small").worse);
  CHECK(group(all, hoops, "large").better);
  const auto& people = figures.by(app::Grouping::operator_name);
  REQUIRE(people.groups.size() == 3);
  CHECK(all.names[people.groups[0].name].empty());
  CHECK(all.names[people.groups[1].name] == "Ada");
  CHECK(figures.operators.names.size() == 2);  // nobody is not compared
  CHECK(holds(app::trouble_sentence(input_of(all), figures), "hoop 'small' with 50.0 % in tolerance"));
}

// Guarantees: a group is called the trouble only where chance does not explain it. Example failures: 8 of 10 against 93
// of 100 is named; of many jobs with the same true share, the one at the lower end is.
TEST_CASE("no group is called the trouble by chance", "[report]") {
  invented::Rows all;
  add(all, "Ada", "small", 10, 2);
  add(all, "Ada", "large", 100, 7);
  const app::ReportFigures figures = app::report_figures(input_of(all));
  CHECK_FALSE(group(all, figures.by(app::Grouping::hoop), "small").worse);
  CHECK(holds(app::trouble_sentence(input_of(all), figures), "stands out"));
  invented::Rows few;
  add(few, "Ada", "small", 9, 9);
  add(few, "Ada", "large", 100, 0);
  CHECK_FALSE(group(few, app::report_figures(input_of(few)).by(app::Grouping::hoop), "small").worse);
}

TEST_CASE("one of many alike groups is not called the trouble", "[report]") {
  std::mt19937 random(3);
  std::binomial_distribution<int> misses(40, 0.03);
  int named = 0;
  for (int shop = 0; shop < 100; ++shop) {
    invented::Rows all;
    for (int hoop = 0; hoop < 15; ++hoop) add(all, "Ada", "hoop " + std::to_string(hoop), 40, misses(random));
    const app::ReportFigures figures = app::report_figures(input_of(all));
    for (const app::ReportGroup& one : figures.by(app::Grouping::hoop).groups)
      if (one.worse || one.better) ++named;
  }
  CHECK(named <= 5);  // 5 % of the shops; without Holm about 50 groups of 1,500 would be
}

TEST_CASE("a piece without a tolerance is in no figure", "[report]") {
  invented::Rows all;
  add(all, "Ada", "small", 20, 0);
  for (const float none : {0.0F, NAN}) {
    app::PieceRow one = invented::row(all, "Ada", invented::kStart_s + 9000);
    one.tolerance_mm = none;
    all.rows.push_back(one);
  }
  const app::ReportFigures figures = app::report_figures(input_of(all));
  CHECK(figures.unreadable == 2);
  CHECK(figures.whole.count == 20);
  CHECK(figures.whole.within == 20);
}

TEST_CASE("hidden operators count in the whole and are named nowhere", "[report]") {
  invented::Rows all;
  add(all, "Ada", "large", 20, 0);
  add(all, "Gone Person", "large", 20, 20);
  app::ReportInput input = input_of(all);
  input.hidden.assign(all.names.size(), false);
  input.hidden[all.index("Gone Person")] = true;
  const app::ReportFigures figures = app::report_figures(input);
  CHECK(figures.whole.within == 20);
  CHECK(figures.hidden_operators == 1);
  CHECK(figures.by(app::Grouping::operator_name).groups.size() == 1);
  CHECK(figures.operators.names.size() == 1);
  const auto content =
      app::report_content(input, figures, {"Title", {}, "", false, {}}, app::ReportWords(app::Units::mm));
  CHECK_FALSE(holds(app::report_html(content), "Gone Person"));
}

TEST_CASE("people are ranked in words only where the figures rank them", "[report]") {
  invented::Rows apart;
  for (int i = 0; i < 40; ++i)
    for (const auto& [who, mm] : {std::pair{"Ada", 0.5F}, {"Bruno", 1.5F}, {"Cleo", 2.5F}}) {
      app::PieceRow one = invented::row(apart, who, invented::kStart_s + 60 * i);
      one.offset_x_mm = mm + 0.01F * static_cast<float>(i % 5);
      apart.rows.push_back(one);
    }
  app::ReportInput input = input_of(apart);
  std::string said = app::comparison_sentence(input, app::report_figures(input).operators);
  CHECK(holds(said, "as a share of the tolerance, from the least: Ada (17 %), Bruno (51 %), Cleo (84 %)"));
  // Names left out: numbers in the order of the first piece.
  input.numbers = app::operator_numbers(input.rows, apart.names.size());
  said = app::comparison_sentence(input, app::report_figures(input).operators);
  CHECK(holds(said, "Operator 1 (17 %"));
  CHECK_FALSE(holds(said, "Ada"));

  invented::Rows alike;
  for (int i = 0; i < 40; ++i)
    for (const char* who : {"Ada", "Bruno"}) {
      app::PieceRow one = invented::row(alike, who, invented::kStart_s + 60 * i);
      one.offset_x_mm = 0.1F * static_cast<float>((i * 7) % 20);
      alike.rows.push_back(one);
    }
  CHECK(holds(app::comparison_sentence(input_of(alike), app::report_figures(input_of(alike)).operators),
              "do not tell the operators apart"));
}

TEST_CASE("weeks are those of ISO 8601, and days or months where they say more", "[report]") {
  const auto labels = [](int days_apart, int count) {
    invented::Rows all;
    for (int i = 0; i < count; ++i)
      all.rows.push_back(invented::row(all, "Ada", invented::kStart_s + 4 * 3600 + 86400LL * days_apart * i));
    std::vector<std::string> out;
    for (const app::TrendPeriod& one : app::report_figures(input_of(all)).trend.periods) out.push_back(one.label);
    return out;
  };
  // From Monday, 5 January 2026: the second week of that year.
  CHECK(labels(1, 3) == std::vector<std::string>{"2026-01-05", "2026-01-06", "2026-01-07"});
  const auto weeks = labels(6, 6);  // days 0, 6 | 12 | 18 | 24 | 30
  CHECK(weeks == std::vector<std::string>{"2026-W02", "2026-W03", "2026-W04", "2026-W05", "2026-W06"});
  CHECK(labels(300, 3) == std::vector<std::string>{"2026-01", "2026-11", "2027-08"});
}

TEST_CASE("better and worse are told from chance", "[report]") {
  const auto verdict = [](float before, float after) {
    invented::Rows all;
    for (int i = 0; i < 80; ++i) {
      app::PieceRow one = invented::row(all, "Ada", invented::kStart_s + 86400LL * i);
      one.offset_x_mm = (i < 51 ? before : after) + 0.1F * static_cast<float>((i * 3) % 7);
      all.rows.push_back(one);
    }
    return app::report_figures(input_of(all)).trend.change;
  };
  using Verdict = app::ReportChange::Verdict;
  const app::ReportChange better = verdict(1.5F, 0.5F);
  CHECK(better.verdict == Verdict::better);
  CHECK(better.newest_weeks);
  CHECK(better.after_count == 28);
  CHECK_THAT(better.before_mm - better.after_mm, WithinAbs(1.0, 0.1));
  CHECK(verdict(0.5F, 1.5F).verdict == Verdict::worse);
  CHECK(verdict(1.0F, 1.0F).verdict == Verdict::as_before);
  invented::Rows few;
  add(few, "Ada", "", 12, 0);
  CHECK(app::report_figures(input_of(few)).trend.change.verdict == Verdict::unknown);
}

TEST_CASE("what it costs, by hand", "[report]") {
  invented::Rows all;
  for (int i = 0; i < 10; ++i) {
    app::PieceRow one = invented::row(all, "Ada", invented::kStart_s + 60 * i);
    one.hooping_s = i < 8 ? 40.0F : 100.0F;
    one.tries = i < 8 ? 1 : 2;
    one.inspected = i < 5;
    one.outcome = i == 0 ? app::Outcome::reject : i == 1 ? app::Outcome::mend : app::Outcome::good;
    all.rows.push_back(one);
  }
  all.rows[9].hooping_s = NAN;
  app::ReportInput input = input_of(all);
  input.costs = {30.0, 12.5};
  const app::ReportFigures figures = app::report_figures(input);
  const app::CostFigures& cost = figures.cost;
  CHECK(cost.timed == 9);
  CHECK_THAT(cost.minutes_per_100, WithinAbs(420.0 / 9.0 * 100.0 / 60.0, 1e-6));
  CHECK(cost.repeated == 1);
  REQUIRE(cost.minutes_lost);
  CHECK_THAT(*cost.minutes_lost, WithinAbs(1.0, 1e-6));
  CHECK_THAT(*cost.lost_time_cost, WithinAbs(0.5, 1e-6));
  CHECK_THAT(*cost.rejects_cost, WithinAbs(12.5, 1e-9));
  CHECK(figures.inspection.inspected == 5);
  CHECK(figures.inspection.count == std::array<std::size_t, 3>{3, 1, 1});
  // Wilson for 1 of 5.
  CHECK_THAT(figures.inspection.share[2].low, WithinAbs(0.0362, 1e-4));
  CHECK_THAT(figures.inspection.share[2].high, WithinAbs(0.6245, 1e-4));
  // Where nothing went well at the first try there is no usual time to lose against, which is not "nothing lost".
  for (app::PieceRow& row : all.rows) row.tries = 2;
  input.rows = all.rows;
  const app::ReportFigures twice = app::report_figures(input);
  CHECK(twice.cost.repeated == 9);
  CHECK_FALSE(twice.cost.minutes_lost);
  CHECK_FALSE(twice.cost.lost_time_cost);
  CHECK(holds(app::cost_sentence(twice), "cannot be told"));
  CHECK(holds(app::cost_sentence(figures), "the minutes lost and the rejects come to 13.00 at the prices given"));
}

TEST_CASE("the station's part is taken out only by a proof that holds, of the one station", "[report]") {
  invented::Rows all;
  for (int i = 0; i < 20; ++i) {
    app::PieceRow one = invented::row(all, "Ada", invented::kStart_s + 60 * i);
    one.offset_x_mm = i % 2 == 0 ? 1.0F : -1.0F;  // variance 20/19
    one.offset_y_mm = i % 2 == 0 ? 1.0F : -1.0F;
    all.rows.push_back(one);
  }
  app::ReportInput input = input_of(all);
  const app::ReportWords words(app::Units::mm);
  CHECK(holds(app::people_sentence(input, app::report_figures(input), words), "cannot be told without a proof"));
  input.proof.doubt = app::StationDoubt{0.6, 0.0};
  const app::ReportFigures figures = app::report_figures(input);
  CHECK_THAT(*figures.whole.people_x_mm, WithinAbs(std::sqrt(20.0 / 19.0 - 0.36), 1e-6));
  CHECK(holds(app::people_sentence(input, figures, words), "0.83 mm"));
  for (std::size_t i = 0; i < 10; ++i) all.rows[i].station = all.index("North window");
  input.rows = all.rows;
  CHECK(holds(app::people_sentence(input, app::report_figures(input), words),
              "some of the pieces were hooped at others"));
  CHECK_THAT(*app::report_figures(input).whole.people_x_mm, WithinAbs(std::sqrt(20.0 / 19.0), 1e-6));
  // All of another station: this one's proof says nothing of them. Its own name, and none from before it had one, is
  // it.
  for (app::PieceRow& row : all.rows) row.station = all.index("North window");
  input.rows = all.rows;
  CHECK(
      holds(app::people_sentence(input, app::report_figures(input), words), "all of the pieces were hooped at others"));
  input.proved_station = "North window";
  all.rows[0].station = 0;
  CHECK(holds(app::people_sentence(input, app::report_figures(input), words), "0.83 mm"));
}

TEST_CASE("the proof's file gives the doubt of one reading", "[report]") {
  const TemporaryFolder folder;
  const auto limit = R"({"expanded_uncertainty": 0.12, "coverage_factor": 2.4})";
  const auto good =
      folder.put("a.json", std::string("{\"offset_mm\": ") + limit + ", \"rotation_deg\": " + limit + "}");
  REQUIRE(app::doubt_of_proof(good));
  CHECK_THAT(app::doubt_of_proof(good)->offset_mm, WithinAbs(0.05, 1e-12));
  CHECK_FALSE(app::doubt_of_proof(folder.put("b.json", "{")));
  CHECK_FALSE(app::doubt_of_proof(folder.put(
      "c.json", R"({"offset_mm": {"expanded_uncertainty": null, "coverage_factor": 2}, "rotation_deg": {}})")));
  CHECK_FALSE(app::doubt_of_proof(folder.path / "none.json"));
}

// Guarantees: what shuffling would say is what the quick tests say of many. Example failure: Welch's degrees of freedom
// are those of the wrong group.
TEST_CASE("large samples are compared as shuffling compares them", "[report][figures]") {
  std::mt19937_64 random(3);
  std::normal_distribution<double> curve;
  for (const double apart : {0.02, 0.06, 0.1}) {
    std::vector<std::vector<double>> groups(3);
    for (std::size_t g = 0; g < 3; ++g)
      for (std::size_t i = 0; i < 400 + 300 * g; ++i)  // skewed, as distances are
        groups[g].push_back(apart * static_cast<double>(g) + std::hypot(curve(random), curve(random)));
    app::ComparisonOptions shuffled, quick;
    shuffled.most_shuffled = 1000000;
    quick.most_shuffled = 100;
    const app::Comparison slow = app::compare(groups, shuffled), fast = app::compare(groups, quick);
    CHECK_THAT(fast.p, WithinAbs(slow.p, 0.03));
    CHECK(fast.ranked == slow.ranked);
    for (std::size_t i = 0; i < 3; ++i) {
      CHECK_THAT(fast.pairs[i].p, WithinAbs(slow.pairs[i].p, 0.05));
      CHECK_THAT(fast.groups[i].interval.low, WithinAbs(slow.groups[i].interval.low, 0.01));
      CHECK_THAT(fast.groups[i].interval.high, WithinAbs(slow.groups[i].interval.high, 0.01));
    }
  }
}

TEST_CASE("the circle of many is found as quickly as that of few, and by the same count", "[report][figures]") {
  std::vector<cv::Point2d> offsets;
  for (int i = 1; i <= 1000; ++i) offsets.emplace_back(0.01 * i, 0.0);
  const app::HoldingCircle circle = app::holding_circle(offsets);
  CHECK_THAT(circle.radius_mm, WithinAbs(9.5, 1e-9));
  REQUIRE(circle.interval);
  // Binomial 1000, 0.95: P(at most 935) = 0.0207, 936: 0.0284; P(at least 964) = 0.0212, 963: 0.0307.
  CHECK_THAT(circle.interval->low, WithinAbs(9.36, 0.011));
  CHECK_THAT(circle.interval->high, WithinAbs(9.64, 0.011));
}
