// A piece as one line of a table: as it counts now, corrected and renamed, with the inspection that counts.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/records/correction.h"
#include "app/records/inspection.h"
#include "app/records/inspection_fields.h"
#include "app/records/piece_fields.h"
#include "app/records/piece_record.h"

namespace app {

struct FlatPiece {
  PieceRecord piece;
  bool set_aside = false;  // does not count
  std::optional<Inspection> inspection;
};

inline constexpr std::string_view kInspectionPrefix = "inspection_";

// visit(name, value) for each column, in the table's order. Of a piece without an inspection its columns have the
// values of `Inspection{}`, and whether they are empty is for the visitor to see by `inspection_id`.
template <typename Flat, typename Visit>
void each_column(Flat& flat, Visit&& visit) {
  each_field(flat.piece, visit);
  visit(kSetAside, flat.set_aside);
  std::conditional_t<std::is_const_v<Flat>, const Inspection, Inspection> none;
  auto& inspection = flat.inspection ? *flat.inspection : none;
  each_field(inspection, [&](std::string_view name, auto& value) {
    if (name != kPieceOfInspection) visit(std::string(kInspectionPrefix) + std::string(name), value);
  });
}

struct ColumnMeaning {
  std::string name, unit, meaning;
};
// Of every column, in the table's order.
const std::vector<ColumnMeaning>& column_meanings();

}  // namespace app
