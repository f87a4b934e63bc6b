// What people choose at the station, on disk.
#include <sys/resource.h>

#include <csignal>

#include "app/settings.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

app::Settings chosen() {
  app::Settings out;
  out.units = app::Units::inch;
  out.language = "de";
  out.sounds = false;
  out.pedal_key = 1073741886;
  out.dim_after_min = 0;
  out.large_plan = true;
  out.piece_pictures = true;
  out.operator_name = "Ida \"Nadel\" Öz";
  out.job_name = "Polo, left chest";
  out.hoop_name = "130 x 180";
  return out;
}

}  // namespace

TEST_CASE("settings are found again as they were chosen", "[settings]") {
  const TemporaryFolder folder;
  const auto file = app::settings_file(folder.path / "station.toml");
  CHECK(app::load_settings(file) == app::Settings{});
  app::save_settings(chosen(), file);
  CHECK(app::load_settings(file) == chosen());
  app::save_settings({}, file);
  CHECK(app::load_settings(file) == app::Settings{});
  CHECK(folder.entries() == 1);
}

TEST_CASE("a setting that is misspelt, of the wrong kind or out of range is named with its line", "[settings]") {
  const TemporaryFolder folder;
  const auto said = [&](const std::string& text) {
    const auto file = folder.put("settings.toml", text);
    const std::string error = error_of([&] { app::load_settings(file); });
    REQUIRE(error.starts_with(file.string() + ":"));
    return error.substr(file.string().size());
  };
  CHECK(said("sounds = true\nunit = \"mm\"\n") == ":2: 'unit' is not a key of the settings; write 'units'");
  CHECK(said("units = \"cm\"\n") == ":1: 'units' names no unit; write \"mm\" or \"inch\"");
  CHECK(holds(said("\nsounds = 1\n"), ":2: 'sounds' is a whole number; write true or false"));
  CHECK(holds(said("dim_after_min = -1"), ":1: 'dim_after_min' is -1; write a whole number from 0 to 1440"));
  CHECK(holds(said("pedal_key = 2.0"), "'pedal_key' is a number; write a whole number"));
  CHECK(holds(said("language = \"German\""), "'language' is no language's code"));
  CHECK(holds(said("operator = \"a\\tb\""), "control character"));
  CHECK(holds(said("units = \n"), ":1: is not TOML here"));
}

// Guarantees: a slip of a hand-made edit costs nothing that was written. Example failure: the next choice at the screen
// replaces the edited file by defaults.
TEST_CASE("settings that cannot be read are kept beside the new ones", "[settings]") {
  const TemporaryFolder folder;
  const auto file = folder.put("settings.toml", "units = inch\n");
  app::save_settings(chosen(), file);
  CHECK(app::load_settings(file) == chosen());
  REQUIRE(folder.entries() == 2);
  for (const auto& entry : std::filesystem::directory_iterator(folder.path))
    if (entry.path() != file) CHECK(TemporaryFolder::content(entry.path()) == "units = inch\n");
}

TEST_CASE("settings that would not load are not saved", "[settings]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "settings.toml";
  app::save_settings(chosen(), file);
  app::Settings bad = chosen();
  bad.dim_after_min = -5;
  CHECK(holds(error_of([&] { app::save_settings(bad, file); }), "(not saved):"));
  CHECK(app::load_settings(file) == chosen());
}

TEST_CASE("on a full disk the old settings stay whole", "[settings]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "settings.toml";
  app::save_settings({}, file);
  rlimit old{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &old) == 0);
  const rlimit tiny{1, old.rlim_max};
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &tiny) == 0);
  const std::string error = error_of([&] { app::save_settings(chosen(), file); });
  ::setrlimit(RLIMIT_FSIZE, &old);
  std::signal(SIGXFSZ, handler);
  CHECK(holds(error, "cannot be written"));
  CHECK(app::load_settings(file) == app::Settings{});
  CHECK(folder.entries() == 1);
}
