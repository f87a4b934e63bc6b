// The command line itself, on the program as it is started.
#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <string>
#include <utility>

#include "tests/app/run_program.h"
#include "tests/catch.h"

namespace {

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("version and help", "[commands]") {
  CHECK(run("--version") == std::pair(0, std::string("hoopgauge " HOOPGAUGE_VERSION "\n")));
  const auto [code, help] = run("--help");
  CHECK(code == 0);
  for (const char* word : {"station", "measure", "cameras", "--window"}) CHECK(holds(help, word));
  const auto [measure_code, measure_help] = run("measure --help");
  CHECK(measure_code == 0);
  for (const char* word : {"--station", "--hoop", "--overlay", "--fresh", "--sticker", "FRAME"})
    CHECK(holds(measure_help, word));
}

TEST_CASE("a wrong command line says what to write and ends with 2", "[commands][errors]") {
  const std::pair<const char*, const char*> cases[] = {
      {"meassure x.jpg", "'meassure' is no command; write one of station guide "},
      {"measure", "--station is required"},
      {"measure --station s.toml --hoop h.toml", "FRAME is required"},
      {"measure --station s.toml --hoop h.toml --sticker 100 x.jpg", "--sticker"},
      {"measure --station s.toml --hoop h.toml --sticker two x.jpg", "--sticker"},
      {"measure --station s.toml --hoop h.toml --bogus x.jpg", "--bogus"},
      {"--size 12", "write it as WIDTHxHEIGHT"},
      {"--bogus", "--bogus"},
  };
  for (const auto& [arguments, says] : cases) {
    const auto [code, said] = run(arguments);
    INFO(arguments << ": " << said);
    CHECK(code == 2);
    CHECK(said.starts_with("hoopgauge: "));
    CHECK(holds(said, says));
  }
}

TEST_CASE("a station file that is not there is named", "[commands][errors]") {
  const auto [code, said] = run("measure --station /none/station.toml --hoop /none/hoop.toml x.jpg");
  CHECK(code == 2);
  CHECK(said == "hoopgauge: /none/station.toml: there is no such file; check its name\n");
}
