#include <cmath>
#include <nlohmann/json.hpp>

#include "app/proof/last_proof.h"
#include "app/proof/proof_report.h"
#include "app/records/utc_time.h"

namespace app {
namespace {

using Json = nlohmann::ordered_json;

// A tenth of a micrometre or thousandth of a degree; what is not known becomes null.
Json rounded(double value) {
  constexpr double kSteps = 1e5;
  if (!std::isfinite(value)) return nullptr;
  return std::round(value * kSteps) / kSteps + 0.0;
}

Json value_json(const calib::ProofValue& value) {
  return {{"value", rounded(value.value)},
          {"standard_uncertainty", rounded(value.u)},
          {"degrees_of_freedom", rounded(value.dof)},
          {"expanded_uncertainty", rounded(value.expanded())}};
}

Json scatter_json(const calib::ProofScatter& scatter) {
  Json json{{"repeatability_sd", rounded(scatter.repeatability())},
            {"reproducibility_sd", rounded(scatter.reproducibility())}};
  const std::pair<const char*, const calib::VariancePart*> parts[] = {
      {"places_half_difference", &scatter.place_difference},
      {"places_half_sum", &scatter.place_sum},
      {"stickers_half_difference", &scatter.sticker_difference},
      {"stickers_half_sum", &scatter.sticker_sum},
      {"frames", &scatter.frame}};
  for (const auto& [name, part] : parts)
    json["mean_squares"][name] = {{"mean_square", part->variance}, {"degrees_of_freedom", rounded(part->dof)}};
  return json;
}

Json limit_json(const calib::ProofLimit& limit) {
  return {{"bias", rounded(limit.certain)},
          {"shared_with_sheet", rounded(limit.shared)},
          {"expanded_uncertainty", rounded(limit.expanded)},
          {"coverage_factor", rounded(limit.coverage_factor)},
          {"effective_degrees_of_freedom", rounded(limit.effective_dof)},
          {"largest_error", rounded(limit.most())},
          {"tolerance", rounded(limit.tolerance)},
          {"verdict", calib::name(limit.verdict())}};
}

Json places_json(const calib::Proof& proof) {
  Json places = Json::array();
  for (const calib::ReversedPlace& place : proof.places) {
    Json one{{"x_mm", rounded(place.middle_mm.x)},
             {"y_mm", rounded(place.middle_mm.y)},
             {"readings_upright", place.frames[0]},
             {"readings_turned", place.frames[1]}};
    for (std::size_t s = 0; s < calib::kProofStickerCount; ++s)
      one["stickers"].push_back({{"number", calib::kProofStickers[s].number},
                                 {"station_x_mm", rounded(place.station_mm[s].x)},
                                 {"station_y_mm", rounded(place.station_mm[s].y)},
                                 {"sheet_x_mm", rounded(place.sheet_mm[s].x)},
                                 {"sheet_y_mm", rounded(place.sheet_mm[s].y)},
                                 {"half_difference_deg", rounded(place.station_deg[s])},
                                 {"half_sum_deg", rounded(place.shared_deg[s])}});
    places.push_back(one);
  }
  return places;
}

Json sheet_json(const calib::Proof& proof) {
  Json sheet = Json::array();
  for (std::size_t s = 0; s < calib::kProofStickerCount; ++s)
    sheet.push_back({{"number", calib::kProofStickers[s].number},
                     {"x_mm", value_json(proof.sheet[s].x_mm)},
                     {"y_mm", value_json(proof.sheet[s].y_mm)},
                     {"rotation_deg", value_json(proof.sheet[s].rotation_deg)}});
  return sheet;
}

}  // namespace

std::string proof_json(const ProofReport& report) {
  const calib::Proof& proof = report.proof;
  Json json;
  json[kProofTimeKey] = utc_text(report.time);
  json[kProofVerdictKey] = calib::name(proof.verdict);
  json["headline"] = proof_headline(report);
  json["lines"] = proof_lines(report);
  json["operator"] = report.by;
  json["station_file"] = report.station_file.string();
  json[kProofStationKey] = report.station_fingerprint;
  json["print_scale"] = report.print_scale;
  json["plan"] = {{"places", report.plan.places}, {"readings", report.plan.readings}};
  json["readings"] = proof.readings;
  json["missing"] = proof.missing;
  json["coverage"] = calib::kCoverage;
  json["offset_mm"] = limit_json(proof.offset_mm);
  json["rotation_deg"] = limit_json(proof.rotation_limit_deg);
  json["station"] = {{"bias_x_mm", value_json(proof.bias_x_mm)},
                     {"bias_y_mm", value_json(proof.bias_y_mm)},
                     {"bias_rotation_deg", value_json(proof.bias_rotation_deg)},
                     {"scatter_x_mm", scatter_json(proof.x_mm)},
                     {"scatter_y_mm", scatter_json(proof.y_mm)},
                     {"scatter_rotation_deg", scatter_json(proof.rotation_deg)}};
  json["shared"] = {{"scale", proof.shared.scale()},
                    {"stretch", proof.shared.stretch()},
                    {"shear", proof.shared.shear()},
                    {"turn_deg", rounded(proof.shared.turn_deg())},
                    {"rotation_deg", value_json(proof.shared_rotation_deg)}};
  json["sheet"] = sheet_json(proof);
  json["places"] = places_json(proof);
  json["stated_uncertainty_covers"] = {{"offset", rounded(proof.stated_covers_offset)},
                                       {"rotation", rounded(proof.stated_covers_rotation)}};
  return json.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace app
