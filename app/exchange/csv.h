// Comma-separated values after RFC 4180: a header line, fields quoted where they must be, UTF-8.
#pragma once

#include <istream>
#include <optional>
#include <ostream>
#include <string>
#include <string_view>
#include <vector>

namespace app {

// One record with its line end (CR LF).
void write_csv_line(std::ostream& out, const std::vector<std::string>& fields);

class CsvReader {
 public:
  // `in` outlives it; `file` is for messages. A byte order mark at its start is passed over.
  CsvReader(std::istream& in, std::string file) : in_(in), file_(std::move(file)) {}

  // The next record, or nothing at the end; empty lines are passed over, line ends may be LF alone. Throws
  // calib::FileError for a quote that does not end or stands within a field, and for a field or record beyond all
  // reason (a megabyte).
  std::optional<std::vector<std::string>> next();
  // That next() began with; counts from 1.
  std::size_t line() const { return line_; }
  // "file:12: what".
  [[noreturn]] void refuse(const std::string& what) const;

 private:
  int take();
  void read_quoted(std::string& field);

  std::istream& in_;
  std::string file_;
  std::size_t line_ = 0, lines_passed_ = 0, size_ = 0;
  bool began_ = false;
};

}  // namespace app
