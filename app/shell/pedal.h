// The foot pedal: one key. Pressed short it takes the held reading, held long it takes it anew.
#pragma once

#include <optional>

#include "app/screen/input.h"

namespace app {

class Pedal {
 public:
  enum class Press { brief, held };
  static constexpr double kHeld_s = 0.8;

  // `key`: the learned one; 0 is none. True when the event is the pedal's and nobody else's.
  bool handle(const InputEvent& event, SDL_Keycode key, double now_s);
  // What it said since the last call, if anything.
  std::optional<Press> take(double now_s);

 private:
  bool down_ = false, told_ = false;  // told: of this time down
  double since_s_ = 0.0;
  std::optional<Press> press_;
};

}  // namespace app
