// hoopgauge prove study.
#include <cmath>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <ostream>
#include <stdexcept>

#include "app/commands/prove.h"
#include "app/proof/gauge_files.h"
#include "calib/files.h"
#include "calib/gauge_study.h"

namespace app {
namespace {

using Json = nlohmann::ordered_json;

struct Studied {
  NamedReadings named;
  calib::GaugeTable table;
  calib::GaugeStudy study;
};

Studied studied(NamedReadings named) {
  Studied result;
  result.table = calib::gauge_table(named.readings);
  result.study = calib::gauge_study(result.table.cells);
  result.named = std::move(named);
  return result;
}

Json known(double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); }

Json line_json(const calib::AnovaLine& line) {
  return {{"sum_of_squares", line.ss}, {"degrees_of_freedom", line.dof}, {"mean_square", line.ms()}};
}
Json test_json(const calib::AnovaRatio& test) { return {{"f", known(test.f)}, {"p", known(test.p)}}; }

Json variances_json(const calib::GaugeVariances& v, const std::optional<double>& tolerance) {
  Json json;
  const std::pair<const char*, double> parts[] = {{"repeatability", v.repeatability},
                                                  {"operator", v.operator_},
                                                  {"interaction", v.interaction},
                                                  {"reproducibility", v.reproducibility()},
                                                  {"gauge", v.gauge()},
                                                  {"part", v.part},
                                                  {"total", v.total()}};
  for (const auto& [name, variance] : parts) {
    json[name] = {{"variance", variance},
                  {"sd", std::sqrt(variance)},
                  {"percent_contribution", known(100.0 * variance / v.total())},
                  {"percent_study_variation", known(100.0 * std::sqrt(variance / v.total()))}};
    if (tolerance) json[name]["percent_tolerance"] = 600.0 * std::sqrt(variance) / *tolerance;
  }
  return json;
}

Json study_json(const Studied& one, const std::optional<double>& tolerance) {
  const calib::CrossedAnova& anova = one.study.anova;
  Json json{{"what", one.named.what},       {"unit", one.named.unit}, {"parts", anova.parts},
            {"operators", anova.operators}, {"trials", anova.trials}, {"mean", anova.mean}};
  json["anova"] = {{"part", line_json(anova.part)},
                   {"operator", line_json(anova.operator_)},
                   {"interaction", line_json(anova.interaction)},
                   {"repeatability", line_json(anova.repeat)},
                   {"interaction_test", test_json(anova.interaction_test)},
                   {"interaction_pooled", one.study.interaction_pooled},
                   {"error", line_json(one.study.error)},
                   {"part_test", test_json(one.study.part_test)},
                   {"operator_test", test_json(one.study.operator_test)}};
  json["components"] = variances_json(one.study.variances, tolerance);
  json["distinct_categories"] = one.study.distinct_categories;
  if (const auto ranges = calib::gauge_by_ranges(one.table.cells))
    json["by_averages_and_ranges"] = variances_json(*ranges, tolerance);
  return json;
}

std::string text(const char* format, double value) {
  char out[64];
  std::snprintf(out, sizeof out, format, value);
  return out;
}

void say(const Studied& one, const std::optional<double>& tolerance, std::ostream& out) {
  const calib::GaugeVariances& v = one.study.variances;
  const std::string unit = one.named.unit.empty() ? "" : " " + one.named.unit;
  const auto sd = [&](double variance) { return text("%.4g", std::sqrt(variance)) + unit; };
  out << one.named.what << ": " << one.study.anova.operators << " operators, " << one.study.anova.parts << " parts, "
      << one.study.anova.trials << " trials each\n";
  out << "  one operator, same part (repeatability): standard deviation " << sd(v.repeatability) << '\n';
  out << "  from operator to operator (reproducibility): " << sd(v.reproducibility());
  if (v.interaction > 0.0) out << ", of which " << sd(v.interaction) << " depends on the part";
  out << '\n';
  out << "  both together (gauge): " << sd(v.gauge()) << "; the parts themselves differ by " << sd(v.part) << '\n';
  if (v.total() > 0.0)
    out << "  the gauge makes " << text("%.1f", 100.0 * v.gauge() / v.total()) << " % of the variance and "
        << text("%.1f", 100.0 * std::sqrt(v.gauge() / v.total())) << " % of the spread; it tells "
        << one.study.distinct_categories << (one.study.distinct_categories == 1 ? " class" : " classes")
        << " of parts apart\n";
  if (tolerance)
    out << "  six standard deviations of the gauge take " << text("%.1f", 600.0 * std::sqrt(v.gauge()) / *tolerance)
        << " % of the tolerance\n";
  if (std::isfinite(one.study.operator_test.p))
    out << "  that the operators differ by chance alone has probability " << text("%.3f", one.study.operator_test.p)
        << (one.study.interaction_pooled ? " (interaction pooled)\n" : " (interaction kept)\n");
}

std::vector<NamedReadings> read(const std::vector<std::filesystem::path>& files) {
  if (files.size() == 1 && files.front().extension() != ".json") return {gauge_csv(files.front())};
  if (files.size() < 2)
    throw calib::FileError(files.front().string() +
                           ": one proof is no study; name the proofs of two operators or more");
  return gauge_proofs(files);
}

}  // namespace

int run_study(const StudyOptions& options, std::ostream& out, std::ostream& err) {
  try {
    Json all = Json::array();
    for (NamedReadings& named : read(options.files)) {
      const Studied one = studied(std::move(named));
      if (options.json)
        all.push_back(study_json(one, options.tolerance));
      else
        say(one, options.tolerance, out);
    }
    if (options.json) out << all.dump(1, ' ', false, Json::error_handler_t::replace) << '\n';
    return 0;
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const std::invalid_argument& error) {  // cells that are missing
    err << "hoopgauge: " << options.files.front().string() << ": " << error.what() << '\n';
  }
  return 2;
}

}  // namespace app
