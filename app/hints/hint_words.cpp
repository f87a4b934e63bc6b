#include "app/hints/hint_words.h"

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

struct KindWords {
  const char* own;
  const char* others;
  const char* advice;
};

// How much, where, and how many of how many. In the order of Habit::Kind.
constexpr KindWords kWords[] = {
    {noop("Your pieces sit %s low%s; %zu of the last %zu."), noop("The pieces sit %s low%s; %zu of the last %zu."),
     noop("Try: slide the cloth %s further up, to the hoop's top, before pressing.")},
    {noop("Your pieces sit %s high%s; %zu of the last %zu."), noop("The pieces sit %s high%s; %zu of the last %zu."),
     noop("Try: slide the cloth %s further down, away from the hoop's top, before pressing.")},
    {noop("Your pieces sit %s to the left%s; %zu of the last %zu."),
     noop("The pieces sit %s to the left%s; %zu of the last %zu."),
     noop("Try: slide the cloth %s further to the right before pressing.")},
    {noop("Your pieces sit %s to the right%s; %zu of the last %zu."),
     noop("The pieces sit %s to the right%s; %zu of the last %zu."),
     noop("Try: slide the cloth %s further to the left before pressing.")},
    {noop("Your pieces sit turned %s clockwise%s; %zu of the last %zu."),
     noop("The pieces sit turned %s clockwise%s; %zu of the last %zu."),
     noop("Try: turn the cloth %s further counter-clockwise before pressing.")},
    {noop("Your pieces sit turned %s counter-clockwise%s; %zu of the last %zu."),
     noop("The pieces sit turned %s counter-clockwise%s; %zu of the last %zu."),
     noop("Try: turn the cloth %s further clockwise before pressing.")},
};

std::string where(const Hint& hint) {
  switch (hint.of) {
    case Hint::Of::all:
      return "";
    case Hint::Of::hoop:
      return format(tr("on the hoop %s"), hint.name);
    case Hint::Of::cloth:
      return format(tr("on the cloth %s"), hint.name);
    case Hint::Of::garment:
      return format(tr("on the garment %s"), hint.name);
    case Hint::Of::job:
      return format(tr("in the job %s"), hint.name);
    case Hint::Of::machine:
      return format(tr("for the machine %s"), hint.name);
  }
  return "";
}

}  // namespace

HintWords hint_words(const Hint& hint, Units units, bool own) {
  const Habit& habit = hint.habit;
  const bool turn = habit.kind == Habit::Kind::clockwise || habit.kind == Habit::Kind::counter_clockwise;
  const std::string amount = turn ? number(habit.amount, 1) + "°" : length_text(habit.amount, LengthKind::guide, units);
  const std::string place = where(hint);
  const KindWords& words = kWords[static_cast<std::size_t>(habit.kind)];
  return {
      format(tr(own ? words.own : words.others), amount, place.empty() ? place : " " + place, habit.pieces, habit.of),
      format(tr(words.advice), amount)};
}

}  // namespace app
