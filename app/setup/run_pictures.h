// A set-up step without a screen: fed with pictures of files and folders.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "app/setup/step.h"

namespace app {

// Feeds every picture in the order given, a folder's by name, with time_s counting them; says a line a picture on `out`
// (its name, + where it was kept, and the headline), then finishes and prints the outcome. `frames` as in the command
// measure: files, folders, patterns. Every picture has the size of the first. Nothing is finished when a picture could
// not be read: one that was left out unseen would change the result. Returns the exit code: 0 good, 1 not good or a
// picture could not be read, 2 when no picture matches or a file of the station's cannot be used.
int run_step_on_pictures(SetupStep& step, const std::vector<std::string>& frames, std::ostream& out, std::ostream& err);

}  // namespace app
