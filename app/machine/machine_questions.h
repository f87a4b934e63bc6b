// A machine described by answers to plain questions, each tried out at the machine. No screen: what the view asks.
#pragma once

#include <string>
#include <vector>

#include "app/machine/machine.h"
#include "app/settings.h"

namespace app {

enum class MachineQuestion {
  step,
  sense,
  range,
  keys,
  both_ways,
  jog_step,
  limit_sideways,
  limit_upward,
  moves,
  mirror,
  order,
  about,
};

struct MachineChoice {
  std::string label;
  bool chosen = false;
};

struct AskedQuestion {
  std::string name;      // a word or two: "Rotation sense"
  std::string question;  // "Press + once: which way does the design on the machine's screen turn?"
  std::vector<MachineChoice> choices;
  bool several = false;  // any number of them may be chosen
  std::string answer;    // what is chosen now, short
};

// Those that mean something for this machine, in the order in which they are asked.
std::vector<MachineQuestion> questions_of(const Machine& machine);
AskedQuestion asked(MachineQuestion question, const Machine& machine, Units units);
// The choice of this index is taken (where several may be chosen: put in or taken out). What no longer agrees with it
// is put right: keys that are no multiple of the step go.
void answer(Machine& machine, MachineQuestion question, std::size_t choice);

// What this machine would be told for a made-up design, as a check: the first line says where that one belongs.
std::vector<std::string> worked_example(const Machine& machine, Units units);

}  // namespace app
