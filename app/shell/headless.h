// The station without a display: ten readings as text, and a picture of the screen.
#pragma once

#include <string>

#include "app/desk/desk.h"
#include "app/live_options.h"
#include "app/measuring.h"
#include "app/screen/window.h"
#include "app/stop_signal.h"

namespace app {

// Prints the lines of `hoopgauge measure` for ten frames that gave a reading (or what came until the patience ended),
// then writes the screen's picture, drawn into `memory`. Returns the exit code.
int run_without_display(Window& memory, Desk& desk, Measuring& measuring, const LiveOptions& options,
                        const StopSignal& stop);

}  // namespace app
