// What the figures over the records cost: pieces are made up, written, read as short rows, chosen and summed up.
// hoopgauge_records_bench [--pieces N] [--log FILE]: with a file the pieces stay there, and are not made again.
// The peer of reading is SQLite itself, stepping through the same rows and columns without taking anything from them.
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <string>

#include "app/hints/hints.h"
#include "app/records/piece_rows.h"
#include "app/records/piece_table.h"
#include "app/records/row_reader.h"
#include "tests/bench/memory.h"
#include "tests/bench/records/made_shop.h"
#include "tests/bench/stopwatch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr std::int64_t kFirst_s = 1'700'000'000;
constexpr std::size_t kBatch = 5000;

template <typename Work>
double ms(const Work& work) {
  const bench::Stopwatch watch;
  work();
  return watch.wall_ms();
}

void write(const std::filesystem::path& file, std::size_t pieces) {
  SQLite::Database database = app::open_to_write(file, 1000);
  bench::MadeShop shop(kFirst_s);
  std::vector<app::LogEntry> batch;
  for (std::size_t i = 0; i < pieces; ++i) {
    batch.emplace_back(shop.next());
    if (batch.size() < kBatch && i + 1 < pieces) continue;
    app::insert(database, batch);
    batch.clear();
  }
  database.exec("PRAGMA wal_checkpoint(TRUNCATE)");
}

double stepping_ms(const std::filesystem::path& file) {
  SQLite::Database database = app::open_to_read(file);
  return ms([&] {
    app::RowReader rows(database, "SELECT * FROM piece");
    while (rows.next()) {
    }
  });
}

void report(const char* what, double time_ms) { std::printf("%-44s %9.1f ms\n", what, time_ms); }

void measure(const std::filesystem::path& file) {
  const double peer = stepping_ms(file);
  report("SQLite alone, stepping through the rows", peer);
  const double memory = bench::resident_mb("VmRSS");
  app::PieceRows rows(file);
  const double first = ms([&] { rows.refresh(); });
  report("first reading as short rows", first);
  std::printf("%-44s %9.2f x\n", "  against SQLite alone", first / peer);
  std::printf("%-44s %9.1f MB\n", "  memory", bench::resident_mb("VmRSS") - memory);
  report("nothing new", ms([&] { rows.refresh(); }));
  std::vector<app::PieceRow> chosen;
  report("choose all", ms([&] { chosen = rows.select({}); }));
  std::vector<app::PlacedPiece> placed;
  for (const app::PieceRow& row : chosen) placed.push_back(app::placed(row));
  report("figures of all", ms([&] { app::placement_figures(placed); }));
  report("hints of all", ms([&] { app::hints(chosen, rows.names()); }));
  app::PieceFilter month;
  month.since_s = chosen.back().time_s - 30 * 86400;
  report("choose a month", ms([&] { chosen = rows.select(month); }));
  std::printf("%-44s %9zu\n", "  pieces", chosen.size());
  app::PieceRows recent(file, month.since_s);
  report("a month read alone", ms([&] { recent.refresh(); }));
}

}  // namespace

int main(int argc, char** argv) {
  std::size_t pieces = 200000;
  std::filesystem::path file;
  for (int i = 1; i + 1 < argc; i += 2) {
    if (std::strcmp(argv[i], "--pieces") == 0) pieces = std::stoul(argv[i + 1]);
    if (std::strcmp(argv[i], "--log") == 0) file = argv[i + 1];
  }
  const TemporaryFolder folder;
  if (file.empty()) file = folder.path / "pieces.sqlite";
  if (!std::filesystem::exists(file)) report("make up and write the pieces", ms([&] { write(file, pieces); }));
  measure(file);
  return 0;
}
