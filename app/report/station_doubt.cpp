#include <cmath>
#include <nlohmann/json.hpp>

#include "app/report/report_input.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

double standard(const nlohmann::json& limit) {
  return limit.at("expanded_uncertainty").get<double>() / limit.at("coverage_factor").get<double>();
}

}  // namespace

std::optional<StationDoubt> doubt_of_proof(const std::filesystem::path& proof_json) {
  try {
    const nlohmann::json json = nlohmann::json::parse(calib::text_of_file(proof_json));
    const StationDoubt doubt{standard(json.at("offset_mm")), standard(json.at("rotation_deg"))};
    if (!std::isfinite(doubt.offset_mm) || !std::isfinite(doubt.rotation_deg)) return std::nullopt;
    return doubt;
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;  // null is an uncertainty that is not known: one place was measured
  } catch (const calib::FileError&) {
    return std::nullopt;
  }
}

}  // namespace app
