#include "app/desk/pedal_keys.h"

#include "app/format.h"
#include "app/words/words.h"

namespace app {

std::string key_name(SDL_Keycode key) {
  const char* name = SDL_GetKeyName(key);
  return name != nullptr && *name != '\0' ? name : format(tr("key %d"), static_cast<int>(key));
}

std::string refused_as_pedal(SDL_Keycode key) {
  const char* meaning = nullptr;
  switch (key) {
    case SDLK_ESCAPE:
    case SDLK_q:
      meaning = noop("it goes back");
      break;
    case SDLK_TAB:
    case SDLK_UP:
    case SDLK_DOWN:
    case SDLK_LEFT:
    case SDLK_RIGHT:
    case SDLK_PAGEUP:
    case SDLK_PAGEDOWN:
    case SDLK_HOME:
    case SDLK_END:
      meaning = noop("it moves about");
      break;
    case SDLK_RETURN:
    case SDLK_KP_ENTER:
    case SDLK_SPACE:
      meaning = noop("it presses a button");
      break;
    case SDLK_BACKSPACE:
    case SDLK_LSHIFT:
    case SDLK_RSHIFT:
      meaning = noop("it is needed for writing");
      break;
    case SDLK_o:
    case SDLK_j:
    case SDLK_m:
    case SDLK_n:
    case SDLK_r:
    case SDLK_v:
      meaning = noop("it is a key of the work view");
      break;
    default:
      if (key >= SDLK_0 && key <= SDLK_9) meaning = noop("digits choose from lists");
  }
  if (meaning == nullptr) return {};
  return format(tr("%s cannot be the pedal: %s."), key_name(key).c_str(), tr(meaning));
}

}  // namespace app
