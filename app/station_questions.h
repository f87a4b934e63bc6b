// What the station asks on its screen before the work: what to do where it is not set up, and which hoop.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/hoops/hoop_store.h"
#include "app/screen/window.h"

namespace app {

enum class SetUpAnswer { guide, rendered, leave };

// `missing`: in one sentence. `over`: it is time to end, which counts as leaving.
SetUpAnswer ask_for_set_up(Window& window, const std::string& missing, const std::function<bool()>& over);

// Nothing: the person leaves.
std::optional<StoredHoop> ask_for_hoop(Window& window, const std::vector<StoredHoop>& hoops,
                                       const std::function<bool()>& over);

}  // namespace app
