// Lengths as a person reads and steps them, in millimetres or inches.
#pragma once

#include <string>

namespace app {

enum class Unit { mm, inch };
inline constexpr double kMmPerInch = 25.4;  // exact

// What is stepped: a height over the board, or the side of a field.
enum class LengthKind { height, field };

// "10.5 mm", "0.413 in"; "130 mm", "5.12 in". A field of broken millimetres keeps a decimal.
std::string length_text(double mm, LengthKind kind, Unit unit);

// `steps` fine or coarse steps further, on the grid of the fine step in this unit: heights 0.1 and 1 mm or 0.005 and
// 0.05 in, fields 1 and 10 mm or 0.05 and 0.5 in. The first step from a value off the grid goes to the grid's next
// point that way.
double stepped_mm(double mm, int steps, bool coarse, LengthKind kind, Unit unit);

// What a step's button says: "+ 0.1", "- 10".
std::string step_label(int steps, bool coarse, LengthKind kind, Unit unit);

}  // namespace app
