#include "app/records/piece_log.h"

#include <algorithm>

namespace app {

struct PieceLog::State {
  std::vector<PieceRecord> records;
};

PieceLog::PieceLog(std::filesystem::path) : state_(std::make_unique<State>()) {}
PieceLog::~PieceLog() = default;
void PieceLog::keep(PieceRecord record) { state_->records.insert(state_->records.begin(), std::move(record)); }
std::size_t PieceLog::waiting() const { return 0; }
std::string PieceLog::trouble() const { return {}; }

std::vector<PieceRecord> PieceLog::newest(std::size_t count) const {
  const auto& all = state_->records;
  return {all.begin(), all.begin() + static_cast<std::ptrdiff_t>(std::min(count, all.size()))};
}

std::size_t PieceLog::count_since(const std::string&, const std::string&) const { return state_->records.size(); }
bool PieceLog::flush(double) { return true; }

std::filesystem::path log_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "pieces.sqlite";
}

}  // namespace app
