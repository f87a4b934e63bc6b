#include "tests/bench/soak/fault_book.h"

#include <algorithm>

#include "app/format.h"

namespace soak {
namespace {

constexpr std::array<std::string_view, kTroubles> kNames{
    "camera lost",     "camera hung",        "frame truncated",        "frame half black", "clock set back",
    "clock set ahead", "board mark covered", "screen's textures lost", "log locked",       "disk full"};

// Nothing has to be said of a clock or of textures, the work only has to go on.
bool needs_notice(Trouble trouble) {
  return trouble != Trouble::clock_back && trouble != Trouble::clock_ahead && trouble != Trouble::screen_lost;
}

bool shows(Trouble trouble, const Signs& signs) {
  switch (trouble) {
    case Trouble::mark_covered:
    case Trouble::frame_half_black:
      return signs.marks_missing;
    case Trouble::log_locked:
    case Trouble::disk_full:
      return signs.log_trouble;
    default:
      return signs.no_picture;
  }
}

}  // namespace

std::string_view name(Trouble trouble) { return kNames[static_cast<std::size_t>(trouble)]; }

void FaultBook::injected(Trouble trouble, long piece) {
  const std::scoped_lock lock(gate_);
  entries_.push_back({trouble, piece});
}

void FaultBook::look(const Signs& signs) {
  const std::scoped_lock lock(gate_);
  for (Entry& entry : entries_)
    if (!entry.recovered && shows(entry.trouble, signs)) entry.noticed = true;
}

void FaultBook::recorded(long piece, const Signs& signs) {
  const std::scoped_lock lock(gate_);
  for (Entry& entry : entries_)
    if (piece > entry.piece && !shows(entry.trouble, signs)) entry.recovered = true;
}

bool FaultBook::touched(long piece) const {
  const std::scoped_lock lock(gate_);
  return std::any_of(entries_.begin(), entries_.end(), [&](const Entry& entry) { return entry.piece == piece; });
}

std::string FaultBook::table(const std::vector<long>& without) const {
  const std::scoped_lock lock(gate_);
  std::string text =
      "| fault | injected | noticed | recovered | piece in hand without a record |\n|---|---|---|---|---|\n";
  for (int i = 0; i < kTroubles; ++i) {
    const auto trouble = static_cast<Trouble>(i);
    long injected = 0, noticed = 0, recovered = 0, lost = 0;
    for (const Entry& entry : entries_) {
      if (entry.trouble != trouble) continue;
      ++injected;
      noticed += entry.noticed;
      recovered += entry.recovered;
      lost += std::count(without.begin(), without.end(), entry.piece);
    }
    const std::string said = needs_notice(trouble) ? std::to_string(noticed) : "need not";
    text += app::format("| %s | %ld | %s | %ld | %ld |\n", std::string(name(trouble)).c_str(), injected, said.c_str(),
                        recovered, lost);
  }
  return text;
}

}  // namespace soak
