// What a person does at the screen: mouse and touch as one pointer, and keys.
#pragma once

#include <SDL.h>

#include <string>

namespace app {

struct InputEvent {
  enum class Kind {
    pointer_down,  // the finger or the mouse's left button
    pointer_move,  // with or without it held down
    pointer_up,
    key,  // pressed, or repeated while it is held
    key_up,
    text,  // what the keys gave as text
  };
  Kind kind = Kind::key;
  SDL_FPoint at{};        // pointer: px of the output, as Canvas has them
  SDL_Keycode key = 0;    // key, key_up: SDLK_...
  bool shift = false;     // key: with shift held
  bool repeated = false;  // key: by being held
  std::string text;       // text: UTF-8
};

inline InputEvent pointer_event(InputEvent::Kind kind, SDL_FPoint at) {
  InputEvent event;
  event.kind = kind;
  event.at = at;
  return event;
}

inline InputEvent key_event(SDL_Keycode key, bool shift = false) {
  InputEvent event;
  event.key = key;
  event.shift = shift;
  return event;
}

}  // namespace app
