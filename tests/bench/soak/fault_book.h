// The book of faults: what was done to the station, whether it was noticed, whether the work went on, what was lost.
#pragma once

#include <array>
#include <mutex>
#include <string>
#include <string_view>
#include <vector>

namespace soak {

enum class Trouble {
  camera_lost,
  camera_hung,
  frame_truncated,
  frame_half_black,
  clock_back,
  clock_ahead,
  mark_covered,
  screen_lost,
  log_locked,
  disk_full,
};
inline constexpr int kTroubles = 10;
std::string_view name(Trouble trouble);

// What the station says just now, in one look.
struct Signs {
  bool no_picture = false;  // trouble with the frames, or none for long
  bool marks_missing = false;
  bool log_trouble = false;
};

class FaultBook {
 public:
  // From any thread. `piece`: the one in hand, counted through all rounds.
  void injected(Trouble trouble, long piece);
  // What is seen after a turn of the loop.
  void look(const Signs& signs);
  // A piece has its record, and it is right.
  void recorded(long piece, const Signs& signs);

  bool touched(long piece) const;
  // `without`: pieces that were played and have no record.
  std::string table(const std::vector<long>& without) const;

 private:
  struct Entry {
    Trouble trouble;
    long piece;
    bool noticed = false, recovered = false;
  };
  mutable std::mutex gate_;
  std::vector<Entry> entries_;
};

}  // namespace soak
