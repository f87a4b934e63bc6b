#include "app/report/report_input.h"

namespace app {

std::string ReportInput::operator_label(NameIndex name) const {
  if (!names_left_out() || (*names)[name].empty()) return (*names)[name];
  return "Operator " + std::to_string(numbers[name]);
}

std::vector<std::uint32_t> operator_numbers(std::span<const PieceRow> all_rows, std::size_t name_count) {
  std::vector<std::uint32_t> numbers(name_count);
  std::uint32_t last = 0;
  for (const PieceRow& row : all_rows)
    if (row.operator_name != 0 && numbers[row.operator_name] == 0) numbers[row.operator_name] = ++last;
  return numbers;
}

}  // namespace app
