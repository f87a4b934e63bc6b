// The two ways a station runs: on a display, or, without one, as a picture of the screen and ten readings.
#pragma once

#include <filesystem>
#include <string>

#include "app/measuring.h"
#include "app/screen/screen.h"
#include "app/screen/view.h"
#include "app/station.h"
#include "app/stop_signal.h"

namespace app {

// Until the operator, a signal, options.seconds or the source ends it. Returns the exit code.
int run_on_display(Window& window, View& view, Measuring& measuring, StationState state, const StationOptions& options,
                   const StopSignal& stop);

// Prints the lines of `hoopgauge measure` for ten frames that gave a reading (or what came until the patience ended),
// then writes the screen's picture, drawn into `memory`. Returns the exit code.
int run_without_display(Window& memory, View& view, Measuring& measuring, StationState state,
                        const StationOptions& options, const StopSignal& stop);

}  // namespace app
