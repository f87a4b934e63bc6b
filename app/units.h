// Lengths as people read and step them, in millimetres or inches. Numbers have the decimal sign of the language.
#pragma once

#include <string>

#include "app/settings.h"

namespace app {

inline constexpr double kMmPerInch = 25.4;  // exact

double in_units(double mm, Units units);
double mm_from(double value, Units units);
// "mm" or "in", in the language.
const char* unit_word(Units units);

// What a length is of, which says how finely it is shown and stepped.
enum class LengthKind {
  guide,   // a way for the hands: 0.1 mm below 10 mm and whole ones from there, or 0.01 in
  field,   // the side of a field or design: whole mm, one decimal where it is broken; 0.01 in
  height,  // over the board: 0.1 mm, or 0.001 in
  fine,    // a result and its uncertainty: 0.01 mm, or 0.001 in
};

// The number alone: "4.5". Never "-0.0"; a value that is no number is "-".
std::string length_number(double mm, LengthKind kind, Units units);
// With its unit: "4.5 mm", "0.18 in".
std::string length_text(double mm, LengthKind kind, Units units);
// Two sides with one unit: "130 x 180 mm".
std::string size_text(double width_mm, double height_mm, Units units);
// What the last digit of length_number() counts, in mm; for a display that is not to flicker.
double shown_step_mm(double mm, LengthKind kind, Units units);

// `steps` fine or coarse steps further, on the grid of the fine step in this unit: fields 1 and 10 mm or 0.05 and
// 0.5 in, guide 0.1 and 1 mm or 0.01 and 0.1 in, heights 0.1 and 1 mm or 0.005 and 0.05 in, fine 0.01 and 0.1 mm or
// 0.001 and 0.01 in. The first step from a value off the grid goes to the grid's next point that way.
double stepped_mm(double mm, int steps, bool coarse, LengthKind kind, Units units);
// What a step's button says: "+0.1", "-10" (with a true minus sign).
std::string step_label(int steps, bool coarse, LengthKind kind, Units units);

}  // namespace app
