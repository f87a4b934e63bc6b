// Reading a TOML file strictly: what is missing, misspelt, of the wrong type or outside its range is a FileError
// that names file, line and mend.
#pragma once

#include <filesystem>
#include <initializer_list>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "calib/files.h"

#if __has_include(<toml++/toml.hpp>)
#include <toml++/toml.hpp>
#else
#include <toml++/toml.h>
#endif

namespace calib {

// The whole file. Throws FileError when it cannot be read, is no plain file or is larger than 4 MB.
std::string text_of_file(const std::filesystem::path& file);

// Throws FileError with the line of the first fault of syntax.
toml::table parse_toml(std::string_view text, const std::string& file);

// Both ends belong to the range.
struct Range {
  double low, high;
};

// One table of a file, with all that a message needs to say where it is. The file's text must outlive it.
class Section {
 public:
  // `title` stands in messages: "[camera]", "[[notch]] no. 2", or "the file" for the top.
  Section(const std::string& file, const toml::table& table, std::string title);

  // Every key of the table must be one of these.
  void allow_only(std::initializer_list<std::string_view> keys) const;
  bool has(std::string_view key) const;
  int line() const;
  // Where the key's value stands; the section's own line when the key is not there.
  int line_of(std::string_view key) const;

  // The value of a key that must be there. `example` is what the message says to write.
  double number(std::string_view key, Range range, std::string_view example) const;
  int integer(std::string_view key, int low, int high, std::string_view example) const;
  bool flag(std::string_view key, std::string_view example) const;
  std::string text(std::string_view key, std::string_view example) const;
  // Any count; empty texts and the same one twice are refused.
  std::vector<std::string> texts(std::string_view key, std::string_view example) const;
  // Any count, none of them twice.
  std::vector<int> integers(std::string_view key, int low, int high, std::string_view example) const;
  std::vector<double> numbers(std::string_view key, std::size_t count, Range range, std::string_view example) const;
  // Any count.
  std::vector<double> numbers(std::string_view key, Range range, std::string_view example) const;
  std::vector<cv::Point2d> points(std::string_view key, Range range, std::string_view example) const;
  // Where element `index` of an array stands.
  int line_of(std::string_view key, std::size_t index) const;

  Section table(std::string_view key, std::string_view example) const;
  // An array of tables, `[[key]]`. Empty when the key is not there.
  std::vector<Section> tables(std::string_view key) const;

  [[noreturn]] void fail(const std::string& message) const;
  [[noreturn]] void fail_at(int line, const std::string& message) const;

 private:
  const toml::node& node(std::string_view key, std::string_view example) const;
  const toml::array& array(std::string_view key, std::string_view example) const;
  int checked_integer(const toml::node& value, std::string_view key, int low, int high, std::string_view example) const;
  double checked(const toml::node& value, std::string_view key, Range range, std::string_view example) const;

  const std::string* file_;
  const toml::table* table_;
  std::string title_;
};

// The shortest decimal that reads back as the same double, always with a point or an exponent.
std::string toml_number(double value);
// Quoted, with what TOML needs escaped.
std::string toml_text(const std::string& value);

}  // namespace calib
