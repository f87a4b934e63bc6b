#include "app/machine/entry_words.h"

#include <array>
#include <cmath>
#include <cstdlib>

#include "app/format.h"
#include "app/machine/machine_file.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

using Turn = MachineEntry::Turn;

// By what moves, and the way.
struct JogWords {
  const char *one, *many;  // sentences: the length, the presses
  const char* caption;
};
constexpr std::array<std::array<JogWords, 4>, 2> kJog{{
    {{{noop("Move the design %s to the right: %d press."), noop("Move the design %s to the right: %d presses."),
       noop("Design right")},
      {noop("Move the design %s to the left: %d press."), noop("Move the design %s to the left: %d presses."),
       noop("Design left")},
      {noop("Move the design %s up: %d press."), noop("Move the design %s up: %d presses."), noop("Design up")},
      {noop("Move the design %s down: %d press."), noop("Move the design %s down: %d presses."), noop("Design down")}}},
    {{{noop("Move the hoop %s to the right: %d press."), noop("Move the hoop %s to the right: %d presses."),
       noop("Hoop right")},
      {noop("Move the hoop %s to the left: %d press."), noop("Move the hoop %s to the left: %d presses."),
       noop("Hoop left")},
      {noop("Move the hoop %s away from you: %d press."), noop("Move the hoop %s away from you: %d presses."),
       noop("Hoop away from you")},
      {noop("Move the hoop %s toward you: %d press."), noop("Move the hoop %s toward you: %d presses."),
       noop("Hoop toward you")}}},
}};

const JogWords& jog_words(const Machine& machine, bool sideways, int presses) {
  const std::size_t way = (sideways ? 0U : 2U) + (presses > 0 ? 0U : 1U);
  return kJog[machine.moves == Machine::Moves::design ? 0 : 1][way];
}

int decimals_of(double step) { return std::abs(step - std::round(step)) < 1e-9 ? 0 : 1; }

std::string degrees_number(double deg) {
  const double shown = std::round(deg * 10.0) / 10.0;
  return number(shown == 0.0 ? 0.0 : shown, decimals_of(shown));
}

std::string length(const Machine& machine, double mm, Units units) {
  return format(units == Units::inch ? tr("%s in") : tr("%s mm"), jog_number(machine, mm, units));
}

void add_turn(std::vector<std::string>& steps, const Machine& machine, const MachineEntry& entry) {
  if (machine.rotation_step_deg == 0.0) return;
  const std::string shown = rotation_number(machine, entry.rotation);
  if (entry.rotation == 0.0)
    steps.push_back(tr("Leave the rotation at 0."));
  else if (entry.keys.empty())
    steps.push_back(format(tr("Type the rotation %s."), shown));
  else
    steps.push_back(format(tr("Set the rotation to %s with the keys %s."), shown, keys_text(machine, entry)));
}

void add_jog(std::vector<std::string>& steps, const Machine& machine, const MachineEntry& entry, Units units) {
  const auto one = [&](bool sideways, double mm, int presses) {
    if (presses == 0) return;
    const JogWords& words = jog_words(machine, sideways, presses);
    steps.push_back(format(tr(std::abs(presses) == 1 ? words.one : words.many), length(machine, std::abs(mm), units),
                           std::abs(presses)));
  };
  one(true, entry.jog_right_mm, entry.jog_right_presses);
  one(false, entry.jog_up_mm, entry.jog_up_presses);
  if (entry.jog_right_presses == 0 && entry.jog_up_presses == 0) steps.push_back(tr("Leave the jog at 0."));
}

std::string list_of_keys(const Machine& machine) {
  std::string out;
  for (const double key : machine.turn_keys_deg) out += (out.empty() ? "" : ", ") + degrees_number(key);
  return out;
}

}  // namespace

std::string rotation_number(const Machine& machine, double rotation) {
  const int decimals = decimals_of(machine.rotation_step_deg);
  return (rotation < 0.0 ? "\u2212" : "") + number(std::abs(rotation), decimals);
}

std::string keys_text(const Machine& machine, const MachineEntry& entry) {
  std::string out;
  for (const KeyPresses& one : entry.keys) {
    const char* sign = !machine.turn_keys_both_ways ? "" : one.key_deg > 0.0 ? "+" : "\u2212";
    out += (out.empty() ? "" : ", ") + std::string(sign) + degrees_number(std::abs(one.key_deg)) + " × " +
           std::to_string(one.times);
  }
  return out;
}

std::string jog_number(const Machine& machine, double mm, Units units) {
  if (units == Units::inch) return number(in_units(mm, units), 3);
  int decimals = 0;
  for (double step = machine.jog_step_mm; decimals < 2 && std::abs(step - std::round(step)) > 1e-6; step *= 10.0)
    ++decimals;
  return number(mm, decimals);
}

const char* sideways_caption(const Machine& machine, int presses) {
  return presses == 0 ? tr("No jog sideways") : tr(jog_words(machine, true, presses).caption);
}

const char* upward_caption(const Machine& machine, int presses) {
  return presses == 0 ? tr("No jog up or down") : tr(jog_words(machine, false, presses).caption);
}

std::string presses_text(int presses) {
  const int n = std::abs(presses);
  return n == 0 ? "" : format(tr("%d press", "%d presses", n), n);
}

std::vector<std::string> entry_steps(const Machine& machine, const MachineEntry& entry, Units units) {
  std::vector<std::string> steps;
  const bool jog_first = machine.order == Machine::Order::jog_first;
  if (jog_first) add_jog(steps, machine, entry, units);
  add_turn(steps, machine, entry);
  if (!jog_first) add_jog(steps, machine, entry, units);
  return steps;
}

std::vector<std::string> entry_troubles(const Machine& machine, const MachineEntry& entry, Units units) {
  std::vector<std::string> out;
  const std::string left = degrees_number(std::abs(entry.left_over_deg));
  if (entry.turn == Turn::none)
    out.push_back(format(tr("This machine cannot turn a design: %s° are left. Hoop straighter."), left));
  if (entry.turn == Turn::too_coarse)
    out.push_back(format(tr("This machine turns in large steps only: %s° are left. Hoop straighter."), left));
  if (entry.jog_possible) return out;
  const cv::Size2d& limit = machine.jog_limit_mm;
  const auto beyond = [&](double wanted, double most) {
    return most > 0.0 && std::abs(wanted) > most + 0.5 * machine.jog_step_mm;
  };
  if (beyond(entry.jog_wanted_mm.x, limit.width))
    out.push_back(format(tr("The jog would be %s sideways; the machine reaches %s. Hoop nearer to the middle."),
                         length(machine, std::abs(entry.jog_wanted_mm.x), units), length(machine, limit.width, units)));
  if (beyond(entry.jog_wanted_mm.y, limit.height))
    out.push_back(format(tr("The jog would be %s up or down; the machine reaches %s. Hoop nearer to the middle."),
                         length(machine, std::abs(entry.jog_wanted_mm.y), units),
                         length(machine, limit.height, units)));
  return out;
}

std::string left_over_text(const MachineEntry& entry, Units units, bool design_known) {
  const std::string deg = number(std::abs(entry.left_over_deg), 2);
  const std::string mm = length_text(entry.left_over_mm, LengthKind::fine, units);
  const bool ccw = entry.left_over_deg > 0.0;
  if (design_known)
    return format(ccw ? tr("Left over: %s° counter-clockwise, %s at the far corner")
                      : tr("Left over: %s° clockwise, %s at the far corner"),
                  deg, mm);
  return format(ccw ? tr("Left over: %s° counter-clockwise, %s at the design's centre")
                    : tr("Left over: %s° clockwise, %s at the design's centre"),
                deg, mm);
}

std::vector<std::string> before_stitching(std::optional<bool> topping) {
  std::vector<std::string> all{
      tr("Nothing caught under the hoop"), tr("Basting box on"),    tr("Topping on, if needed"),
      tr("Trace the design first"),        tr("Eye protection on"), tr("Stop before reaching in")};
  if (topping) all[2] = tr("Topping on");
  if (topping == false) all.erase(all.begin() + 2);
  return all;
}

std::string machine_summary(const Machine& machine, Units units) {
  const std::string jog = length(machine, machine.jog_step_mm, units);
  if (machine.rotation_step_deg == 0.0) return format(tr("cannot turn a design, jog in steps of %s"), jog);
  const std::string step = degrees_number(machine.rotation_step_deg);
  const bool ccw = machine.sense == Machine::Sense::counter_clockwise;
  if (machine.turn_keys_deg.empty())
    return format(ccw ? tr("%s° counter-clockwise, typed in, jog in steps of %s")
                      : tr("%s° clockwise, typed in, jog in steps of %s"),
                  step, jog);
  return format(
      ccw ? tr("%s° counter-clockwise, keys %s, jog in steps of %s") : tr("%s° clockwise, keys %s, jog in steps of %s"),
      step, list_of_keys(machine), jog);
}

}  // namespace app
