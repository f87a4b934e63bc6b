// What the station runs on when files are not named: this computer's own station and its only hoop.
#include <cstdlib>

#include "app/hoops/hoop_store.h"
#include "app/places.h"
#include "app/render/demo_station.h"
#include "app/settings.h"
#include "app/source/open_source.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

// This computer's own station lies in a folder of the test's as long as this lives.
class OwnStation {
 public:
  OwnStation() : file(folder_.path / "station.toml") { ::setenv("STATE_DIRECTORY", folder_.path.c_str(), 1); }
  ~OwnStation() { ::unsetenv("STATE_DIRECTORY"); }
  OwnStation(const OwnStation&) = delete;
  OwnStation& operator=(const OwnStation&) = delete;

  void with_lens() const {
    vision::Station station = app::demo_station();
    station.board_marks.clear();
    calib::save_station(station, file);
  }
  void with_board() const { calib::save_station(app::demo_station(), file); }
  void with_hoop(std::size_t which) const {
    app::HoopStore(app::hoop_folder(file)).save(app::demo_hoops().at(which), false);
  }

 private:
  TemporaryFolder folder_;

 public:
  const std::filesystem::path file;
};

std::string missing(const app::StationOptions& options = {}) {
  try {
    app::set_up_station(options);
  } catch (const app::NotSetUp& error) {
    return error.what();
  }
  return {};
}

}  // namespace

// Guarantees: a camera over a station that is not set up is never measured with. Example failure: it goes on silently
// with the demo's numbers.
TEST_CASE("the first missing step is named", "[open_source]") {
  const OwnStation own;
  CHECK(missing().find("its lens is not measured yet") != std::string::npos);
  own.with_lens();
  CHECK(missing().find("its board is not surveyed yet") != std::string::npos);
  own.with_board();
  CHECK(missing().find("no hoop is taught yet") != std::string::npos);
  CHECK(missing().find("hoopgauge guide") != std::string::npos);
  own.with_hoop(0);
  CHECK(missing().empty());
}

TEST_CASE("this computer's own station and its only hoop are used", "[open_source]") {
  const OwnStation own;
  own.with_board();
  own.with_hoop(1);
  const app::OpenedStation opened = app::set_up_station({});
  CHECK(opened.hoop.name == app::demo_hoops().at(1).name);
  CHECK(opened.station.board_marks.size() == app::demo_station().board_marks.size());
  CHECK(opened.proof.state == app::LastProof::State::none);
  CHECK_FALSE(opened.proof.line.empty());
}

TEST_CASE("of several hoops it is the one used last, else the first, or the one named", "[open_source]") {
  const OwnStation own;
  own.with_board();
  own.with_hoop(0);
  own.with_hoop(1);
  const app::OpenedStation first = app::set_up_station({});
  REQUIRE(first.hoops.size() == 2);
  CHECK(first.station_file == own.file);
  const std::string other = first.hoops[0].name == first.hoop.name ? first.hoops[1].name : first.hoops[0].name;
  app::StationOptions options;
  options.hoop_file = other;
  CHECK(app::set_up_station(options).hoop.name == other);
  app::Settings settings;
  settings.hoop_name = other;
  app::save_settings(settings, app::settings_file(own.file));
  CHECK(app::set_up_station({}).hoop.name == other);
}

TEST_CASE("files that are named come first, with the hoops beside them", "[open_source]") {
  const OwnStation own;  // empty
  const TemporaryFolder other;
  app::StationOptions options;
  options.station_file = other.path / "station.toml";
  calib::save_station(app::demo_station(), *options.station_file);
  CHECK_THROWS_AS(app::set_up_station(options), app::NotSetUp);
  app::HoopStore(app::hoop_folder(*options.station_file)).save(app::demo_hoops().at(2), false);
  CHECK(app::set_up_station(options).hoop.name == app::demo_hoops().at(2).name);
}

TEST_CASE("a damaged file is no missing step", "[open_source][errors]") {
  const OwnStation own;
  own.with_board();
  std::filesystem::create_directories(app::hoop_folder(own.file));
  calib::save_station(app::demo_station(), app::hoop_folder(own.file) / "wrong.toml");
  try {
    app::set_up_station({});
    FAIL("a station file was taken for a hoop");
  } catch (const app::NotSetUp&) {
    FAIL("the damaged hoop was passed over");
  } catch (const calib::FileError& error) {
    CHECK(std::string(error.what()).find("wrong.toml") != std::string::npos);
  }
}
