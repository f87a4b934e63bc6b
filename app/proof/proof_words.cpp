// The proof in words: what the person wants to know first, then the terms.
#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/proof/proof_report.h"
#include "app/words/words.h"

namespace app {
namespace {

using calib::ProofLimit;
using calib::ProofVerdict;

std::string known(double value, int decimals) {
  return std::isfinite(value) ? number(value, decimals) : tr("not known");
}
std::string mm(double value) { return std::isfinite(value) ? number(value, 3) + " mm" : tr("not known"); }
std::string deg(double value) {
  return std::isfinite(value) ? format(tr("%s deg"), number(value, 3)) : tr("not known");
}
// What is promised is rounded up.
double up(double value) { return std::ceil(100.0 * value - 1e-6) / 100.0; }
std::string within(const ProofLimit& offset, const ProofLimit& rotation) {
  return format(tr("%s mm and %s deg"), known(up(offset.most()), 2), known(up(rotation.most()), 2));
}
std::string allowed(const ProofLimit& offset, const ProofLimit& rotation) {
  return format(tr("%s mm and %s deg"), known(offset.tolerance, 2), known(rotation.tolerance, 2));
}

std::string bias_line(const calib::Proof& proof) {
  const double x = proof.bias_x_mm.value, y = proof.bias_y_mm.value;
  const char* const pattern =
      x < 0.0 ? (y < 0.0 ? tr("The station's own bias: it reads %s to the left and %s towards you, known to %s.")
                         : tr("The station's own bias: it reads %s to the left and %s away from you, known to %s."))
              : (y < 0.0 ? tr("The station's own bias: it reads %s to the right and %s towards you, known to %s.")
                         : tr("The station's own bias: it reads %s to the right and %s away from you, known to %s."));
  return format(pattern, mm(std::abs(x)), mm(std::abs(y)),
                mm(std::max(proof.bias_x_mm.expanded(), proof.bias_y_mm.expanded())));
}

std::string missing_line(const std::vector<std::string>& missing) {
  constexpr std::size_t kNamed = 4;
  std::string named;
  for (std::size_t i = 0; i < std::min(missing.size(), kNamed); ++i) named += (i ? "; " : "") + missing[i];
  if (missing.size() <= kNamed)
    return format(tr("Less than planned, which the uncertainty allows for; missing: %s."), named);
  return format(tr("Less than planned, which the uncertainty allows for; missing: %s; and %d more."), named,
                static_cast<int>(missing.size() - kNamed));
}

bool is_known(const calib::Proof& proof) { return std::isfinite(proof.offset_mm.expanded); }

// The part of the limit that leaves least room, as a share of the tolerance.
enum class Worst { certain, shared, uncertainty, scatter };
Worst worst_of(const ProofLimit& limit) {
  if (limit.verdict() == ProofVerdict::fail) return limit.certain > limit.scatter ? Worst::certain : Worst::scatter;
  if (limit.shared >= limit.certain && limit.shared >= limit.expanded) return Worst::shared;
  return limit.certain >= limit.expanded ? Worst::certain : Worst::uncertainty;
}

std::string mend_of(const ProofLimit& limit) {
  switch (worst_of(limit)) {
    case Worst::certain:
      return tr(
          "It reads to one side: survey the board again (hoopgauge board), and calibrate the lens again "
          "(hoopgauge lens) if that does not help.");
    case Worst::shared:
      return tr(
          "Most of it may be the sheet's as well as the station's: check that the sheet's 100 mm bar measures "
          "what the station file says, print the sheet on another printer, and prove again.");
    case Worst::scatter:
      return tr(
          "The readings scatter: see that the post stands firm, focus and exposure are locked, the light is even "
          "and the sheet lies flat.");
    case Worst::uncertainty:
      break;
  }
  return tr(
      "The uncertainty is too large to decide: measure at more places and with more readings, the sheet lying "
      "flat.");
}

}  // namespace

std::string proof_headline(const ProofReport& report) {
  const ProofLimit &offset = report.proof.offset_mm, &rotation = report.proof.rotation_limit_deg;
  switch (report.proof.verdict) {
    case ProofVerdict::pass:
      return format(tr("The station passes: its readings keep within %s."), within(offset, rotation));
    case ProofVerdict::fail:
      return format(tr("The station fails: its readings do not keep within %s."), allowed(offset, rotation));
    case ProofVerdict::undecided:
      break;
  }
  return format(tr("Not decided: it cannot be said yet that readings keep within %s."), allowed(offset, rotation));
}

std::string proof_mend(const ProofReport& report) {
  if (report.proof.verdict == ProofVerdict::pass) return {};
  if (!is_known(report.proof) && report.proof.verdict == ProofVerdict::undecided)
    return tr("One place says nothing about the others: measure the sheet at two places or more, both ways at each.");
  const ProofLimit &offset = report.proof.offset_mm, &rotation = report.proof.rotation_limit_deg;
  return mend_of(offset.verdict() == report.proof.verdict ? offset : rotation);
}

std::vector<std::string> proof_lines(const ProofReport& report) {
  const calib::Proof& proof = report.proof;
  const ProofLimit &offset = proof.offset_mm, &rotation = proof.rotation_limit_deg;
  std::vector<std::string> lines;
  if (const std::string mend = proof_mend(report); !mend.empty()) lines.push_back(mend);
  if (is_known(proof))
    lines.push_back(format(tr("Of 100 readings 95 are off by no more than %s; allowed are %s."),
                           within(offset, rotation), allowed(offset, rotation)));
  lines.push_back(bias_line(proof));
  lines.push_back(format(tr("The station's or the sheet's, half a turn cannot tell: up to %s and %s."),
                         mm(offset.shared), deg(rotation.shared)));
  double sheet_mm = 0.0, sheet_deg = 0.0;
  for (const calib::SheetError& one : proof.sheet) {
    sheet_mm = std::max(sheet_mm, std::hypot(one.x_mm.value, one.y_mm.value));
    sheet_deg = std::max(sheet_deg, std::abs(one.rotation_deg.value));
  }
  lines.push_back(format(tr("The sheet's alone: up to %s and %s."), mm(sheet_mm), deg(sheet_deg)));
  const int places = static_cast<int>(proof.places.size());
  lines.push_back(format(tr("The sheet untouched, readings scatter by %s and %s; laid anew at %d place, by %s and %s "
                            "(standard deviations).",
                            "The sheet untouched, readings scatter by %s and %s; laid anew at %d places, by %s and %s "
                            "(standard deviations).",
                            places),
                         mm(std::hypot(proof.x_mm.repeatability(), proof.y_mm.repeatability())),
                         deg(proof.rotation_deg.repeatability()), places,
                         mm(std::hypot(proof.x_mm.reproducibility(), proof.y_mm.reproducibility())),
                         deg(proof.rotation_deg.reproducibility())));
  lines.emplace_back(
      tr("The sheet lies flat on the board: the heights of a hoop's rim and of the cloth are not proved "
         "by it, but when the hoop is taught."));
  if (!proof.missing.empty()) lines.push_back(missing_line(proof.missing));
  return lines;
}

std::vector<ProofTerm> proof_terms(const ProofReport& report) {
  const calib::Proof& p = report.proof;
  const auto pair = [](double x, double y) { return known(x, 3) + ", " + known(y, 3) + " mm"; };
  const ProofLimit &o = p.offset_mm, &r = p.rotation_limit_deg;
  return {
      {"bias (ISO 5725-1), x and y", pair(p.bias_x_mm.value, p.bias_y_mm.value), deg(p.bias_rotation_deg.value)},
      {"its expanded uncertainty U", pair(p.bias_x_mm.expanded(), p.bias_y_mm.expanded()),
       deg(p.bias_rotation_deg.expanded())},
      {"repeatability standard deviation s_r", pair(p.x_mm.repeatability(), p.y_mm.repeatability()),
       deg(p.rotation_deg.repeatability())},
      {"reproducibility standard deviation s_R", pair(p.x_mm.reproducibility(), p.y_mm.reproducibility()),
       deg(p.rotation_deg.reproducibility())},
      {"effective degrees of freedom (JCGM 100, G.4)", known(o.effective_dof, 1), known(r.effective_dof, 1)},
      {"coverage factor k (95.45 %; offset in the plane)", known(o.coverage_factor, 2), known(r.coverage_factor, 2)},
      {"expanded uncertainty U of a reading", mm(o.expanded), deg(r.expanded)},
      {"shared by station and sheet, counted against the station", mm(o.shared), deg(r.shared)},
      {"bias + shared + U", mm(o.most()), deg(r.most())},
      {"tolerance (guarded acceptance, JCGM 106)", mm(o.tolerance), deg(r.tolerance)},
  };
}

}  // namespace app
