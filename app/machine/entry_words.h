// A machine entry in words, for the screen (in its language) and, in English, for the command line.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/machine/entry.h"
#include "app/settings.h"

namespace app {

// The number as the machine shows it: "112", with a decimal where the machine has one: "112.0".
std::string rotation_number(const Machine& machine, double rotation);
// "+90 × 1, +10 × 2, −1 × 2"; without signs where the keys go one way only; empty without keys.
std::string keys_text(const Machine& machine, const MachineEntry& entry);
// The jog's length as the machine counts it: as many decimals as its step has; inches to a thousandth.
std::string jog_number(const Machine& machine, double mm, Units units);

// "Design right", "Hoop down", "No jog sideways".
const char* sideways_caption(const Machine& machine, int presses);
const char* upward_caption(const Machine& machine, int presses);
// "23 presses"; empty for none.
std::string presses_text(int presses);

// What to do, in the machine's order: whole sentences.
std::vector<std::string> entry_steps(const Machine& machine, const MachineEntry& entry, Units units);
// Why it cannot be entered, and what helps; empty where it can.
std::vector<std::string> entry_troubles(const Machine& machine, const MachineEntry& entry, Units units);
// What rounding leaves: degrees with their sense on the cloth, and mm at the design's far corner, or at its centre
// where no design is known.
std::string left_over_text(const MachineEntry& entry, Units units, bool design_known);

// What to look after before it is stitched, short: boxes to tick in the mind.
std::vector<std::string> before_stitching(std::optional<bool> topping = {});

// What tells machines apart, in a line: "1° clockwise, keys 90, 10, 1, jog 0.1 mm".
std::string machine_summary(const Machine& machine, Units units);

}  // namespace app
