// The [share] table of a station file.
//
// Guarantees: what cannot be meant is refused by file and line, a connection's words stand in no message, and no other
// command that writes the station file loses the table. Example failure: the board is surveyed again, and the station
// does not share any more.
#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "calib/share_settings.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

const std::string kShare =
    "\n[share]\nconnection = \"host=shop.example dbname='our hoops' sslmode=verify-full\"\nstation = \"North "
    "window\"\n";

std::string fault_of_share(const std::string& lines) {
  const TemporaryFolder folder;
  const auto file = folder.put("s.toml", "[share]\n" + lines);
  return error_of([&] { calib::load_share(file); });
}

}  // namespace

TEST_CASE("a station file says how the station shares", "[files][share]") {
  const TemporaryFolder folder;
  CHECK_FALSE(calib::load_share(folder.path / "none.toml"));
  CHECK_FALSE(calib::load_share(folder.put("alone.toml", samples::kStation)));
  const auto file = folder.put("s.toml", samples::kStation + kShare + "every_min = 15\n");
  const auto share = calib::load_share(file);
  REQUIRE(share);
  CHECK(share->connection == "host=shop.example dbname='our hoops' sslmode=verify-full");
  CHECK(share->station == "North window");
  CHECK(share->every_min == 15);
  CHECK(calib::load_station(file).board_marks.size() == 4);  // where the rest is as without
}

TEST_CASE("faults of [share] name file, line and mend", "[files][share]") {
  const std::string connection = "connection = \"host=x password=Loud_Secret9\"\n", station = "station = \"North\"\n";
  CHECK(holds(fault_of_share(station), "s.toml:1: [share] has no 'connection'; add a line such as"));
  CHECK(holds(fault_of_share(connection), "[share] has no 'station'"));
  CHECK(holds(fault_of_share(connection + "station = \"\"\n"), "s.toml:3: 'station' is no name"));
  CHECK(holds(fault_of_share(connection + "station = \" North\"\n"), "s.toml:3: 'station' is no name"));
  CHECK(holds(fault_of_share(connection + station + "every_min = -1\n"), "s.toml:4: 'every_min' is -1"));
  CHECK(holds(fault_of_share(connection + station + "evry_min = 5\n"), "write 'every_min'"));
  const std::string two_lines = fault_of_share("connection = \"password=Loud_Secret9\\nhost=x\"\n" + station);
  CHECK(holds(two_lines, "s.toml:2: 'connection' is no connection of one line"));
  CHECK_FALSE(holds(two_lines, "Loud_Secret9"));
  // The station itself refuses the file as well.
  CHECK(holds(error_of([] { calib::station_from_text(samples::kStation + "[share]\nserver = 1\n", "s.toml"); }),
              "'server' is not a key of [share]"));
}

TEST_CASE("a station file that is written anew keeps its [share]", "[files][share]") {
  const TemporaryFolder folder;
  const auto file = folder.put("s.toml", samples::kStation + kShare + "every_min = 15\n");
  vision::Station station = calib::load_station(file);
  station.print_scale = 0.97;
  calib::save_station(station, file);
  CHECK(calib::load_station(file).print_scale == 0.97);
  const auto share = calib::load_share(file);
  REQUIRE(share);
  CHECK(share->connection == "host=shop.example dbname='our hoops' sslmode=verify-full");
  CHECK(share->every_min == 15);
  // What cannot be read has nothing to keep, and is no hindrance.
  const auto broken = folder.put("broken.toml", "[share\n");
  calib::save_station(station, broken);
  CHECK(calib::load_station(broken).print_scale == 0.97);
}
