// Numbers as a person types them, "0-9,14", and as a sheet names them.
#pragma once

#include <string>
#include <vector>

namespace app {

struct NumberRange {
  const char* what;  // "sticker numbers"
  int first, last;
};
inline constexpr NumberRange kStickerNumbers{"sticker numbers", 0, 99};
inline constexpr NumberRange kBoardMarkNumbers{"board marks", 400, 449};
inline constexpr NumberRange kNorthMarkNumbers{"north marks", 450, 479};
inline constexpr NumberRange kCardNumbers{"badges and job tickets", 480, 586};

// In the order given. Throws SheetError, which says what to write, where a number lies outside the range or comes
// twice, a range is reversed, or something is no number.
std::vector<int> parse_numbers(const std::vector<std::string>& lists, const NumberRange& range);
// One number of the range, from digits alone. Throws SheetError.
int parse_number(const std::string& text, const NumberRange& range);

// "0–9, 14"; of long lists the ends alone: "3 … 97".
std::string number_text(const std::vector<int>& numbers);

}  // namespace app
