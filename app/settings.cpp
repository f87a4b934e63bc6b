#include "app/settings.h"

#include <string_view>

#include "app/names.h"
#include "app/places.h"
#include "calib/atomic_write.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr int kMostMinutes = 24 * 60;
constexpr int kMostKeycode = 0x7FFFFFFF;
constexpr std::size_t kLongestName = 100;  // bytes, as that of a hoop or job

Units units_in(const calib::Section& in) {
  constexpr std::string_view kExample = "units = \"mm\"";
  const std::string word = in.text("units", kExample);
  if (word == "mm") return Units::mm;
  if (word == "inch") return Units::inch;
  in.fail_at(in.line_of("units"), "'units' names no unit; write \"mm\" or \"inch\"");
}

std::string language_in(const calib::Section& in) {
  const std::string code = in.text("language", "language = \"de\"");
  const auto small = [](char c) { return c >= 'a' && c <= 'z'; };
  if (!code.empty() && !(code.size() == 2 && small(code[0]) && small(code[1])))
    in.fail_at(in.line_of("language"),
               "'language' is no language's code; write its two small letters, such as \"de\", or leave the line out");
  return code;
}

std::string name_in(const calib::Section& in, std::string_view key, std::string_view example) {
  const std::string name = tidy_name(in.text(key, example));
  if (const std::string fault = fault_of_line(name, "name", kLongestName); !fault.empty())
    in.fail_at(in.line_of(key), fault);
  return name;
}

Settings settings_from_text(const std::string& text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section in(file, table, "the settings");
  in.allow_only({"units", "language", "sounds", "pedal_key", "dim_after_min", "large_plan", "piece_pictures",
                 "operator", "job", "hoop", "machine"});
  Settings out;
  if (in.has("units")) out.units = units_in(in);
  if (in.has("language")) out.language = language_in(in);
  if (in.has("sounds")) out.sounds = in.flag("sounds", "sounds = true");
  if (in.has("pedal_key")) out.pedal_key = in.integer("pedal_key", 0, kMostKeycode, "pedal_key = 98");
  if (in.has("dim_after_min")) out.dim_after_min = in.integer("dim_after_min", 0, kMostMinutes, "dim_after_min = 10");
  if (in.has("large_plan")) out.large_plan = in.flag("large_plan", "large_plan = false");
  if (in.has("piece_pictures")) out.piece_pictures = in.flag("piece_pictures", "piece_pictures = false");
  if (in.has("operator")) out.operator_name = name_in(in, "operator", "operator = \"Ada\"");
  if (in.has("job")) out.job_name = name_in(in, "job", "job = \"Polo, left chest\"");
  if (in.has("hoop")) out.hoop_name = name_in(in, "hoop", "hoop = \"130 x 180\"");
  if (in.has("machine")) out.machine_name = name_in(in, "machine", "machine = \"Machine at the window\"");
  return out;
}

std::string text_of(const Settings& settings) {
  const auto flag = [](bool on) { return on ? "true\n" : "false\n"; };
  std::string out = "# What was chosen at the station, which writes this file anew with every choice.\n";
  out += std::string("units = ") + (settings.units == Units::inch ? "\"inch\"" : "\"mm\"") + "\n";
  if (!settings.language.empty()) out += "language = " + calib::toml_text(settings.language) + "\n";
  out += std::string("sounds = ") + flag(settings.sounds);
  out += "pedal_key = " + std::to_string(settings.pedal_key) + "\n";
  out += "dim_after_min = " + std::to_string(settings.dim_after_min) + "\n";
  out += std::string("large_plan = ") + flag(settings.large_plan);
  out += std::string("piece_pictures = ") + flag(settings.piece_pictures);
  if (!settings.operator_name.empty()) out += "operator = " + calib::toml_text(settings.operator_name) + "\n";
  if (!settings.job_name.empty()) out += "job = " + calib::toml_text(settings.job_name) + "\n";
  if (!settings.hoop_name.empty()) out += "hoop = " + calib::toml_text(settings.hoop_name) + "\n";
  if (!settings.machine_name.empty()) out += "machine = " + calib::toml_text(settings.machine_name) + "\n";
  return out;
}

bool damaged(const std::filesystem::path& file) {
  try {
    load_settings(file);
    return false;
  } catch (const calib::FileError&) {
    return true;
  }
}

}  // namespace

std::filesystem::path settings_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "settings.toml";
}

Settings load_settings(const std::filesystem::path& file) {
  if (!std::filesystem::exists(file)) return {};
  return settings_from_text(calib::text_of_file(file), file.string());
}

void save_settings(const Settings& settings, const std::filesystem::path& file) {
  const std::string text = text_of(settings);
  settings_from_text(text, file.string() + " (not saved)");  // before anything is changed
  make_room_for(file);
  // Someone edited it by hand and may want to mend it.
  if (damaged(file)) keep_old(file);
  calib::write_atomically(file, text);
}

}  // namespace app
