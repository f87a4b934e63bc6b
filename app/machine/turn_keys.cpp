#include "app/machine/turn_keys.h"

#include <cmath>
#include <cstdlib>
#include <numeric>

#include "app/machine/machine_file.h"

namespace app {
namespace {

constexpr int kFar = -1;  // not reached

int wrapped(int turns) { return ((turns % TurnKeys::kFullTurn) + TurnKeys::kFullTurn) % TurnKeys::kFullTurn; }

// Presses from 0 to every rotation, until the wanted one was reached. Presses can be made in any order, so a way that
// is the shortest stays so whichever of its presses comes last.
std::vector<int> presses_to(int wanted, const std::vector<int>& keys) {
  std::vector<int> presses(TurnKeys::kFullTurn, kFar);
  std::vector<int> queue{0};
  queue.reserve(TurnKeys::kFullTurn);
  presses[0] = 0;
  for (std::size_t next = 0; next < queue.size() && presses[static_cast<std::size_t>(wanted)] == kFar; ++next) {
    const int here = queue[next];
    for (const int key : keys) {
      const int there = wrapped(here + key);
      int& found = presses[static_cast<std::size_t>(there)];
      if (found != kFar) continue;
      found = presses[static_cast<std::size_t>(here)] + 1;
      queue.push_back(there);
    }
  }
  return presses;
}

// Tries all shortest ways, as counts of each key, in the order of preference. Whatever is left out of a shortest way
// is a shortest way itself, so only what the search found as near needs to be followed.
class Ways {
 public:
  Ways(const std::vector<int>& keys, const std::vector<int>& presses)
      : keys_(keys), presses_(presses), counts_(keys.size(), 0) {}

  std::vector<int> best(int wanted) {
    follow(wanted, 0, 0);
    return best_;
  }

 private:
  int presses(int turns) const { return presses_[static_cast<std::size_t>(turns)]; }

  void follow(int left, std::size_t key, int kinds) {
    if (left == 0) {
      if (!best_.empty() && kinds >= best_kinds_) return;
      best_ = counts_;
      best_kinds_ = kinds;
      return;
    }
    if (key == keys_.size() || (!best_.empty() && kinds + 1 > best_kinds_)) return;
    std::vector<int> lefts{left};  // after no press of this key, after one ...
    while (lefts.back() != 0) {
      const int next = wrapped(lefts.back() - keys_[key]);
      if (presses(next) != presses(lefts.back()) - 1) break;
      lefts.push_back(next);
    }
    for (std::size_t times = lefts.size(); times-- > 0;) {
      counts_[key] = static_cast<int>(times);
      follow(lefts[times], key + 1, kinds + (times > 0 ? 1 : 0));
    }
    counts_[key] = 0;
  }

  const std::vector<int>& keys_;
  const std::vector<int>& presses_;  // from 0; kFar
  std::vector<int> counts_, best_;
  int best_kinds_ = 0;
};

}  // namespace

TurnKeys::TurnKeys(const Machine& machine) {
  const int step = finest_turns(machine.rotation_step_deg);
  if (step == 0) return;
  int common = kFullTurn;
  for (const double deg : machine.turn_keys_deg) {
    const int key = finest_turns(deg);
    common = std::gcd(common, key);
    keys_.push_back(key);
    if (machine.turn_keys_both_ways) keys_.push_back(-key);
  }
  grid_ = keys_.empty() ? step : common;
}

std::vector<KeyPresses> TurnKeys::shortest(int finest_turns) const {
  std::vector<KeyPresses> out;
  const int wanted = wrapped(finest_turns);
  if (wanted == 0 || keys_.empty() || wanted % grid_ != 0) return out;
  const std::vector<int> presses = presses_to(wanted, keys_);
  const std::vector<int> counts = Ways(keys_, presses).best(wanted);
  for (std::size_t i = 0; i < keys_.size(); ++i)
    if (counts[i] > 0) out.push_back({keys_[i] * kFinestTurn_deg, counts[i]});
  return out;
}

}  // namespace app
