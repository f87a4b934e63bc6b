#include "app/share/shared_tables.h"

#include <nlohmann/json.hpp>
#include <optional>
#include <string_view>
#include <type_traits>

#include "app/records/piece_json.h"
#include "app/records/table_rows.h"
#include "app/share/erasure.h"

namespace app {
namespace {

// Zero bytes stand in no text of the server, and what is no UTF-8 neither: both become U+FFFD.
std::string line_of(const Erasure& erasure) {
  nlohmann::ordered_json out;
  each_field(erasure, [&](std::string_view name, const auto& value) { out[std::string(name)] = value; });
  return out.dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace);
}

template <typename Record>
std::string line_of(const Record& record) {
  return entry_json(LogEntry(record));
}

// Calls visit with a record of the table's type.
template <typename Visit>
auto with_record_of(std::string_view table, Visit visit) {
  if (table == kTable<Inspection>) return visit(Inspection{});
  if (table == kTable<Correction>) return visit(Correction{});
  if (table == kTable<Naming>) return visit(Naming{});
  if (table == kTable<Erasure>) return visit(Erasure{});
  return visit(PieceRecord{});
}

constexpr const char* kWanted = "seq > :after AND (pulled = 0 OR seq <= :whole)";

// Every field of the line has come into the record as it was, and there is none besides.
template <typename Record>
bool is_all_of(const nlohmann::json& line, const Record& record) {
  std::size_t fields = 0;
  bool same = true;
  each_field(record, [&](std::string_view name, const auto& value) {
    const auto found = line.find(std::string(name));
    if (found == line.end()) return;
    ++fields;
    if constexpr (std::is_same_v<std::remove_cvref_t<decltype(value)>, std::string>) same = same && *found == value;
  });
  return same && fields == line.size();
}

std::optional<Erasure> erasure_in(const nlohmann::json& line) {
  try {
    Erasure out;
    each_field(out, [&](std::string_view name, auto& value) { line.at(std::string(name)).get_to(value); });
    return out;
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;
  }
}

void replace_zeros(std::string& line) {
  constexpr std::string_view kZero = "\\u0000";
  for (std::size_t at = line.find(kZero); at != std::string::npos; at = line.find(kZero, at)) {
    std::size_t slashes = 0;  // before it: an even count leaves this one its meaning
    while (slashes < at && line[at - 1 - slashes] == '\\') ++slashes;
    if (slashes % 2 == 0) line.replace(at, kZero.size(), "\xEF\xBF\xBD");
    ++at;
  }
}

}  // namespace

std::int64_t last_seq(SQLite::Database& database, const std::string& table) {
  return database.execAndGet("SELECT coalesce(max(seq), 0) FROM " + table).getInt64();
}

Outgoing next_outgoing(SQLite::Database& database, const std::string& table, std::int64_t after, std::int64_t whole,
                       int most) {
  return with_record_of(table, [&](auto any) {
    using Record = decltype(any);
    Outgoing out;
    SQLite::Transaction as_of_now(database);
    SQLite::Statement rows(database, "SELECT " + columns<Record>() + ", seq FROM " + table + " WHERE " + kWanted +
                                         " ORDER BY seq LIMIT :most");
    rows.bind(":after", after);
    rows.bind(":whole", whole);
    rows.bind(":most", most);
    while (rows.executeStep()) {
      const Record record = record_in<Record>(rows);
      out.ids.push_back(record.id);
      out.bodies.push_back(line_of(record));
      replace_zeros(out.bodies.back());
      out.last_seq = rows.getColumn(rows.getColumnCount() - 1).getInt64();
    }
    out.more = out.ids.size() == static_cast<std::size_t>(most);
    // Rows of others behind the last own one need not be looked at again.
    if (!out.more) out.last_seq = std::max(after, last_seq(database, table));
    return out;
  });
}

std::int64_t count_outgoing(SQLite::Database& database, const std::string& table, std::int64_t after,
                            std::int64_t whole) {
  SQLite::Statement row(database, "SELECT count(*) FROM " + table + " WHERE " + kWanted);
  row.bind(":after", after);
  row.bind(":whole", whole);
  row.executeStep();
  return row.getColumn(0).getInt64();
}

struct Incoming::Tables {
  explicit Tables(SQLite::Database& all)
      : database(all), pieces(all, true), inspections(all, true), corrections(all, true), namings(all, true) {}
  void add(const PieceRecord& one) { pieces.add(one); }
  void add(const Inspection& one) { inspections.add(one); }
  void add(const Correction& one) { corrections.add(one); }
  void add(const Naming& one) { namings.add(one); }

  SQLite::Database& database;
  Insertion<PieceRecord> pieces;
  Insertion<Inspection> inspections;
  Insertion<Correction> corrections;
  Insertion<Naming> namings;
};

Incoming::Incoming(SQLite::Database& database) : tables_(std::make_unique<Tables>(database)) {}
Incoming::~Incoming() = default;

Incoming::Kept Incoming::add(const std::string& kind, const std::string& body) {
  SQLite::Database& database = tables_->database;
  const nlohmann::json line = nlohmann::json::parse(body, nullptr, false);
  if (!line.is_object()) return Kept::unknown;
  const auto before = database.getTotalChanges();
  bool known = false;
  if (kind == kTable<Erasure>) {
    const auto erasure = erasure_in(line);
    known = erasure && is_all_of(line, *erasure);
    if (known) keep_pulled(database, *erasure);
  } else if (const auto entry = entry_from_json(body)) {
    std::visit(
        [&](const auto& one) {
          known = kind == kTable<std::remove_cvref_t<decltype(one)>> && is_all_of(line, one);
          if (known) tables_->add(one);
        },
        *entry);
  }
  if (!known) return Kept::unknown;
  return database.getTotalChanges() != before ? Kept::added : Kept::there;
}

}  // namespace app
