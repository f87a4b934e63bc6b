#include "app/views/records/records_seen.h"

#include <algorithm>

namespace app {
namespace {

PieceFilter filter_of(const RecordsAsk& ask, std::int64_t since_s) {
  PieceFilter filter;
  filter.operator_name = ask.operator_name;
  filter.hoop = ask.hoop;
  filter.cloth = ask.cloth;
  filter.job = ask.job;
  filter.since_s = since_s;
  filter.with_set_aside = ask.page == RecordsPage::pieces;
  return filter;
}

// The pieces of the last day that has any; none within four weeks leave none.
std::vector<PieceRow> last_day(const PieceRows& rows, const RecordsAsk& ask, std::time_t now) {
  std::vector<PieceRow> all = rows.select(filter_of(ask, span_began(RecordsSpan::four_weeks, now)));
  if (all.empty()) return all;
  const std::int64_t began = span_began(RecordsSpan::today, all.back().time_s);
  std::erase_if(all, [began](const PieceRow& row) { return row.time_s < began; });
  return all;
}

double median_u_mm(const std::vector<PieceRow>& pieces) {
  if (pieces.empty()) return 0.0;
  std::vector<float> all;
  all.reserve(pieces.size());
  for (const PieceRow& row : pieces) all.push_back(row.u_offset_mm);
  const auto middle = all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2);
  std::nth_element(all.begin(), middle, all.end());
  return *middle;
}

void add_choices(RecordsSeen& seen, const PieceRows& rows, std::int64_t since_s) {
  struct Column {
    NameIndex PieceRow::*member;
    std::vector<std::string>& names;
    bool of_all_people;
    std::vector<bool> has{};
  };
  Column columns[] = {{&PieceRow::operator_name, seen.operators, true},
                      {&PieceRow::hoop, seen.hoops, false},
                      {&PieceRow::cloth, seen.cloths, false},
                      {&PieceRow::job, seen.jobs, false}};
  for (Column& column : columns) column.has.resize(rows.names().size());
  for (const PieceRow& row : rows.all()) {
    if (row.time_s < since_s) continue;
    const bool chosen = !seen.ask.operator_name || rows.name(row.operator_name) == *seen.ask.operator_name;
    for (Column& column : columns)
      if (chosen || column.of_all_people) column.has[row.*column.member] = true;
  }
  for (Column& column : columns) {
    for (NameIndex name = 1; name < column.has.size(); ++name)
      if (column.has[name] && !(column.of_all_people && rows.hidden(name))) column.names.push_back(rows.name(name));
    std::sort(column.names.begin(), column.names.end());
  }
}

}  // namespace

RecordsSeen seen_of(const PieceRows& rows, const RecordsAsk& ask, std::time_t now) {
  RecordsSeen seen;
  seen.ask = ask;
  seen.names = rows.names();
  const std::int64_t since_s = span_began(ask.span, now);
  std::vector<PieceRow> pieces = rows.select(filter_of(ask, since_s));
  if (ask.page == RecordsPage::board && ask.span == RecordsSpan::today && pieces.empty()) {
    pieces = last_day(rows, ask, now);
    seen.of_last_day = !pieces.empty();
  }
  seen.count = pieces.size();
  add_choices(seen, rows, ask.span == RecordsSpan::today ? span_began(RecordsSpan::four_weeks, now) : since_s);
  // The list shows all there is; figures are of what has a place.
  if (ask.page != RecordsPage::pieces) std::erase_if(pieces, [](const PieceRow& row) { return !has_place(row); });
  switch (ask.page) {
    case RecordsPage::board: {
      std::vector<PlacedPiece> all;
      all.reserve(pieces.size());
      for (const PieceRow& row : pieces) all.push_back(placed(row));
      seen.figures = placement_figures(all);
      seen.station_u_mm = median_u_mm(pieces);
      break;
    }
    case RecordsPage::weeks:
      seen.trend = trend(pieces);
      break;
    case RecordsPage::hints:
      seen.hints = hints(pieces, seen.names);
      break;
    case RecordsPage::pieces:
      break;
  }
  if (ask.page == RecordsPage::board || ask.page == RecordsPage::pieces) {
    const std::size_t kept = std::min(kMostRows, pieces.size());
    seen.pieces.assign(pieces.end() - static_cast<std::ptrdiff_t>(kept), pieces.end());
  }
  return seen;
}

}  // namespace app
