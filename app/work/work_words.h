// What the work view says in large letters: what to do now, in the operator's words.
#pragma once

#include <string>

#include "app/work/work.h"

namespace app {

enum class WorkMood {
  todo,        // the person has something to do
  hold_still,  // hands off: something is being read
  done,        // well: within the tolerance, taken, locked
  problem,     // something is in the way, and the sentence says what to do about it
};

// Both are never empty and in the language of the screen already: not to go through tr() again. The headline is of two
// to five words, the sentence says what to do next.
struct WorkWords {
  std::string headline, sentence;
  WorkMood mood = WorkMood::todo;
};

// The notice that holds, else the phase and what is seen in it.
WorkWords work_words(const Work& work);
// Of a notice alone, as in a list of pieces.
std::string notice_headline(CycleNotice notice);

}  // namespace app
