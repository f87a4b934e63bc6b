// Guarantees: a gauge study of published readings gives the published components.
// Example failure: the operators are tested against the repeats instead of the interaction.
#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>
#include <stdexcept>

#include "calib/gauge_study.h"
#include "tests/catch.h"
#include "tests/reference/shared_folder.h"

namespace {

using nlohmann::json;

json published(const std::filesystem::path& file) {
  std::ifstream in(file);
  REQUIRE(in.good());
  return json::parse(in);
}

// part, operator, trial, value.
std::vector<calib::GaugeReading> readings_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  REQUIRE(in.good());
  std::vector<calib::GaugeReading> readings;
  bool titles = true;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    if (titles) {
      titles = false;
      continue;
    }
    std::istringstream fields(line);
    std::string part, by, trial, value;
    std::getline(fields, part, ',');
    std::getline(fields, by, ',');
    std::getline(fields, trial, ',');
    std::getline(fields, value, ',');
    readings.push_back({by, part, std::stod(value)});
  }
  return readings;
}

// Half a unit of the last printed digit, and a little for its binary form.
double half_unit(int decimals) { return 0.5001 * std::pow(10.0, -decimals); }

}  // namespace

TEST_CASE("the MSA manual's study by analysis of variance", "[statistics][gauge]") {
  const auto folder = reference::shared_folder("refdata/grr");
  if (!folder) return;
  const json all = published(*folder / "published.json")["aiag_anova"];
  const calib::GaugeTable table = calib::gauge_table(readings_of(*folder / "aiag_msa_10x3x3.csv"));
  REQUIRE(table.parts.size() == 10);
  REQUIRE(table.operators.size() == 3);
  const calib::GaugeStudy study = calib::gauge_study(table.cells);
  const json& full = all["full"];
  CHECK_THAT(study.anova.part.ms(), WithinAbs(full["MS"]["part"].get<double>(), half_unit(5)));
  CHECK_THAT(study.anova.operator_.ms(), WithinAbs(full["MS"]["operator"].get<double>(), half_unit(5)));
  CHECK_THAT(study.anova.interaction.ms(), WithinAbs(full["MS"]["interaction"].get<double>(), half_unit(5)));
  CHECK_THAT(study.anova.repeat.ms(), WithinAbs(full["MS"]["repeatability"].get<double>(), half_unit(5)));
  CHECK_THAT(study.anova.interaction_test.f, WithinAbs(full["F_interaction"].get<double>(), half_unit(3)));
  CHECK_THAT(study.anova.interaction_test.p, WithinAbs(full["p_interaction"].get<double>(), half_unit(3)));

  const json& reduced = all["reduced_interaction_pooled"];
  CHECK(study.interaction_pooled);
  CHECK(study.error.dof == reduced["df_repeatability"].get<double>());
  const calib::GaugeVariances& v = study.variances;
  CHECK_THAT(v.repeatability, WithinAbs(reduced["varcomp"]["repeatability"].get<double>(), half_unit(5)));
  CHECK_THAT(v.reproducibility(), WithinAbs(reduced["varcomp"]["reproducibility"].get<double>(), half_unit(5)));
  CHECK_THAT(v.gauge(), WithinAbs(reduced["varcomp"]["grr"].get<double>(), half_unit(5)));
  CHECK_THAT(v.part, WithinAbs(reduced["varcomp"]["part"].get<double>(), half_unit(5)));
  CHECK_THAT(v.total(), WithinAbs(reduced["varcomp"]["total"].get<double>(), half_unit(5)));
  CHECK_THAT(std::sqrt(v.repeatability), WithinAbs(reduced["sd"]["EV"].get<double>(), half_unit(6)));
  CHECK_THAT(std::sqrt(v.reproducibility()), WithinAbs(reduced["sd"]["AV"].get<double>(), half_unit(6)));
  // The printed EV and AV give 0.302372; the manual prints 0.302373.
  CHECK_THAT(std::sqrt(v.gauge()), WithinAbs(reduced["sd"]["GRR"].get<double>(), 1.6e-6));
  CHECK_THAT(std::sqrt(v.part), WithinAbs(reduced["sd"]["PV"].get<double>(), half_unit(6)));
  CHECK_THAT(100.0 * std::sqrt(v.gauge() / v.total()),
             WithinAbs(reduced["pct_study_var"]["GRR"].get<double>(), half_unit(2)));
  CHECK(study.distinct_categories == reduced["ndc"].get<int>());
}

TEST_CASE("the MSA manual's study by averages and ranges", "[statistics][gauge]") {
  const auto folder = reference::shared_folder("refdata/grr");
  if (!folder) return;
  const calib::GaugeTable table = calib::gauge_table(readings_of(*folder / "aiag_msa_10x3x3.csv"));
  const auto v = calib::gauge_by_ranges(table.cells);
  REQUIRE(v);
  // The manual's form (from memory): it rounds its averages, hence one in the fourth decimal.
  CHECK_THAT(std::sqrt(v->repeatability), WithinAbs(0.20188, 1e-4));
  CHECK_THAT(std::sqrt(v->operator_), WithinAbs(0.22963, 1e-4));
  CHECK_THAT(std::sqrt(v->gauge()), WithinAbs(0.30575, 1e-4));
  CHECK_THAT(std::sqrt(v->part), WithinAbs(1.10456, 1e-4));
  CHECK_THAT(100.0 * std::sqrt(v->gauge() / v->total()), WithinAbs(26.68, 0.01));
}

TEST_CASE("the paper helicopters' study, 3 x 3 x 3", "[statistics][gauge]") {
  const auto folder = reference::shared_folder("refdata/grr");
  if (!folder) return;
  const json all = published(*folder / "published.json")["sixsigma_anova"];
  const calib::GaugeTable table = calib::gauge_table(readings_of(*folder / "sixsigma_ss_data_rr.csv"));
  const calib::GaugeStudy study = calib::gauge_study(table.cells);
  const calib::AnovaLine lines[] = {study.anova.part, study.anova.operator_, study.anova.interaction,
                                    study.anova.repeat};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(lines[i].dof == all["df"][i].get<double>());
    CHECK_THAT(lines[i].ss, WithinAbs(all["SS"][i].get<double>(), half_unit(4)));
    CHECK_THAT(lines[i].ms(), WithinAbs(all["MS"][i].get<double>(), half_unit(4)));
  }
  CHECK_THAT(study.anova.part_test.f, WithinAbs(all["F_vs_interaction"][0].get<double>(), half_unit(3)));
  CHECK_THAT(study.anova.operator_test.f, WithinAbs(all["F_vs_interaction"][1].get<double>(), half_unit(3)));
  CHECK_THAT(study.anova.part_test.p, WithinAbs(all["p"][0].get<double>(), half_unit(5)));
  CHECK_THAT(study.anova.operator_test.p, WithinAbs(all["p"][1].get<double>(), half_unit(5)));
  CHECK_THAT(study.anova.interaction_test.p, WithinAbs(all["p"][2].get<double>(), half_unit(5)));
  CHECK_THAT(study.part_test.f, WithinAbs(all["reduced"]["F"][0].get<double>(), half_unit(2)));
  CHECK_THAT(study.operator_test.f, WithinAbs(all["reduced"]["F"][1].get<double>(), half_unit(2)));
  const calib::GaugeVariances& v = study.variances;
  const double sd[] = {std::sqrt(v.gauge()),   std::sqrt(v.repeatability), std::sqrt(v.reproducibility()),
                       std::sqrt(v.operator_), std::sqrt(v.part),          std::sqrt(v.total())};
  for (std::size_t i = 0; i < 6; ++i) CHECK_THAT(sd[i], WithinAbs(all["stdev"][i].get<double>(), half_unit(8)));
  CHECK(study.distinct_categories == all["ndc"].get<int>());
}

TEST_CASE("one factor: NCSLI's voltmeters and JCGM 100 H.5", "[statistics]") {
  const auto folder = reference::shared_folder("refdata");
  if (!folder) return;
  const json ncsli = published(*folder / "grr/published.json")["suncal_ncsli_anova"];
  const calib::OneWayAnova anova = calib::one_way_anova(ncsli["groups"].get<std::vector<std::vector<double>>>());
  // The readings are printed to nine decimals, which moves F by some 1e-7.
  CHECK_THAT(anova.test.f, WithinAbs(ncsli["F"].get<double>(), 1e-7));
  CHECK_THAT(anova.test.p, WithinAbs(ncsli["p"].get<double>(), 1e-7));
  CHECK_THAT(anova.residual_sd, WithinAbs(ncsli["repeatability_pooled"].get<double>(), half_unit(7)));

  // H.5 prints means and standard deviations of 10 days of 5 readings. Readings that have just these: four spread about
  // the mean and one on it.
  const json h5 = published(*folder / "gum/gum_examples.json")["H5_anova"];
  std::vector<std::vector<double>> days;
  for (std::size_t i = 0; i < 10; ++i) {
    const double mean = h5["day_mean_V"][i].get<double>(), sd = 1e-6 * h5["day_sd_uV"][i].get<double>();
    days.push_back({mean + sd, mean - sd, mean + sd, mean - sd, mean});
  }
  const calib::OneWayAnova zener = calib::one_way_anova(days);
  CHECK_THAT(zener.mean, WithinAbs(h5["grand_mean"].get<double>(), 0.5e-6));
  CHECK_THAT(1e6 * std::sqrt(zener.between.ms() / 5.0), WithinAbs(h5["s_of_day_means_uV"].get<double>(), 0.51));
  CHECK_THAT(1e6 * zener.residual_sd, WithinAbs(h5["s_pooled_within_uV"].get<double>(), 0.51));
  CHECK_THAT(zener.test.f, WithinAbs(h5["F"].get<double>(), h5["F_tolerance"].get<double>()));
  CHECK(zener.between.dof == 9);
  CHECK(zener.within.dof == 40);
}

TEST_CASE("the interaction is kept where it is real, and hand-made numbers come out", "[statistics][gauge]") {
  // Two parts, two operators, two trials: cell means 1, 3 / 5, 3; trials 0.5 either side. By hand: means of parts 2, 4,
  // of operators 3, 3, of all 3; SS parts 8, operators 0, interaction 8, repeats 2.
  const calib::CrossedCells cells{{{0.5, 1.5}, {2.5, 3.5}}, {{4.5, 5.5}, {2.5, 3.5}}};
  const calib::GaugeStudy study = calib::gauge_study(cells);
  CHECK_THAT(study.anova.part.ss, WithinAbs(8.0, 1e-12));
  CHECK_THAT(study.anova.operator_.ss, WithinAbs(0.0, 1e-12));
  CHECK_THAT(study.anova.interaction.ss, WithinAbs(8.0, 1e-12));
  CHECK_THAT(study.anova.repeat.ss, WithinAbs(2.0, 1e-12));
  CHECK_FALSE(study.interaction_pooled);
  CHECK_THAT(study.variances.repeatability, WithinAbs(0.5, 1e-12));
  CHECK_THAT(study.variances.interaction, WithinAbs((8.0 - 0.5) / 2.0, 1e-12));
  CHECK_THAT(study.variances.operator_, WithinAbs(0.0, 1e-12));
  CHECK_THAT(study.variances.part, WithinAbs(0.0, 1e-12));
}

TEST_CASE("studies with holes are refused by name", "[statistics][gauge]") {
  const std::vector<calib::GaugeReading> hole{{"ann", "1", 1.0}, {"ann", "2", 2.0}, {"bo", "1", 1.1}};
  CHECK_THROWS_AS(calib::gauge_table(hole), std::invalid_argument);
  try {
    calib::gauge_table(hole);
  } catch (const std::invalid_argument& error) {
    const std::string what = error.what();
    CHECK(what.find("'bo'") != std::string::npos);
    CHECK(what.find("'2'") != std::string::npos);
  }
  CHECK_THROWS_AS(calib::gauge_table({{"ann", "1", 1.0}, {"bo", "1", 2.0}}), std::invalid_argument);
  CHECK_THROWS_AS(calib::gauge_table({}), std::invalid_argument);
  CHECK_THROWS_AS(calib::one_way_anova({{1.0}, {}}), std::invalid_argument);
  CHECK_THROWS_AS(calib::one_way_anova({{1.0, 2.0}}), std::invalid_argument);
}
