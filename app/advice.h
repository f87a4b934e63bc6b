// What to do next, in one sentence for the operator.
#pragma once

#include <string_view>

#include "vision/reading.h"

namespace app {

// ASCII, 90 characters at most, ends with a full stop. Never empty.
std::string_view advice(vision::Status status);
// The same in two to four words, for large letters.
std::string_view headline(vision::Status status);

}  // namespace app
