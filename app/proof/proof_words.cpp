// The proof in words: what the person wants to know first, then the terms.
#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/proof/proof_report.h"

namespace app {
namespace {

using calib::ProofLimit;
using calib::ProofVerdict;

std::string number(double value, int decimals) {
  if (!std::isfinite(value)) return "not known";
  char text[64];
  std::snprintf(text, sizeof text, "%.*f", decimals, value);
  // A rounded -0.00 is nothing.
  return std::string(text).find_first_not_of("-0.") == std::string::npos && text[0] == '-' ? text + 1 : text;
}
std::string mm(double value) { return number(value, 3) + (std::isfinite(value) ? " mm" : ""); }
std::string deg(double value) { return number(value, 3) + (std::isfinite(value) ? " deg" : ""); }
// What is promised is rounded up.
double up(double value) { return std::ceil(100.0 * value - 1e-6) / 100.0; }
std::string within(const ProofLimit& offset, const ProofLimit& rotation) {
  return number(up(offset.most()), 2) + " mm and " + number(up(rotation.most()), 2) + " deg";
}
std::string allowed(const ProofLimit& offset, const ProofLimit& rotation) {
  return number(offset.tolerance, 2) + " mm and " + number(rotation.tolerance, 2) + " deg";
}

std::string towards(const calib::Proof& proof) {
  const double x = proof.bias_x_mm.value, y = proof.bias_y_mm.value;
  return mm(std::abs(x)) + (x < 0.0 ? " to the left" : " to the right") + " and " + mm(std::abs(y)) +
         (y < 0.0 ? " towards you" : " away from you");
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
      return "It reads to one side: survey the board again (hoopgauge board), and calibrate the lens again (hoopgauge "
             "lens) if that does not help.";
    case Worst::shared:
      return "Most of it may be the sheet's as well as the station's: check that the sheet's 100 mm bar measures what "
             "the station file says, print the sheet on another printer, and prove again.";
    case Worst::scatter:
      return "The readings scatter: see that the post stands firm, focus and exposure are locked, the light is even "
             "and "
             "the sheet lies flat.";
    case Worst::uncertainty:
      break;
  }
  return "The uncertainty is too large to decide: measure at more places and with more readings, the sheet lying flat.";
}

}  // namespace

std::string proof_headline(const ProofReport& report) {
  const ProofLimit &offset = report.proof.offset_mm, &rotation = report.proof.rotation_limit_deg;
  switch (report.proof.verdict) {
    case ProofVerdict::pass:
      return "The station passes: its readings keep within " + within(offset, rotation) + ".";
    case ProofVerdict::fail:
      return "The station fails: its readings do not keep within " + allowed(offset, rotation) + ".";
    case ProofVerdict::undecided:
      break;
  }
  return "Not decided: it cannot be said yet that readings keep within " + allowed(offset, rotation) + ".";
}

std::string proof_mend(const ProofReport& report) {
  if (report.proof.verdict == ProofVerdict::pass) return {};
  if (!is_known(report.proof) && report.proof.verdict == ProofVerdict::undecided)
    return "One place says nothing about the others: measure the sheet at two places or more, both ways at each.";
  const ProofLimit &offset = report.proof.offset_mm, &rotation = report.proof.rotation_limit_deg;
  return mend_of(offset.verdict() == report.proof.verdict ? offset : rotation);
}

std::vector<std::string> proof_lines(const ProofReport& report) {
  const calib::Proof& proof = report.proof;
  const ProofLimit &offset = proof.offset_mm, &rotation = proof.rotation_limit_deg;
  std::vector<std::string> lines;
  if (const std::string mend = proof_mend(report); !mend.empty()) lines.push_back(mend);
  if (is_known(proof))
    lines.push_back("Of 100 readings 95 are off by no more than " + within(offset, rotation) + "; allowed are " +
                    allowed(offset, rotation) + ".");
  lines.push_back("The station's own bias: it reads " + towards(proof) + ", known to " +
                  mm(std::max(proof.bias_x_mm.expanded(), proof.bias_y_mm.expanded())) + ".");
  lines.push_back("The station's or the sheet's, half a turn cannot tell: up to " + mm(offset.shared) + " and " +
                  deg(rotation.shared) + ".");
  double sheet_mm = 0.0, sheet_deg = 0.0;
  for (const calib::SheetError& one : proof.sheet) {
    sheet_mm = std::max(sheet_mm, std::hypot(one.x_mm.value, one.y_mm.value));
    sheet_deg = std::max(sheet_deg, std::abs(one.rotation_deg.value));
  }
  lines.push_back("The sheet's alone: up to " + mm(sheet_mm) + " and " + deg(sheet_deg) + ".");
  lines.push_back("The sheet untouched, readings scatter by " +
                  mm(std::hypot(proof.x_mm.repeatability(), proof.y_mm.repeatability())) + " and " +
                  deg(proof.rotation_deg.repeatability()) + "; laid anew at " + std::to_string(proof.places.size()) +
                  (proof.places.size() == 1 ? " place" : " places") + ", by " +
                  mm(std::hypot(proof.x_mm.reproducibility(), proof.y_mm.reproducibility())) + " and " +
                  deg(proof.rotation_deg.reproducibility()) + " (standard deviations).");
  lines.push_back(
      "The sheet lies flat on the board: the heights of a hoop's rim and of the cloth are not proved by it, but when "
      "the "
      "hoop is taught.");
  if (!proof.missing.empty()) {
    constexpr std::size_t kNamed = 4;
    std::string missing = "Less than planned, which the uncertainty allows for; missing: ";
    for (std::size_t i = 0; i < std::min(proof.missing.size(), kNamed); ++i)
      missing += (i ? "; " : "") + proof.missing[i];
    if (proof.missing.size() > kNamed) missing += "; and " + std::to_string(proof.missing.size() - kNamed) + " more";
    lines.push_back(missing + ".");
  }
  return lines;
}

std::vector<ProofTerm> proof_terms(const ProofReport& report) {
  const calib::Proof& p = report.proof;
  const auto pair = [](double x, double y) { return number(x, 3) + ", " + number(y, 3) + " mm"; };
  const ProofLimit &o = p.offset_mm, &r = p.rotation_limit_deg;
  return {
      {"bias (ISO 5725-1), x and y", pair(p.bias_x_mm.value, p.bias_y_mm.value), deg(p.bias_rotation_deg.value)},
      {"its expanded uncertainty U", pair(p.bias_x_mm.expanded(), p.bias_y_mm.expanded()),
       deg(p.bias_rotation_deg.expanded())},
      {"repeatability standard deviation s_r", pair(p.x_mm.repeatability(), p.y_mm.repeatability()),
       deg(p.rotation_deg.repeatability())},
      {"reproducibility standard deviation s_R", pair(p.x_mm.reproducibility(), p.y_mm.reproducibility()),
       deg(p.rotation_deg.reproducibility())},
      {"effective degrees of freedom (JCGM 100, G.4)", number(o.effective_dof, 1), number(r.effective_dof, 1)},
      {"coverage factor k (95.45 %; offset in the plane)", number(o.coverage_factor, 2), number(r.coverage_factor, 2)},
      {"expanded uncertainty U of a reading", mm(o.expanded), deg(r.expanded)},
      {"shared by station and sheet, counted against the station", mm(o.shared), deg(r.shared)},
      {"bias + shared + U", mm(o.most()), deg(r.most())},
      {"tolerance (guarded acceptance, JCGM 106)", mm(o.tolerance), deg(r.tolerance)},
  };
}

}  // namespace app
