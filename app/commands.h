// The command line: `hoopgauge COMMAND ...`. Returns the process's exit code.
#pragma once

namespace app {

int run(int argc, char** argv);

}  // namespace app
