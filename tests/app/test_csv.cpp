// Comma-separated values.
//
// Guarantees: what is written reads back, field by field, whatever stands in it; files that people made read too; a
// broken one is refused with its line. Example failure: a job's name with a comma shifts all columns behind it.
// Rules: RFC 4180, section 2; its own example lines are read below.
#include <sstream>

#include "app/exchange/csv.h"
#include "calib/files.h"
#include "tests/catch.h"

namespace {

using Records = std::vector<std::vector<std::string>>;

Records read(const std::string& text) {
  std::istringstream in(text);
  app::CsvReader reader(in, "t.csv");
  Records out;
  while (auto record = reader.next()) out.push_back(*record);
  return out;
}

std::string fault(const std::string& text) {
  try {
    read(text);
  } catch (const calib::FileError& error) {
    return error.what();
  }
  return "read";
}

}  // namespace

TEST_CASE("the standard's own examples read as it says", "[csv]") {
  CHECK(read("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") == Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
  CHECK(read("aaa,bbb,ccc\r\nzzz,yyy,xxx") == Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
  CHECK(read("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx") == Records{{"aaa", "bbb", "ccc"}, {"zzz", "yyy", "xxx"}});
  CHECK(read("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx") ==
        Records{{"aaa", "b\r\nbb", "ccc"}, {"zzz", "yyy", "xxx"}});
  CHECK(read("\"aaa\",\"b\"\"bb\",\"ccc\"") == Records{{"aaa", "b\"bb", "ccc"}});
}

TEST_CASE("files of other programs read too", "[csv]") {
  CHECK(read("\xEF\xBB\xBFid,b\n1,2\n\n3,\n") == Records{{"id", "b"}, {"1", "2"}, {"3", ""}});
  CHECK(read("") == Records{});
  CHECK(read("\n\r\n") == Records{});
  CHECK(read("\"\"\n") == Records{{""}});
  CHECK(read(" a , b ") == Records{{" a ", " b "}});  // spaces are part of a field
}

TEST_CASE("what is written reads back", "[csv]") {
  const Records wanted{
      {"id", "note"},          {"1", "plain"}, {"2", "a, b and \"c\""}, {"3", "two\nlines\r\n"}, {"4", ""},
      {"5", "Öz, żółw, 刺繍"}, {"6", "\""},    {"", "ends with CR\r"}};
  std::ostringstream out;
  for (const auto& record : wanted) app::write_csv_line(out, record);
  CHECK(read(out.str()) == wanted);
}

TEST_CASE("a broken file is refused with its line", "[csv]") {
  CHECK(fault("a,b\n1,\"never closed\n2,3\n").starts_with("t.csv:2: "));
  CHECK(fault("a\n\"two\nlines\"\nx\"y\n").starts_with("t.csv:4: "));
  CHECK(fault("a\n\"b\"c\n").starts_with("t.csv:2: "));
  CHECK(fault("a\n" + std::string(2 << 20, 'x')).starts_with("t.csv:2: "));
}
