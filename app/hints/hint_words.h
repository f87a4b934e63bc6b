// Hints as sentences, in the language of the screen.
#pragma once

#include <string>

#include "app/hints/hints.h"
#include "app/settings.h"

namespace app {

// What is so: "Your pieces sit 1.8 mm low on the hoop 100 x 100; 14 of the last 20." and what to try against it.
// Left, right, low and high as the machine's field shows them. `own`: said to the person whose pieces they are.
struct HintWords {
  std::string fact, advice;
};
HintWords hint_words(const Hint& hint, Units units, bool own);

}  // namespace app
