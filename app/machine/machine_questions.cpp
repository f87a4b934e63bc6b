#include "app/machine/machine_questions.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/format.h"
#include "app/machine/entry_words.h"
#include "app/machine/machine_file.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

using Q = MachineQuestion;

constexpr std::array kSteps_deg{1.0, 0.1, 0.5, 90.0, 0.0};
constexpr std::array kKeys_deg{90.0, 45.0, 10.0, 5.0, 1.0, 0.5, 0.1};
constexpr std::array kJogSteps_mm{0.1, 0.05, 0.2, 0.5, 1.0};
constexpr std::array kLimits_mm{0.0, 5.0, 10.0, 20.0, 30.0, 50.0};

// The usual values, and the machine's own where it is another.
template <std::size_t count>
std::vector<double> with(const std::array<double, count>& usual, double own) {
  std::vector<double> all(usual.begin(), usual.end());
  if (std::find(all.begin(), all.end(), own) == all.end()) all.push_back(own);
  return all;
}

std::string degrees(double deg) {
  const bool whole = std::abs(deg - std::round(deg)) < 1e-9;
  return number(deg, whole ? 0 : 1) + "°";
}

std::string turn_label(double deg) { return deg == 0.0 ? std::string(tr("It cannot turn a design")) : degrees(deg); }

std::string limit_label(double mm, Units units) {
  return mm == 0.0 ? std::string(tr("As far as the field")) : length_text(mm, LengthKind::guide, units);
}

// Keys that this machine can have: multiples of its step, and those that it has.
std::vector<double> keys_for(const Machine& machine) {
  const int step = finest_turns(machine.rotation_step_deg);
  std::vector<double> all;
  for (const double key : kKeys_deg)
    if (step != 0 && finest_turns(key) % step == 0) all.push_back(key);
  for (const double key : machine.turn_keys_deg)
    if (std::find(all.begin(), all.end(), key) == all.end()) all.push_back(key);
  std::sort(all.rbegin(), all.rend());
  return all;
}

struct Words {
  const char* name;
  const char* question;
  std::vector<const char*> choices;  // of an enumeration, in its order
};

Words words_of(Q question) {
  switch (question) {
    case Q::step:
      return {noop("Rotation step"), noop("What is the smallest turn of a design that the machine can make?"), {}};
    case Q::sense:
      return {noop("Rotation sense"),
              noop("Turn a design by a small + step: which way does its top go on the machine's screen?"),
              {noop("To the left: counter-clockwise"), noop("To the right: clockwise")}};
    case Q::range:
      return {noop("Rotation range"),
              noop("Turn a design back by 10° from 0: what does the machine show?"),
              {noop("350: it counts from 0 to 359"), noop("−10: it counts from −180 to 180")}};
    case Q::keys:
      return {noop("Rotation keys"),
              noop("By how much does a press of each rotation key turn? None chosen: the number is typed in."),
              {}};
    case Q::both_ways:
      return {noop("Keys back"),
              noop("Has each of these keys one beside it that turns back by as much?"),
              {noop("No, they turn one way only"), noop("Yes, + and −")}};
    case Q::jog_step:
      return {noop("Jog step"), noop("How far does one press of an arrow key move?"), {}};
    case Q::limit_sideways:
      return {noop("Jog limit sideways"), noop("How far does it move to either side of the middle at most?"), {}};
    case Q::limit_upward:
      return {noop("Jog limit up and down"), noop("How far does it move up or down from the middle at most?"), {}};
    case Q::moves:
      return {noop("What the jog moves"),
              noop("Hold the right arrow: what goes to the right?"),
              {noop("The design on the machine's screen"), noop("The hoop itself, under the needle")}};
    case Q::mirror:
      return {noop("Mirror"),
              noop("An F that reads rightly on the machine's screen: how is it stitched, seen from above?"),
              {noop("It reads rightly"), noop("Left and right are swapped"), noop("Top and bottom are swapped")}};
    case Q::order:
      return {noop("Order"),
              noop("What is entered first at this machine?"),
              {noop("First the rotation, then the jog"), noop("First the jog, then the rotation")}};
    case Q::about:
      return {noop("Turning point"),
              noop("Move a design far to the right, then turn it by 90°: where is it now?"),
              {noop("At the same place, turned"), noop("It swung around the middle of the field")}};
  }
  return {};
}

AskedQuestion asked_of(const Words& words) {
  AskedQuestion asked;
  asked.name = tr(words.name);
  asked.question = tr(words.question);
  return asked;
}

void choose_of(AskedQuestion& asked, const Words& words, std::size_t chosen) {
  for (std::size_t i = 0; i < words.choices.size(); ++i) asked.choices.push_back({tr(words.choices[i]), i == chosen});
}

template <class Label>
void choose_number(AskedQuestion& asked, const std::vector<double>& values, double chosen, Label label) {
  for (const double value : values) asked.choices.push_back({label(value), value == chosen});
}

void set_step(Machine& machine, double step_deg) {
  machine.rotation_step_deg = step_deg;
  const int step = finest_turns(step_deg);
  std::erase_if(machine.turn_keys_deg, [&](double key) { return step == 0 || finest_turns(key) % step != 0; });
}

void swap_key(std::vector<double>& keys, double key) {
  if (std::erase(keys, key) == 0) keys.push_back(key);
  std::sort(keys.rbegin(), keys.rend());
}

}  // namespace

std::vector<Q> questions_of(const Machine& machine) {
  std::vector<Q> all{Q::step};
  const bool turns = machine.rotation_step_deg != 0.0;
  if (turns) all.insert(all.end(), {Q::sense, Q::range, Q::keys});
  if (turns && !machine.turn_keys_deg.empty()) all.push_back(Q::both_ways);
  all.insert(all.end(), {Q::jog_step, Q::limit_sideways, Q::limit_upward, Q::moves, Q::mirror});
  if (turns) all.push_back(Q::order);
  if (turns && machine.order == Machine::Order::jog_first) all.push_back(Q::about);
  return all;
}

AskedQuestion asked(Q question, const Machine& machine, Units units) {
  const Words words = words_of(question);
  AskedQuestion out = asked_of(words);
  const auto limit = [&](double mm) { return limit_label(mm, units); };
  switch (question) {
    case Q::step:
      choose_number(out, with(kSteps_deg, machine.rotation_step_deg), machine.rotation_step_deg, turn_label);
      break;
    case Q::sense:
      choose_of(out, words, static_cast<std::size_t>(machine.sense));
      break;
    case Q::range:
      choose_of(out, words, static_cast<std::size_t>(machine.range));
      break;
    case Q::keys:
      out.several = true;
      for (const double key : keys_for(machine))
        out.choices.push_back(
            {degrees(key), std::count(machine.turn_keys_deg.begin(), machine.turn_keys_deg.end(), key) > 0});
      break;
    case Q::both_ways:
      choose_of(out, words, machine.turn_keys_both_ways ? 1 : 0);
      break;
    case Q::jog_step:
      choose_number(out, with(kJogSteps_mm, machine.jog_step_mm), machine.jog_step_mm, [&](double mm) {
        return length_text(mm, units == Units::inch ? LengthKind::height : LengthKind::fine, units);
      });
      break;
    case Q::limit_sideways:
      choose_number(out, with(kLimits_mm, machine.jog_limit_mm.width), machine.jog_limit_mm.width, limit);
      break;
    case Q::limit_upward:
      choose_number(out, with(kLimits_mm, machine.jog_limit_mm.height), machine.jog_limit_mm.height, limit);
      break;
    case Q::moves:
      choose_of(out, words, static_cast<std::size_t>(machine.moves));
      break;
    case Q::mirror:
      choose_of(out, words, static_cast<std::size_t>(machine.mirror));
      break;
    case Q::order:
      choose_of(out, words, static_cast<std::size_t>(machine.order));
      break;
    case Q::about:
      choose_of(out, words, static_cast<std::size_t>(machine.about));
      break;
  }
  for (const MachineChoice& choice : out.choices)
    if (choice.chosen) out.answer += (out.answer.empty() ? "" : ", ") + choice.label;
  if (out.answer.empty()) out.answer = tr("none: typed in");
  return out;
}

void answer(Machine& machine, Q question, std::size_t choice) {
  const auto number_of = [&](const std::vector<double>& values, double otherwise) {
    return choice < values.size() ? values[choice] : otherwise;
  };
  const bool second = choice == 1;
  switch (question) {
    case Q::step:
      return set_step(machine, number_of(with(kSteps_deg, machine.rotation_step_deg), machine.rotation_step_deg));
    case Q::sense:
      machine.sense = second ? Machine::Sense::clockwise : Machine::Sense::counter_clockwise;
      return;
    case Q::range:
      machine.range = second ? Machine::Range::half_turns : Machine::Range::full_turn;
      return;
    case Q::keys:
      if (const auto keys = keys_for(machine); choice < keys.size()) swap_key(machine.turn_keys_deg, keys[choice]);
      return;
    case Q::both_ways:
      machine.turn_keys_both_ways = second;
      return;
    case Q::jog_step:
      machine.jog_step_mm = number_of(with(kJogSteps_mm, machine.jog_step_mm), machine.jog_step_mm);
      return;
    case Q::limit_sideways:
      machine.jog_limit_mm.width = number_of(with(kLimits_mm, machine.jog_limit_mm.width), machine.jog_limit_mm.width);
      return;
    case Q::limit_upward:
      machine.jog_limit_mm.height =
          number_of(with(kLimits_mm, machine.jog_limit_mm.height), machine.jog_limit_mm.height);
      return;
    case Q::moves:
      machine.moves = second ? Machine::Moves::hoop : Machine::Moves::design;
      return;
    case Q::mirror:
      if (choice < 3) machine.mirror = static_cast<Machine::Mirror>(choice);
      return;
    case Q::order:
      machine.order = second ? Machine::Order::jog_first : Machine::Order::turn_first;
      return;
    case Q::about:
      machine.about = second ? Machine::About::field_centre : Machine::About::design_centre;
      return;
  }
}

std::vector<std::string> worked_example(const Machine& machine, Units units) {
  constexpr double kRight_mm = 8.0, kUp_mm = 3.0, kTurn_deg = -22.0;
  const vision::Pose2 wanted{{kRight_mm, kUp_mm}, kTurn_deg * vision::kRadPerDeg};
  const MachineEntry entry = machine_entry(machine, rectangle_design({80.0, 60.0}), wanted);
  std::vector<std::string> lines{
      format(tr("Example: a design belongs %s right of the middle, %s above it, turned %s° clockwise."),
             length_text(kRight_mm, LengthKind::guide, units), length_text(kUp_mm, LengthKind::guide, units),
             number(-kTurn_deg, 0))};
  for (std::string& step : entry_steps(machine, entry, units)) lines.push_back(std::move(step));
  for (std::string& trouble : entry_troubles(machine, entry, units)) lines.push_back(std::move(trouble));
  return lines;
}

}  // namespace app
