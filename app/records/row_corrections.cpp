#include "app/records/row_corrections.h"

#include <array>
#include <charconv>
#include <optional>
#include <utility>

#include "app/records/correction.h"

namespace app {
namespace {

// Whole, with a point, whatever the language.
template <typename Number>
std::optional<Number> number_of(std::string_view text) {
  Number out{};
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), out);
  if (fault != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return out;
}

constexpr std::array<std::pair<std::string_view, NameIndex PieceRow::*>, 6> kNames{{{"job", &PieceRow::job},
                                                                                    {"garment", &PieceRow::garment},
                                                                                    {"cloth", &PieceRow::cloth},
                                                                                    {"hoop", &PieceRow::hoop},
                                                                                    {"station", &PieceRow::station},
                                                                                    {"machine", &PieceRow::machine}}};
constexpr std::array<std::pair<std::string_view, float PieceRow::*>, 2> kNumbers{
    {{"tolerance_mm", &PieceRow::tolerance_mm}, {"tolerance_deg", &PieceRow::tolerance_deg}}};

}  // namespace

void correct_row(PieceRow& row, std::string_view field, std::string_view value, std::string_view time_utc,
                 NameTable& names, const NameHistory& history) {
  if (field == kSetAside) row.set_aside = value == "1";
  if (field == "operator") row.operator_name = names.index_of(history.now(value, time_utc));
  for (const auto& [name, member] : kNames)
    if (field == name) row.*member = names.index_of(value);
  for (const auto& [name, member] : kNumbers)
    if (field == name) row.*member = number_of<float>(value).value_or(row.*member);
  if (field == "garment_number") row.garment_number = number_of<std::int32_t>(value).value_or(row.garment_number);
}

}  // namespace app
