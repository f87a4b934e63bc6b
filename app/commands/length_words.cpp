#include "app/commands/length_words.h"

#include <charconv>
#include <cmath>
#include <string_view>

#include "app/units.h"

namespace app {
namespace {

std::optional<double> number_from(std::string_view text) {
  double value = 0.0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size() || !std::isfinite(value)) return std::nullopt;
  return value;
}

// The unit's factor, its word taken off.
double take_unit(std::string_view& text) {
  if (text.ends_with("in")) return text.remove_suffix(2), kMmPerInch;
  if (text.ends_with("mm")) text.remove_suffix(2);
  return 1.0;
}

}  // namespace

std::optional<double> length_mm_from(const std::string& text) {
  std::string_view rest = text;
  const double factor = take_unit(rest);
  const auto value = number_from(rest);
  return value ? std::optional(factor * *value) : std::nullopt;
}

std::optional<cv::Size2d> size_mm_from(const std::string& text) {
  std::string_view rest = text;
  const double factor = take_unit(rest);
  const std::size_t cross = rest.find('x');
  if (cross == std::string_view::npos) return std::nullopt;
  const auto width = number_from(rest.substr(0, cross)), height = number_from(rest.substr(cross + 1));
  if (!width || !height) return std::nullopt;
  return cv::Size2d(factor * *width, factor * *height);
}

}  // namespace app
