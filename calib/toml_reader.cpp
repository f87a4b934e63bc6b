#include "calib/toml_reader.h"

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>
#include <cmath>
#include <cstring>
#include <fstream>
#include <numeric>
#include <sstream>

namespace calib {
namespace {

constexpr std::uintmax_t kLargestFile = 4u << 20;

[[noreturn]] void fail_in(const std::string& file, int line, const std::string& message) {
  throw FileError(file + ":" + std::to_string(std::max(line, 1)) + ": " + message);
}

std::string joined(std::initializer_list<std::string_view> parts) {
  std::string out;
  for (const std::string_view part : parts) out += part;
  return out;
}

int line_of_node(const toml::node& node) { return static_cast<int>(node.source().begin.line); }

std::string_view kind(const toml::node& node) {
  switch (node.type()) {
    case toml::node_type::table:
      return "a table";
    case toml::node_type::array:
      return "a list";
    case toml::node_type::string:
      return "a text";
    case toml::node_type::integer:
      return "a whole number";
    case toml::node_type::floating_point:
      return "a number";
    case toml::node_type::boolean:
      return "true or false";
    default:
      return "a date or time";
  }
}

// Levenshtein distance, to guess which key was meant.
std::size_t distance(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, diagonal + (a[i - 1] == b[j - 1] ? 0u : 1u)});
      diagonal = above;
    }
  }
  return row[b.size()];
}

// Text that came from a file, made fit for a message: short and printable.
std::string shown(std::string_view text, std::size_t longest = 40) {
  std::string out(text.substr(0, longest));
  std::replace_if(
      out.begin(), out.end(), [](char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }, '?');
  return out;
}

std::string guess(std::string_view key, std::initializer_list<std::string_view> known) {
  const auto nearest = std::min_element(known.begin(), known.end(), [&](std::string_view a, std::string_view b) {
    return distance(key, a) < distance(key, b);
  });
  if (key.size() < 40 && distance(key, *nearest) <= 2) return "write '" + std::string(*nearest) + "'";
  std::string all = "leave it out; known here are ";
  for (const std::string_view one : known) {
    if (one != *known.begin()) all += ", ";
    all += one;
  }
  return all;
}

std::string shortest(double value) {
  std::array<char, 32> buffer{};
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value).ptr;
  return {buffer.data(), end};
}

}  // namespace

std::string text_of_file(const std::filesystem::path& file) {
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  if (!std::filesystem::exists(status)) throw FileError(file.string() + ": there is no such file; check its name");
  if (!std::filesystem::is_regular_file(status))
    throw FileError(file.string() + ": is not a plain file; name a TOML file");
  if (std::filesystem::file_size(file, error) > kLargestFile)
    throw FileError(file.string() + ": is larger than 4 MB; name a station or hoop file");
  std::ifstream in(file, std::ios::binary);
  std::ostringstream text;
  if (in.peek() != std::ifstream::traits_type::eof()) text << in.rdbuf();
  if (in.bad() || !in.is_open())
    throw FileError(file.string() + ": cannot be read (" + std::strerror(errno) + "); check its permissions");
  return std::move(text).str();
}

toml::table parse_toml(std::string_view text, const std::string& file) {
  try {
    return toml::parse(text);
  } catch (const toml::parse_error& error) {
    fail_in(file, static_cast<int>(error.source().begin.line),
            "is not TOML here: " + shown(error.description(), 160) + "; mend this line or the one above");
  }
}

Section::Section(const std::string& file, const toml::table& table, std::string title)
    : file_(&file), table_(&table), title_(std::move(title)) {}

void Section::fail(const std::string& message) const { fail_at(line(), message); }
void Section::fail_at(int line, const std::string& message) const { fail_in(*file_, line, message); }

bool Section::has(std::string_view key) const { return table_->contains(key); }
int Section::line() const { return line_of_node(*table_); }

int Section::line_of(std::string_view key) const {
  const toml::node* node = table_->get(key);
  return node ? line_of_node(*node) : line();
}

int Section::line_of(std::string_view key, std::size_t index) const {
  const toml::node* node = table_->get(key);
  const toml::array* list = node ? node->as_array() : nullptr;
  return list && index < list->size() ? line_of_node((*list)[index]) : line_of(key);
}

void Section::allow_only(std::initializer_list<std::string_view> keys) const {
  // The first one in the file, not in the alphabet.
  const toml::key* first = nullptr;
  for (const auto& [key, value] : *table_) {
    if (std::find(keys.begin(), keys.end(), key.str()) != keys.end()) continue;
    if (!first || key.source().begin < first->source().begin) first = &key;
  }
  if (!first) return;
  fail_at(static_cast<int>(first->source().begin.line),
          joined({"'", shown(first->str()), "' is not a key of ", title_, "; ", guess(first->str(), keys)}));
}

const toml::node& Section::node(std::string_view key, std::string_view example) const {
  const toml::node* found = table_->get(key);
  if (!found) fail(joined({title_, " has no '", key, "'; add a line such as ", example}));
  return *found;
}

const toml::array& Section::array(std::string_view key, std::string_view example) const {
  const toml::node& found = node(key, example);
  const toml::array* list = found.as_array();
  if (!list) fail_at(line_of_node(found), joined({"'", key, "' is ", kind(found), "; write a list such as ", example}));
  return *list;
}

double Section::checked(const toml::node& value, std::string_view key, Range range, std::string_view example) const {
  if (!value.is_integer() && !value.is_floating_point())
    fail_at(line_of_node(value), joined({"'", key, "' is ", kind(value), "; write a number, such as ", example}));
  const double number = value.value<double>().value_or(std::nan(""));
  if (!(number >= range.low && number <= range.high))
    fail_at(line_of_node(value), joined({"'", key, "' is ", shortest(number), "; write a number from ",
                                         shortest(range.low), " to ", shortest(range.high), ", such as ", example}));
  return number;
}

double Section::number(std::string_view key, Range range, std::string_view example) const {
  return checked(node(key, example), key, range, example);
}

int Section::checked_integer(const toml::node& found, std::string_view key, int low, int high,
                             std::string_view example) const {
  const toml::value<std::int64_t>* value = found.as_integer();
  if (value && value->get() >= low && value->get() <= high) return static_cast<int>(value->get());
  fail_at(line_of_node(found),
          joined({"'", key, "' is ", value ? std::to_string(value->get()) : std::string(kind(found)),
                  "; write a whole number from ", std::to_string(low), " to ", std::to_string(high), ", such as ",
                  example}));
}

int Section::integer(std::string_view key, int low, int high, std::string_view example) const {
  return checked_integer(node(key, example), key, low, high, example);
}

std::vector<int> Section::integers(std::string_view key, int low, int high, std::string_view example) const {
  std::vector<int> out;
  for (const toml::node& one : array(key, example)) {
    const int number = checked_integer(one, key, low, high, example);
    if (std::find(out.begin(), out.end(), number) != out.end())
      fail_at(line_of_node(one), joined({"'", key, "' holds ", std::to_string(number), " twice; leave one out"}));
    out.push_back(number);
  }
  return out;
}

bool Section::flag(std::string_view key, std::string_view example) const {
  const toml::node& found = node(key, example);
  const toml::value<bool>* value = found.as_boolean();
  if (!value)
    fail_at(line_of_node(found), joined({"'", key, "' is ", kind(found), "; write true or false, such as ", example}));
  return value->get();
}

std::string Section::text(std::string_view key, std::string_view example) const {
  const toml::node& found = node(key, example);
  const toml::value<std::string>* value = found.as_string();
  if (!value)
    fail_at(line_of_node(found),
            joined({"'", key, "' is ", kind(found), "; write a text in quotes, such as ", example}));
  return value->get();
}

std::vector<std::string> Section::texts(std::string_view key, std::string_view example) const {
  std::vector<std::string> out;
  for (const toml::node& one : array(key, example)) {
    const toml::value<std::string>* value = one.as_string();
    if (!value || value->get().empty())
      fail_at(line_of_node(one), joined({"'", key, "' holds ", value ? "an empty text" : kind(one),
                                         "; write texts in quotes, such as ", example}));
    if (std::find(out.begin(), out.end(), value->get()) != out.end())
      fail_at(line_of_node(one), joined({"'", key, "' holds '", shown(value->get()), "' twice; leave one out"}));
    out.push_back(value->get());
  }
  return out;
}

std::vector<double> Section::numbers(std::string_view key, std::size_t count, Range range,
                                     std::string_view example) const {
  const toml::array& list = array(key, example);
  if (list.size() != count)
    fail_at(line_of_node(list), joined({"'", key, "' has ", std::to_string(list.size()), " numbers; write ",
                                        std::to_string(count), ", such as ", example}));
  return numbers(key, range, example);
}

std::vector<double> Section::numbers(std::string_view key, Range range, std::string_view example) const {
  std::vector<double> out;
  for (const toml::node& one : array(key, example)) out.push_back(checked(one, key, range, example));
  return out;
}

std::vector<cv::Point2d> Section::points(std::string_view key, Range range, std::string_view example) const {
  std::vector<cv::Point2d> out;
  for (const toml::node& one : array(key, example)) {
    const toml::array* pair = one.as_array();
    if (!pair || pair->size() != 2)
      fail_at(line_of_node(one), joined({"point ", std::to_string(out.size() + 1), " of '", key,
                                         "' is not a pair; write [x, y], such as ", example}));
    out.emplace_back(checked((*pair)[0], key, range, example), checked((*pair)[1], key, range, example));
  }
  return out;
}

Section Section::table(std::string_view key, std::string_view example) const {
  const toml::node* found = table_->get(key);
  const std::string title = joined({"[", key, "]"});
  if (!found) fail(joined({"there is no ", title, "; add one, such as ", example}));
  if (!found->is_table())
    fail_at(line_of_node(*found),
            joined({"'", key, "' is ", kind(*found), "; write a line ", title, " and its keys below it"}));
  return {*file_, *found->as_table(), title};
}

std::vector<Section> Section::tables(std::string_view key) const {
  std::vector<Section> out;
  const toml::node* found = table_->get(key);
  if (!found) return out;
  const std::string title = joined({"[[", key, "]]"});
  const std::string want = joined({"; write a line ", title, " for each and its keys below it"});
  const toml::array* list = found->as_array();
  if (!list) fail_at(line_of_node(*found), joined({"'", key, "' is ", kind(*found), want}));
  for (const toml::node& one : *list) {
    if (!one.is_table()) fail_at(line_of_node(one), joined({"'", key, "' holds ", kind(one), want}));
    out.emplace_back(*file_, *one.as_table(), joined({title, " no. ", std::to_string(out.size() + 1)}));
  }
  return out;
}

std::string toml_number(double value) {
  std::string out = shortest(value);
  if (out.find_first_of(".en") == std::string::npos) out += ".0";
  return out;
}

std::string toml_text(const std::string& value) {
  std::ostringstream out;
  out << toml::value<std::string>(value);
  return out.str();
}

}  // namespace calib
