// What the station asks on its screen before the work: what to do where it is not set up.
#pragma once

#include <functional>
#include <string>

#include "app/screen/window.h"

namespace app {

enum class SetUpAnswer { guide, rendered, leave };

// `missing`: in one sentence. `over`: it is time to end, which counts as leaving.
SetUpAnswer ask_for_set_up(Window& window, const std::string& missing, const std::function<bool()>& over);

}  // namespace app
