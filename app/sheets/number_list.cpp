#include "app/sheets/number_list.h"

#include <algorithm>
#include <charconv>
#include <cstddef>

#include "app/sheets/sheet_error.h"

namespace app {
namespace {

std::string within(const NumberRange& range) {
  return std::string(range.what) + " are " + std::to_string(range.first) + " to " + std::to_string(range.last);
}

std::vector<std::string> split(const std::string& text, char at) {
  std::vector<std::string> parts(1);
  for (const char c : text) {
    if (c == at)
      parts.emplace_back();
    else
      parts.back() += c;
  }
  return parts;
}

}  // namespace

int parse_number(const std::string& text, const NumberRange& range) {
  int number = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), number);
  const bool digits =
      !text.empty() && std::all_of(text.begin(), text.end(), [](char c) { return c >= '0' && c <= '9'; });
  if (!digits)
    throw SheetError("'" + text + "' is no number; write them as in " + std::to_string(range.first) + "-" +
                     std::to_string(range.first + 9) + "," + std::to_string(range.first + 14));
  if (fault != std::errc() || end != text.data() + text.size() || number < range.first || number > range.last)
    throw SheetError(text + " is out of range; " + within(range));
  return number;
}

std::vector<int> parse_numbers(const std::vector<std::string>& lists, const NumberRange& range) {
  std::vector<int> numbers;
  for (const std::string& list : lists) {
    for (const std::string& part : split(list, ',')) {
      const std::vector<std::string> ends = split(part, '-');
      if (ends.size() > 2) throw SheetError("'" + part + "' is no range; write it as in 0-9");
      const int first = parse_number(ends.front(), range), last = parse_number(ends.back(), range);
      if (last < first)
        throw SheetError("the range " + part + " is reversed; write " + ends.back() + "-" + ends.front());
      for (int number = first; number <= last; ++number) {
        if (std::find(numbers.begin(), numbers.end(), number) != numbers.end())
          throw SheetError(std::to_string(number) + " is there twice; name each number once");
        numbers.push_back(number);
      }
    }
  }
  return numbers;
}

std::string number_text(const std::vector<int>& numbers) {
  constexpr std::size_t kLongest = 24;
  std::string text;
  for (std::size_t i = 0; i < numbers.size(); ++i) {
    std::size_t last = i;
    while (last + 1 < numbers.size() && numbers[last + 1] == numbers[last] + 1) ++last;
    text += (text.empty() ? "" : ", ") + std::to_string(numbers[i]);
    if (last > i) text += (last == i + 1 ? ", " : "–") + std::to_string(numbers[last]);
    i = last;
  }
  if (text.size() <= kLongest) return text;
  return std::to_string(numbers.front()) + " … " + std::to_string(numbers.back());
}

}  // namespace app
