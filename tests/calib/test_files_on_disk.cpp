// Load, save and the sample files, on a real disk.

#include <sys/resource.h>

#include <cmath>
#include <csignal>
#include <filesystem>

#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace fs = std::filesystem;

TEST_CASE("files are saved and loaded again", "[files][disk]") {
  const TemporaryFolder folder;
  const vision::Station station = calib::station_from_text(samples::kStation, "");
  const vision::Hoop hoop = calib::hoop_from_text(samples::kHoop, "");
  calib::save_station(station, folder.path / "station.toml");
  calib::save_hoop(hoop, folder.path / "hoop.toml");
  CHECK(calib::text_of(calib::load_station(folder.path / "station.toml")) == calib::text_of(station));
  CHECK(calib::text_of(calib::load_hoop(folder.path / "hoop.toml")) == calib::text_of(hoop));
  CHECK(folder.entries() == 2);
}

TEST_CASE("what is not there or no plain file is said so", "[files][disk][errors]") {
  const TemporaryFolder folder;
  const fs::path none = folder.path / "none.toml";
  CHECK(error_of([&] { calib::load_station(none); }) == none.string() + ": there is no such file; check its name");
  CHECK(error_of([&] { calib::load_hoop(folder.path); }) ==
        folder.path.string() + ": is not a plain file; name a TOML file");
  folder.put("huge.toml", std::string(5u << 20, '#'));
  CHECK(error_of([&] { calib::load_hoop(folder.path / "huge.toml"); }).find("larger than 4 MB") != std::string::npos);
  folder.put("empty.toml", "");
  CHECK(error_of([&] {
          calib::load_hoop(folder.path / "empty.toml");
        }).starts_with((folder.path / "empty.toml").string() + ":1: a hoop file has no 'name'"));
}

// Guarantees: what load refuses is never saved. Example failure: a NaN from a failed calibration overwrites a good
// file.
TEST_CASE("a station or hoop that load would refuse is not saved", "[files][disk][errors]") {
  const TemporaryFolder folder;
  const fs::path file = folder.path / "station.toml";
  vision::Station station = calib::station_from_text(samples::kStation, "");
  calib::save_station(station, file);
  const std::string before = TemporaryFolder::content(file);
  station.lens.fx = std::nan("");
  CHECK(error_of([&] { calib::save_station(station, file); }).starts_with(file.string() + " (not saved):"));
  CHECK(TemporaryFolder::content(file) == before);
  CHECK(error_of([&] { calib::save_hoop({}, folder.path / "hoop.toml"); }).find("(not saved)") != std::string::npos);
  CHECK(folder.entries() == 1);
}

TEST_CASE("a file is replaced whole, keeps its permissions and its link", "[files][disk]") {
  const TemporaryFolder folder;
  const fs::path file = folder.path / "real.toml", link = folder.path / "link.toml";
  folder.put("real.toml", "old");
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write);
  fs::create_symlink("real.toml", link);
  calib::write_atomically(link, "new");
  CHECK(TemporaryFolder::content(file) == "new");
  CHECK(fs::is_symlink(link));
  CHECK(fs::status(file).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
  CHECK(folder.entries() == 2);
  calib::write_atomically(folder.path / "fresh.toml", "x");
  CHECK((fs::status(folder.path / "fresh.toml").permissions() & fs::perms::others_read) != fs::perms::none);
}

TEST_CASE("a write that cannot be leaves nothing behind", "[files][disk][errors]") {
  const TemporaryFolder folder;
  CHECK(error_of([&] { calib::write_atomically(folder.path / "no" / "such.toml", "x"); }).find("No such file") !=
        std::string::npos);
  CHECK(error_of([&] { calib::write_atomically(folder.path, "x"); }) ==
        folder.path.string() + ": is a folder; name a file");
  CHECK(folder.entries() == 0);
  CHECK(error_of([&] { calib::write_atomically("/dev/null/x.toml", "x"); }) != "no error");
}

// Guarantees: a disk that fills up in the middle leaves the old file whole and nothing beside it. The limit on a file's
// size stands in for the full disk: a write beyond it fails in the same place.
TEST_CASE("a write that stops half way leaves the old file whole", "[files][disk][errors]") {
  const TemporaryFolder folder;
  const fs::path file = folder.put("station.toml", "old");
  struct rlimit before {};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto old_handler = std::signal(SIGXFSZ, SIG_IGN);
  const struct rlimit small { 4096, before.rlim_max };
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  const std::string error = error_of([&] { calib::write_atomically(file, std::string(100000, 'x')); });
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &before) == 0);
  std::signal(SIGXFSZ, old_handler);
  CHECK(error.starts_with(file.string() + ": cannot be written (File too large); check the folder"));
  CHECK(TemporaryFolder::content(file) == "old");
  CHECK(folder.entries() == 1);
}
