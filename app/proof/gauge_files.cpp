#include "app/proof/gauge_files.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void fail(const fs::path& file, std::size_t line, const std::string& message) {
  throw calib::FileError(file.string() + ":" + std::to_string(line) + ": " + message);
}

std::string trimmed(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t\r\""), last = text.find_last_not_of(" \t\r\"");
  return first == std::string::npos ? std::string() : text.substr(first, last - first + 1);
}

std::vector<std::string> split(const std::string& text, char by) {
  std::vector<std::string> fields;
  std::size_t start = 0;
  for (std::size_t end = text.find(by); end != std::string::npos; start = end + 1, end = text.find(by, start))
    fields.push_back(text.substr(start, end - start));
  fields.push_back(text.substr(start));
  return fields;
}

double number(const fs::path& file, std::size_t line, const std::string& text) {
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc() || end != text.data() + text.size() || !std::isfinite(value))
    fail(file, line, "'" + text + "' is no number; write the value with a point, such as 12.34");
  return value;
}

struct Columns {
  std::size_t by = 0, part = 0, value = 0, count = 0;
};

Columns columns_of(const fs::path& file, std::size_t line, const std::string& text) {
  std::vector<std::string> names;
  for (const std::string& name : split(text, ',')) names.push_back(trimmed(name));
  const auto find = [&](const char* name) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found == names.end())
      fail(file, line, std::string("there is no column '") + name + "'; the first line is operator,part,trial,value");
    return static_cast<std::size_t>(found - names.begin());
  };
  return {find("operator"), find("part"), find("value"), names.size()};
}

double at(const nlohmann::json& sticker, const char* sheet, const char* station, double sign) {
  return sticker.at(sheet).get<double>() + sign * sticker.at(station).get<double>();
}

void add_proof(const fs::path& file, std::vector<NamedReadings>& studies, std::set<std::string>& operators) {
  try {
    const nlohmann::json proof = nlohmann::json::parse(calib::text_of_file(file));
    const std::string by = proof.at("operator").get<std::string>();
    if (by.empty()) throw calib::FileError(file.string() + ": names no operator; prove with --operator NAME");
    if (!operators.insert(by).second)
      throw calib::FileError(file.string() + ": is a second proof by '" + by + "'; name one proof for each operator");
    for (const nlohmann::json& place : proof.at("places"))
      for (const nlohmann::json& sticker : place.at("stickers"))
        for (const double sign : {1.0, -1.0}) {
          const std::string part = std::to_string(sticker.at("number").get<int>());
          studies[0].readings.push_back({by, part, at(sticker, "sheet_x_mm", "station_x_mm", sign)});
          studies[1].readings.push_back({by, part, at(sticker, "sheet_y_mm", "station_y_mm", sign)});
          studies[2].readings.push_back({by, part, at(sticker, "half_sum_deg", "half_difference_deg", sign)});
        }
  } catch (const nlohmann::json::exception&) {
    throw calib::FileError(file.string() + ": is no proof; name a JSON that hoopgauge prove wrote, or a .csv");
  }
}

}  // namespace

NamedReadings gauge_csv(const fs::path& file) {
  NamedReadings study{"value", "", {}};
  std::optional<Columns> columns;
  std::size_t line = 0;
  for (const std::string& text : split(calib::text_of_file(file), '\n')) {
    ++line;
    if (trimmed(text).empty() || text[0] == '#') continue;
    if (!columns) {
      columns = columns_of(file, line, text);
      continue;
    }
    const std::vector<std::string> fields = split(text, ',');
    if (fields.size() != columns->count)
      fail(file, line,
           "there are " + std::to_string(fields.size()) + " fields and " + std::to_string(columns->count) +
               " columns; write one for each");
    const std::string by = trimmed(fields[columns->by]), part = trimmed(fields[columns->part]);
    if (by.empty() || part.empty()) fail(file, line, "operator or part is empty; write who measured what");
    study.readings.push_back({by, part, number(file, line, trimmed(fields[columns->value]))});
  }
  if (study.readings.empty())
    throw calib::FileError(file.string() + ": holds no readings; the first line is operator,part,trial,value");
  return study;
}

std::vector<NamedReadings> gauge_proofs(const std::vector<fs::path>& files) {
  std::vector<NamedReadings> studies{{"offset x", "mm", {}}, {"offset y", "mm", {}}, {"rotation", "deg", {}}};
  std::set<std::string> operators;
  for (const fs::path& file : files) add_proof(file, studies, operators);
  return studies;
}

}  // namespace app
