#include "app/shell/pedal.h"

#include <utility>

namespace app {

bool Pedal::handle(const InputEvent& event, SDL_Keycode key, double now_s) {
  const bool down = event.kind == InputEvent::Kind::key;
  if (key == 0 || event.key != key || (!down && event.kind != InputEvent::Kind::key_up)) return false;
  if (down && !down_) {
    since_s_ = now_s;
    told_ = false;
  }
  if (!down && down_ && !told_) press_ = Press::brief;
  down_ = down;
  return true;
}

std::optional<Pedal::Press> Pedal::take(double now_s) {
  if (down_ && !told_ && now_s - since_s_ >= kHeld_s) {
    press_ = Press::held;
    told_ = true;
  }
  return std::exchange(press_, std::nullopt);
}

}  // namespace app
