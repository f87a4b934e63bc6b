#include "app/records/row_corrections.h"

#include <array>
#include <utility>

#include "app/records/correction.h"
#include "app/records/field_text.h"

namespace app {
namespace {

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
    if (field == name) row.*member = static_cast<float>(value_from_text<double>(value).value_or(row.*member));
  if (field == "garment_number") row.garment_number = value_from_text<int>(value).value_or(row.garment_number);
}

}  // namespace app
