// What a page of the records view shows: read and computed once, away from the screen's thread, and not changed after.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/figures/placement.h"
#include "app/hints/hints.h"
#include "app/records/inspection.h"
#include "app/records/piece_record.h"
#include "app/records/piece_rows.h"
#include "app/views/records/records_ask.h"
#include "app/views/records/trend.h"

namespace app {

// One piece, all of it.
struct OpenedPiece {
  PieceRow row;        // corrected and renamed
  PieceRecord record;  // as it was kept
  std::optional<Inspection> inspection;
};

struct RecordsSeen {
  RecordsAsk ask;
  std::string fault;               // why nothing could be read, in the library's words
  std::vector<std::string> names;  // of the rows
  std::size_t count = 0;           // pieces asked for; figures are of all of them
  // Of the board and the list, at most kMostRows: the newest, in the order of time; the list's also hold those that do
  // not count.
  std::vector<PieceRow> pieces;
  bool of_last_day = false;   // today was asked for and has none: these are of the last day that has
  PlacementFigures figures;   // of the board
  double station_u_mm = 0.0;  // the median of what the readings' own uncertainty was, k = 2
  Trend trend;                // of the weeks' page
  std::vector<Hint> hints;    // of the hints' page
  // That have pieces in the span; operators only those that are not hidden.
  std::vector<std::string> operators, hoops, cloths, jobs;
  std::optional<OpenedPiece> opened;

  const std::string& name(NameIndex index) const { return names.at(index); }
};

inline constexpr std::size_t kMostRows = 400;

// From rows that are fresh and reach back far enough. Without `opened`.
RecordsSeen seen_of(const PieceRows& rows, const RecordsAsk& ask, std::time_t now);

}  // namespace app
