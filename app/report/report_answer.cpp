// The answer that stands first: how accurate, better or worse, where the trouble is, what it costs.
#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/in_quotes.h"
#include "app/report/write_report.h"

namespace app {
namespace {

std::string joined(const std::vector<std::string>& parts, const char* last = " and ") {
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) out += (i == 0 ? "" : i + 1 == parts.size() ? last : ", ") + parts[i];
  return out;
}

std::string accuracy_sentence(const ReportFigures& figures, const ReportWords& words) {
  const PlacementFigures& whole = figures.whole;
  std::string out = format("%s of %s %s within the tolerance (%s", std::to_string(whole.within),
                           counted(whole.count, "piece", "pieces"), whole.within == 1 ? "lies" : "lie",
                           percent(static_cast<double>(whole.within) / static_cast<double>(whole.count)));
  out += "; of many more like these " + percents(whole.within_share) + ", 95 % sure). ";
  if (std::isfinite(whole.circle.radius_mm))
    out += format(
        "95 of 100 lie within %s of the mark%s. ", words.length(whole.circle.radius_mm),
        whole.circle.interval ? " (" + words.lengths(*whole.circle.interval) + ')' : ", as far as so few can tell");
  const std::string lean = lean_words(whole, words);
  out += lean.empty() ? "No lean to one side or the other is borne out." : "On the whole they sit " + lean + '.';
  return out;
}

std::string change_sentence(const ReportChange& change, const ReportWords& words) {
  using Verdict = ReportChange::Verdict;
  if (change.verdict == Verdict::unknown) return "There are too few pieces yet to tell: ten are needed on either side.";
  const std::string when = change.newest_weeks ? "in the newest four weeks" : "in the newer half of the pieces";
  const std::string figures =
      format("mean distance from the mark %s %s, %s before (%s and %s; %s)", words.length(change.after_mm), when,
             words.length(change.before_mm), counted(change.after_count, "piece", "pieces"),
             counted(change.before_count, "piece", "pieces"), probability(change.p));
  if (change.verdict == Verdict::as_before) return "No difference that the figures bear out: " + figures + '.';
  return (change.verdict == Verdict::better ? "Better: " : "Worse: ") + figures + '.';
}

std::vector<ReportFact> key_facts(const ReportFigures& figures, const ReportWords& words) {
  const PlacementFigures& whole = figures.whole;
  std::vector<ReportFact> facts;
  facts.push_back({"In tolerance", percent(static_cast<double>(whole.within) / static_cast<double>(whole.count)),
                   percents(whole.within_share) + ", of " + counted(whole.count, "piece", "pieces")});
  facts.push_back({"95 of 100 lie within",
                   std::isfinite(whole.circle.radius_mm) ? words.length(whole.circle.radius_mm) : kNoFigure,
                   whole.circle.interval ? words.lengths(*whole.circle.interval) + ' ' + words.unit()
                   : whole.count < 3     ? "three pieces are needed"
                                         : "by a bell curve: few pieces"});
  const std::string lean = lean_words(whole, words);
  facts.push_back({"Lean", lean.empty() ? "none" : lean, lean.empty() ? "that the figures bear out" : "mean of all"});
  facts.push_back({"Hooping a piece", whole.median_seconds > 0.0 ? plain(whole.median_seconds, 0) + " s" : kNoFigure,
                   "median; " + percent(whole.first_try_share) + " at the first try"});
  return facts;
}

}  // namespace

std::string lean_words(const PlacementFigures& figures, const ReportWords& words) {
  const auto clear = [](const Interval& mean) { return mean.low > 0.0 || mean.high < 0.0; };
  std::vector<std::string> parts;
  const OffsetScatter& offset = figures.offset;
  if (clear(offset.mean_y_mm))
    parts.push_back(words.length(std::abs(offset.mean_mm.y)) + (offset.mean_mm.y < 0.0 ? " low" : " high"));
  if (clear(offset.mean_x_mm))
    parts.push_back(words.length(std::abs(offset.mean_mm.x)) + (offset.mean_mm.x < 0.0 ? " left" : " right"));
  const double turn = figures.rotation.mean_deg;
  if (figures.rotation_half_deg && std::abs(turn) > *figures.rotation_half_deg && degrees(std::abs(turn)) != "0.00")
    parts.push_back("turned " + degrees(std::abs(turn)) + "\u00b0 " + (turn < 0.0 ? "clockwise" : "counter-clockwise"));
  return joined(parts, ", ");
}

std::string comparison_sentence(const ReportInput& input, const OperatorComparison& operators) {
  const Comparison& comparison = operators.comparison;
  std::vector<std::size_t> compared;
  for (std::size_t i = 0; i < comparison.groups.size(); ++i)
    if (comparison.groups[i].compared) compared.push_back(i);
  if (compared.size() < 2) return "There are no two operators with ten pieces or more, so nobody is compared.";
  const auto label = [&](std::size_t i) { return input.operator_label(operators.names[i]); };
  if (!comparison.ranked) {
    std::vector<std::string> pairs;
    for (const GroupPair& pair : comparison.pairs) {
      if (!pair.differ || !(comparison.p < ComparisonOptions{}.level)) continue;
      const bool a_nearer = comparison.groups[pair.a].mean < comparison.groups[pair.b].mean;
      pairs.push_back(format("%s uses less of it than %s (%s)", label(a_nearer ? pair.a : pair.b),
                             label(a_nearer ? pair.b : pair.a), probability(pair.p)));
    }
    if (pairs.empty())
      return "The figures do not tell the operators apart (" + probability(comparison.p) +
             "): the differences seen are no larger than chance makes them.";
    return "The figures bear out no ranking of all. They tell some apart, by mean distance from the mark as a share of "
           "the tolerance: " +
           joined(pairs, ", ") + ". The conditions (cloth, hoop, garment, hurry) may differ between them.";
  }
  std::vector<std::string> order(compared.size());
  for (const std::size_t i : compared)
    order[static_cast<std::size_t>(comparison.groups[i].rank) - 1] =
        label(i) + " (" + plain(comparison.groups[i].mean, 0) + " %)";
  return "By mean distance from the mark as a share of the tolerance, from the least: " + joined(order, ", ") + "; " +
         probability(comparison.p) +
         ". The conditions (cloth, hoop, garment, hurry) may differ between them, and may "
         "explain it.";
}

std::string trouble_sentence(const ReportInput& input, const ReportFigures& figures) {
  std::vector<std::string> found;
  for (const Grouping by :
       {Grouping::garment, Grouping::hoop, Grouping::cloth, Grouping::job, Grouping::station, Grouping::machine})
    for (const ReportGroup& one : figures.by(by).groups)
      if (one.worse)
        found.push_back(format(
            "%s %s with %s in tolerance (%s)", grouping_words(by).one, in_quotes(group_label(input, by, one.name)),
            percent(static_cast<double>(one.figures.within) / static_cast<double>(one.figures.count)),
            percents(one.figures.within_share)));
  if (found.empty()) return "No garment, hoop, cloth, job, station or machine stands out below the rest.";
  return "Below the rest by more than chance: " + joined(found, "; ") +
         ". One may stand for another: a hoop that is used for one cloth only.";
}

std::string people_sentence(const ReportInput& input, const ReportFigures& figures, const ReportWords& words) {
  if (!input.proof.doubt)
    return input.proof.line +
           " What of the spread is the station's and what the people's cannot be told without a proof that holds.";
  const PlacementFigures& whole = figures.whole;
  const auto& stations = figures.by(Grouping::station).groups;
  const auto foreign = std::count_if(stations.begin(), stations.end(),
                                     [&](const ReportGroup& one) { return !input.is_proved(one.name); });
  if (foreign > 0 || figures.by(Grouping::station).more > 0)
    return format(
        "%s That is this station; %s of the pieces were hooped at others, and no station's errors are taken out.",
        input.proof.line,
        static_cast<std::size_t>(foreign) == stations.size() ? std::string("all") : std::string("some"));
  const std::string doubt = words.length(input.proof.doubt->offset_mm);
  if (!whole.people_x_mm || !whole.people_y_mm)
    return format(
        "%s Its own doubt is %s each way (k = 1), as much as the pieces spread: the people's part is not told.",
        input.proof.line, doubt);
  return format(
      "%s Its own doubt is %s each way (k = 1). Of the spread of %s sideways and %s up and down, %s and %s are "
      "left as the people's and the cloth's part.",
      input.proof.line, doubt, words.length(whole.offset.x.sd), words.length(whole.offset.y.sd),
      words.length(*whole.people_x_mm), words.length(*whole.people_y_mm));
}

std::string cost_sentence(const ReportFigures& figures) {
  const CostFigures& cost = figures.cost;
  std::string out;
  if (cost.timed == 0)
    out = "No hooping times are known. ";
  else
    out = format("100 pieces take %s minutes of hooping, of which repeated tries %s. ", plain(cost.minutes_per_100, 0),
                 cost.minutes_lost_per_100 ? plain(*cost.minutes_lost_per_100, 1)
                                           : std::string("cannot be told: no piece was hooped at the first try"));
  const InspectionFigures& inspection = figures.inspection;
  if (inspection.inspected == 0)
    out += "No piece was inspected.";
  else
    out += format("Of %s inspected, %s to be mended and %s rejects.", counted(inspection.inspected, "piece", "pieces"),
                  std::to_string(inspection.count[static_cast<std::size_t>(Outcome::mend)]),
                  std::to_string(inspection.count[static_cast<std::size_t>(Outcome::reject)]));
  if (cost.lost_time_cost || cost.rejects_cost)
    out += format(" In all, the %s come to %s at the prices given.",
                  !cost.rejects_cost     ? "minutes lost"
                  : !cost.lost_time_cost ? "rejects"
                                         : "minutes lost and the rejects",
                  plain(cost.lost_time_cost.value_or(0.0) + cost.rejects_cost.value_or(0.0), 2));
  return out;
}

ReportSection answer_section(const ReportInput& input, const ReportFigures& figures, const ReportText& text,
                             const ReportWords& words) {
  std::vector<ReportStatement> answers{{"How accurate", accuracy_sentence(figures, words)},
                                       {"Better or worse", change_sentence(figures.trend.change, words)},
                                       {"Where the trouble is", trouble_sentence(input, figures)}};
  if (!text.one_person) answers.push_back({"The people", comparison_sentence(input, figures.operators)});
  answers.push_back({"The station itself", people_sentence(input, figures, words)});
  answers.push_back({"What it costs", cost_sentence(figures)});
  return {"The answer", {key_facts(figures, words), answers}};
}

}  // namespace app
