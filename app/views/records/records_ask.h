// What a person wants to see of the records.
#pragma once

#include <cstdint>
#include <ctime>
#include <optional>
#include <string>

namespace app {

enum class RecordsPage { board, weeks, hints, pieces };
inline constexpr int kRecordsPages = 4;
enum class RecordsSpan { today, four_weeks, thirteen_weeks, year };
inline constexpr int kRecordsSpans = 4;

struct RecordsAsk {
  RecordsPage page = RecordsPage::board;
  RecordsSpan span = RecordsSpan::today;
  std::optional<std::string> operator_name;     // nothing: the whole shop
  std::optional<std::string> hoop, cloth, job;  // nothing: all
  std::optional<std::int64_t> piece;            // PieceRow::seq of one that is to be read whole
  bool operator==(const RecordsAsk&) const = default;
};

// When the span began here, seconds since 1970, UTC: midnight of today, or of so many days before.
std::int64_t span_began(RecordsSpan span, std::time_t now);

}  // namespace app
