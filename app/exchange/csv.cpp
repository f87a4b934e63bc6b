#include "app/exchange/csv.h"

#include "calib/files.h"

namespace app {
namespace {

constexpr std::size_t kMostBytes = 1 << 20;  // of a record
constexpr int kEnd = std::char_traits<char>::eof();

void write_field(std::ostream& out, std::string_view field) {
  if (field.find_first_of(",\"\r\n") == std::string_view::npos) {
    out << field;
    return;
  }
  out << '"';
  for (const char c : field) {
    if (c == '"') out << '"';
    out << c;
  }
  out << '"';
}

}  // namespace

void write_csv_line(std::ostream& out, const std::vector<std::string>& fields) {
  for (std::size_t i = 0; i < fields.size(); ++i) {
    if (i > 0) out << ',';
    write_field(out, fields[i]);
  }
  out << "\r\n";
}

void CsvReader::refuse(const std::string& what) const {
  throw calib::FileError(file_ + ":" + std::to_string(line_) + ": " + what);
}

int CsvReader::take() {
  if (++size_ > kMostBytes) refuse("this record is longer than a megabyte; is a closing quote missing?");
  return in_.get();
}

// Behind its first quote.
void CsvReader::read_quoted(std::string& field) {
  for (;;) {
    const int c = take();
    if (c == kEnd) refuse("a quote (\") is not closed; close it, or write two for one within a quoted field");
    if (c == '\n') ++lines_passed_;
    if (c == '"') {
      if (in_.peek() != '"') return;
      take();
    }
    field += static_cast<char>(c);
  }
}

std::optional<std::vector<std::string>> CsvReader::next() {
  if (!began_) {
    began_ = true;
    for (const int mark : {0xEF, 0xBB, 0xBF})
      if (in_.peek() == mark) in_.get();
  }
  std::vector<std::string> fields(1);
  line_ = lines_passed_ + 1;
  size_ = 0;
  bool quoted = false, any = false;
  for (;;) {
    const int c = take();
    if (c == kEnd || c == '\n') {
      if (c == '\n') ++lines_passed_;
      if (!quoted && !fields.back().empty() && fields.back().back() == '\r') fields.back().pop_back();
      if (any && !(fields.size() == 1 && fields[0].empty() && !quoted)) return fields;
      if (c == kEnd) return std::nullopt;
      line_ = lines_passed_ + 1;
      fields.assign(1, {});
      any = quoted = false;
      continue;
    }
    any = true;
    if (c == ',') {
      fields.emplace_back();
      quoted = false;
    } else if (c == '"' && !quoted && fields.back().empty()) {
      read_quoted(fields.back());
      quoted = true;
    } else if (quoted && c == '\r' && (in_.peek() == '\n' || in_.peek() == kEnd)) {
      // belongs to the line end
    } else if (c == '"' || quoted) {
      refuse("a quote (\") stands within a field; put the whole field in quotes, with two for each within");
    } else {
      fields.back() += static_cast<char>(c);
    }
  }
}

}  // namespace app
