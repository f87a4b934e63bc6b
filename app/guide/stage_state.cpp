#include "app/guide/stage_state.h"

#include <algorithm>
#include <optional>
#include <system_error>

#include "app/format.h"
#include "app/hoops/hoop_store.h"
#include "app/places.h"
#include "app/proof/last_proof.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

// What the station's file knows.
struct Known {
  std::optional<vision::Station> station;
  std::string fault;  // why it cannot be used
};

Known read(const std::filesystem::path& file, calib::StationNeeds needs) {
  std::error_code ignored;
  if (!std::filesystem::exists(file, ignored)) return {};
  try {
    return {calib::load_station(file, needs), {}};
  } catch (const calib::FileError& error) {
    return {std::nullopt, error.what()};
  }
}

StageNow lens_state(const Known& known) {
  if (!known.station) return {StageState::to_do, known.fault};
  const vision::Lens& lens = known.station->lens;
  return {StageState::done, format(tr("%d x %d pixels"), lens.width_px, lens.height_px)};
}

StageNow board_state(const Known& lens, const Known& board) {
  if (board.station) {
    const auto marks = static_cast<int>(board.station->board_marks.size());
    return {StageState::done, format(tr("%d mark", "%d marks", marks), marks)};
  }
  const bool none = !lens.station || lens.station->board_marks.empty();
  return {StageState::to_do, none ? std::string() : board.fault};
}

StageNow hoop_state(const std::filesystem::path& station_file) {
  try {
    const HoopList list = HoopStore(hoop_folder(station_file)).list();
    const std::string fault = list.damaged.empty() ? std::string() : list.damaged.front().message;
    if (list.hoops.empty()) return {StageState::to_do, fault};
    std::string names;
    for (const StoredHoop& one : list.hoops) names += (names.empty() ? "" : ", ") + one.hoop.name;
    return {StageState::done, fault.empty() ? names : names + "; " + fault};
  } catch (const calib::FileError& error) {
    return {StageState::to_do, error.what()};
  }
}

StageNow proof_state(const std::filesystem::path& station_file, const Known& board, std::time_t now) {
  if (!board.station) return {};
  const LastProof proof = latest_proof(station_file, *board.station, now);
  switch (proof.state) {
    case LastProof::State::none:
      return {};
    case LastProof::State::holds:
      return {StageState::done, proof.line};
    case LastProof::State::old:
    case LastProof::State::changed:
    case LastProof::State::not_good:
      break;
  }
  return {StageState::stale, proof.line};
}

}  // namespace

std::string_view word(StageState state) {
  switch (state) {
    case StageState::to_do:
      return noop("to do");
    case StageState::by_hand:
      return noop("by hand");
    case StageState::stale:
      return noop("do it again");
    case StageState::done:
      return noop("done");
  }
  return "";
}

std::vector<StageNow> stage_states(const std::filesystem::path& station_file, std::time_t now) {
  const Known lens = read(station_file, calib::StationNeeds::lens);
  const Known board = read(station_file, calib::StationNeeds::board);
  const StageNow lens_now = lens_state(lens);
  const StageNow board_now = board_state(lens, board);
  // What comes before the lens and the survey was done, if those are.
  const auto by_hand = [](bool built_upon) {
    return StageNow{built_upon ? StageState::done : StageState::by_hand, {}};
  };
  const bool lens_done = lens_now.state == StageState::done, board_done = board_now.state == StageState::done;
  std::vector<StageNow> states(4, by_hand(lens_done));
  states.push_back(by_hand(board_done));
  states.push_back(lens_now);
  states.push_back(board_now);
  states.push_back(hoop_state(station_file));
  states.push_back(proof_state(station_file, board, now));
  return states;
}

int first_open(const std::vector<StageNow>& states) {
  const auto open =
      std::find_if(states.begin(), states.end(), [](const StageNow& s) { return s.state != StageState::done; });
  return static_cast<int>(open - states.begin());
}

}  // namespace app
