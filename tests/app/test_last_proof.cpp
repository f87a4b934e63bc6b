// Guarantees: the start screen trusts only a proof that passed, is recent, and is of this lens and board.
// Example failure: the board is surveyed anew and the old proof is still shown as good.
#include <filesystem>

#include "app/places.h"
#include "app/proof/last_proof.h"
#include "app/render/demo_station.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr std::time_t kNoon = 1769860800;  // 2026-01-31T12:00:00Z, by date -u -d @1769860800

struct Place {
  TemporaryFolder folder;
  std::filesystem::path station_file = folder.path / "station.toml";
  vision::Station station = app::demo_station();

  void keep(const std::string& name, const std::string& time, const std::string& verdict) const {
    std::filesystem::create_directories(app::proof_folder(station_file));
    folder.put("proof/" + name, "{\"time_utc\": \"" + time + "\", \"verdict\": \"" + verdict +
                                    "\", \"station_fingerprint\": \"" + app::station_fingerprint(station) + "\"}");
  }
  app::LastProof at(std::time_t now) const { return app::latest_proof(station_file, station, now); }
};

using State = app::LastProof::State;

}  // namespace

TEST_CASE("the last proof holds for a month and for its own station", "[proof]") {
  Place place;
  CHECK(place.at(kNoon).state == State::none);
  CHECK(place.at(kNoon).date.empty());

  place.keep("proof-1.json", "2026-01-31T12:00:00Z", "pass");
  CHECK(place.at(kNoon).state == State::holds);
  CHECK(place.at(kNoon).date == "2026-01-31");
  CHECK(place.at(kNoon + 31 * 86400).state == State::holds);
  CHECK(place.at(kNoon + 31 * 86400 + 1).state == State::old);

  vision::Station same = place.station;
  std::swap(same.board_marks.front(), same.board_marks.back());
  CHECK(app::latest_proof(place.station_file, same, kNoon).state == State::holds);
  place.station.board_marks[1].x_mm += 0.001;
  CHECK(place.at(kNoon).state == State::changed);
}

TEST_CASE("the newest proof counts, and damaged files are passed over", "[proof]") {
  Place place;
  place.keep("proof-1.json", "2026-01-31T12:00:00Z", "pass");
  place.keep("proof-2.json", "2026-01-30T12:00:00Z", "fail");
  CHECK(place.at(kNoon).state == State::holds);
  place.keep("proof-3.json", "2026-01-31T12:30:00Z", "undecided");
  CHECK(place.at(kNoon).state == State::not_good);
  CHECK(place.at(kNoon).verdict == calib::ProofVerdict::undecided);
  place.keep("proof-4.json", "2026-01-31T13:00:00Z", "splendid");
  place.keep("proof-5.json", "yesterday", "pass");
  place.folder.put("proof/proof-6.json", "{\"time_utc\": ");
  place.folder.put("proof/notes.json", "[]");
  CHECK(place.at(kNoon).file.filename() == "proof-3.json");
}
