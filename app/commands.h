// The command line: `hoopgauge COMMAND ...`. Returns the process's exit code.
#pragma once

#include <string>
#include <vector>

namespace app {

int run(int argc, char** argv);
// The program itself with these words, its name left out: a command that starts another one.
int run_words(const std::vector<std::string>& words);

}  // namespace app
