// The two ways a set-up step runs live: on a display, or, without one, with a line for each new headline.
#pragma once

#include <iosfwd>

#include "app/live_options.h"
#include "app/screen/window.h"
#include "app/setup/step.h"
#include "app/setup/step_source.h"
#include "app/stop_signal.h"

namespace app {

// Until the person ends it, a signal, options.seconds, or a closed window. Returns the exit code.
int run_step_on_display(Window& window, SetupStep& step, StepSource source, const LiveOptions& options,
                        const StopSignal& stop);

// Until the step is complete, a signal, options.seconds, or the source ends. options.picture: the screen's picture as
// it would be in the end, drawn into memory. Returns the exit code.
int run_step_without_display(SetupStep& step, StepSource source, const LiveOptions& options, const StopSignal& stop,
                             std::ostream& out, std::ostream& err);

}  // namespace app
