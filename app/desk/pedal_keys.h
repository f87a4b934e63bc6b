// Which keys may be a foot pedal.
#pragma once

#include <SDL.h>

#include <string>

namespace app {

// Why this key cannot be the pedal, in the operator's words; empty: it can.
std::string refused_as_pedal(SDL_Keycode key);
// The key's name for the screen.
std::string key_name(SDL_Keycode key);

}  // namespace app
