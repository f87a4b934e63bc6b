// Guarantees: whatever bytes a station or hoop file holds, loading gives a value or a FileError and nothing else; and
// a value that was given survives a round trip. Example failure: a std::bad_alloc, a crash, or a NaN let through.
#include <cstdlib>
#include <random>

#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"

namespace {

constexpr int kRounds = 20000;

// One to eight small damages: a byte changed, a stretch dropped, doubled or put elsewhere, a token that hurts.
std::string damaged(std::string text, std::mt19937& random) {
  static const std::string tokens[] = {"nan",
                                       "-inf",
                                       "1e999",
                                       "[[",
                                       "]]",
                                       "\"",
                                       "'''",
                                       "\xff\xfe",
                                       "{",
                                       "}",
                                       "= =",
                                       "\n",
                                       "99999999999999999999",
                                       "0x7fffffffffffffff",
                                       "1979-05-27",
                                       std::string(1, '\0'),
                                       "-",
                                       "[[[[[[[[[[[[",
                                       "e400",
                                       "true",
                                       "#",
                                       ".",
                                       "\\u0000"};
  const auto below = [&](std::size_t limit) { return std::uniform_int_distribution<std::size_t>(0, limit)(random); };
  for (std::size_t damage = below(7) + 1; damage > 0; --damage) {
    if (text.empty()) text.push_back('=');
    const std::size_t at = below(text.size() - 1), length = below(20);
    switch (below(4)) {
      case 0:
        text[at] = static_cast<char>(below(255));
        break;
      case 1:
        text.erase(at, length);
        break;
      case 2:
        text.insert(below(text.size()), text.substr(at, length));
        break;
      case 3:
        text.insert(at, tokens[below(std::size(tokens) - 1)]);
        break;
      default:
        text.resize(below(2) ? text.size() : at);
    }
  }
  return text;
}

}  // namespace

TEST_CASE("damaged station and hoop files give a value or a FileError", "[files][fuzz]") {
  std::mt19937 random(20240611);
  int values = 0, errors = 0;
  for (int round = 0; round < kRounds; ++round) {
    const bool station = round % 2 == 0;
    const std::string text = damaged(station ? samples::kStation : samples::kHoop, random);
    INFO("round " << round << ":\n" << text);
    std::string written, again;
    try {
      written = station ? calib::text_of(calib::station_from_text(text, "f"))
                        : calib::text_of(calib::hoop_from_text(text, "f"));
    } catch (const calib::FileError& error) {
      ++errors;
      const std::string message = error.what();
      // file, a line from 1 on, and a mend after a semicolon
      if (!(message.starts_with("f:") && std::atoi(message.c_str() + 2) >= 1 &&
            message.find("; ") != std::string::npos))
        FAIL(message);
      continue;
    }
    ++values;
    again = station ? calib::text_of(calib::station_from_text(written, "w"))
                    : calib::text_of(calib::hoop_from_text(written, "w"));
    if (written != again) FAIL("read back differently");
  }
  // Both must happen, or the damage is too weak or too strong to test anything.
  CHECK(values > kRounds / 100);
  CHECK(errors > kRounds / 4);
}

TEST_CASE("deep nesting and long lists end in a FileError", "[files][fuzz]") {
  std::string deep = "inner_mm = ", quoted = "name = \"";
  deep.append(100000, '[');
  quoted.append(1000000, 'x').append("\"");
  for (const std::string& text : {deep, std::string(100000, '['), std::string(5000, '{'), quoted})
    CHECK_THROWS_AS(calib::hoop_from_text(text, "f"), calib::FileError);
  std::string many = "outer_mm = [";
  for (int i = 0; i < 20000; ++i) many += "[1.0, 2.0], ";
  CHECK_THROWS_AS(calib::hoop_from_text(many + "]\n", "f"), calib::FileError);
}
