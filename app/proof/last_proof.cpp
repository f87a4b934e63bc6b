#include "app/proof/last_proof.h"

#include <algorithm>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <system_error>
#include <vector>

#include "app/format.h"
#include "app/places.h"
#include "app/words/words.h"
#include "calib/files.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// FNV-1a, 64 bit: tells numbers apart that changed, guards against nothing else.
class Mixer {
 public:
  void add(double value) { add_text(calib::toml_number(value)); }
  void add_text(const std::string& text) {
    for (const char c : text) mix(static_cast<unsigned char>(c));
    mix(0);
  }
  std::string hex() const {
    char text[20];
    std::snprintf(text, sizeof text, "%016llx", static_cast<unsigned long long>(state_));
    return text;
  }

 private:
  void mix(std::uint64_t byte) { state_ = (state_ ^ byte) * 1099511628211ULL; }
  std::uint64_t state_ = 14695981039346656037ULL;
};

struct Kept {
  std::string time_utc;  // "2026-01-31T12:00:00Z"
  calib::ProofVerdict verdict;
  std::string fingerprint;
  fs::path file;
};

std::optional<Kept> read(const fs::path& file) {
  try {
    const nlohmann::json json = nlohmann::json::parse(calib::text_of_file(file));
    const auto verdict = calib::verdict_of(json.at(kProofVerdictKey).get<std::string>());
    if (!verdict) return std::nullopt;
    return Kept{json.at(kProofTimeKey).get<std::string>(), *verdict, json.at(kProofStationKey).get<std::string>(),
                file};
  } catch (const nlohmann::json::exception&) {
    return std::nullopt;
  } catch (const calib::FileError&) {
    return std::nullopt;
  }
}

// Seconds since 1970; nothing for what is no time.
std::optional<std::time_t> time_of(const std::string& text) {
  std::tm parts{};
  const char* end = ::strptime(text.c_str(), "%Y-%m-%dT%H:%M:%SZ", &parts);
  if (end == nullptr || *end != '\0') return std::nullopt;
  return ::timegm(&parts);
}

std::optional<Kept> newest(const fs::path& folder) {
  std::optional<Kept> best;
  std::error_code fault;
  for (fs::directory_iterator entry(folder, fault), end; !fault && entry != end; entry.increment(fault)) {
    const fs::path file = entry->path();
    if (file.extension() != ".json" || file.filename().string().rfind("proof-", 0) != 0) continue;
    const std::optional<Kept> kept = read(file);
    if (!kept || !time_of(kept->time_utc)) continue;
    if (!best || std::make_pair(kept->time_utc, kept->file) > std::make_pair(best->time_utc, best->file)) best = kept;
  }
  return best;
}

LastProof::State state_of(const Kept& kept, const vision::Station& station, std::time_t now) {
  if (kept.fingerprint != station_fingerprint(station)) return LastProof::State::changed;
  if (kept.verdict != calib::ProofVerdict::pass) return LastProof::State::not_good;
  const double days = std::difftime(now, *time_of(kept.time_utc)) / 86400.0;
  return days > kProofHoldsDays ? LastProof::State::old : LastProof::State::holds;
}

}  // namespace

std::string station_fingerprint(const vision::Station& station) {
  Mixer mixer;
  const vision::Lens& lens = station.lens;
  for (const double number : {static_cast<double>(lens.width_px), static_cast<double>(lens.height_px), lens.fx, lens.fy,
                              lens.cx, lens.cy, station.print_scale})
    mixer.add(number);
  for (const double number : lens.distortion) mixer.add(number);
  std::vector<vision::BoardMark> marks = station.board_marks;
  std::sort(marks.begin(), marks.end(), [](const auto& a, const auto& b) { return a.id < b.id; });
  for (const vision::BoardMark& mark : marks)
    for (const double number : {static_cast<double>(mark.id), mark.x_mm, mark.y_mm, mark.angle_deg, mark.size_mm})
      mixer.add(number);
  return mixer.hex();
}

std::string words_of(const LastProof& proof) {
  switch (proof.state) {
    case LastProof::State::none:
      return tr("This station has not been proved yet: lay the proof sheet on the board.");
    case LastProof::State::holds:
      return format(tr("Proved on %s: it measures right."), proof.date);
    case LastProof::State::old:
      return format(tr("Proved on %s, more than a month ago: prove it again."), proof.date);
    case LastProof::State::changed:
      return format(tr("Lens, board or print scale changed since the proof of %s: prove it again."), proof.date);
    case LastProof::State::not_good:
      break;
  }
  return proof.verdict == calib::ProofVerdict::fail
             ? format(tr("The proof of %s failed: see its report, then prove it again."), proof.date)
             : format(tr("The proof of %s did not decide: see its report, then prove it again."), proof.date);
}

LastProof latest_proof(const fs::path& station_file, const vision::Station& station, std::time_t now) {
  LastProof proof;
  if (const std::optional<Kept> kept = newest(proof_folder(station_file))) {
    proof.state = state_of(*kept, station, now);
    proof.verdict = kept->verdict;
    proof.date = kept->time_utc.substr(0, 10);
    proof.file = kept->file;
  }
  proof.line = words_of(proof);
  return proof;
}

}  // namespace app
