// Load, save and the sample files, on a real disk.
#include <sys/stat.h>
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"

namespace fs = std::filesystem;

namespace {

// A folder of its own, gone afterwards.
struct Folder {
  Folder() {
    std::string name = (fs::temp_directory_path() / "hoopgauge.XXXXXX").string();
    if (!::mkdtemp(name.data())) throw std::runtime_error("no temporary folder");
    path = name;
  }
  ~Folder() { fs::remove_all(path); }
  std::size_t entries() const {
    return static_cast<std::size_t>(std::distance(fs::directory_iterator(path), fs::directory_iterator()));
  }
  fs::path path;
};

void put(const fs::path& file, const std::string& text) { std::ofstream(file, std::ios::binary) << text; }

std::string got(const fs::path& file) {
  std::ostringstream out;
  out << std::ifstream(file, std::ios::binary).rdbuf();
  return out.str();
}

template <class Action>
std::string error_of(Action action) {
  try {
    action();
  } catch (const calib::FileError& error) {
    return error.what();
  }
  return "no error";
}

}  // namespace

TEST_CASE("files are saved and loaded again", "[files][disk]") {
  const Folder folder;
  const vision::Station station = calib::station_from_text(samples::kStation, "");
  const vision::Hoop hoop = calib::hoop_from_text(samples::kHoop, "");
  calib::save_station(station, folder.path / "station.toml");
  calib::save_hoop(hoop, folder.path / "hoop.toml");
  CHECK(calib::text_of(calib::load_station(folder.path / "station.toml")) == calib::text_of(station));
  CHECK(calib::text_of(calib::load_hoop(folder.path / "hoop.toml")) == calib::text_of(hoop));
  CHECK(folder.entries() == 2);
}

TEST_CASE("what is not there or no plain file is said so", "[files][disk][errors]") {
  const Folder folder;
  const fs::path none = folder.path / "none.toml";
  CHECK(error_of([&] { calib::load_station(none); }) == none.string() + ": there is no such file; check its name");
  CHECK(error_of([&] { calib::load_hoop(folder.path); }) ==
        folder.path.string() + ": is not a plain file; name a TOML file");
  put(folder.path / "huge.toml", std::string(5u << 20, '#'));
  CHECK(error_of([&] { calib::load_hoop(folder.path / "huge.toml"); }).find("larger than 4 MB") != std::string::npos);
  put(folder.path / "empty.toml", "");
  CHECK(error_of([&] {
          calib::load_hoop(folder.path / "empty.toml");
        }).starts_with((folder.path / "empty.toml").string() + ":1: a hoop file has no 'name'"));
}

// Guarantees: what load refuses is never saved. Example failure: a NaN from a failed calibration overwrites a good
// file.
TEST_CASE("a station or hoop that load would refuse is not saved", "[files][disk][errors]") {
  const Folder folder;
  const fs::path file = folder.path / "station.toml";
  vision::Station station = calib::station_from_text(samples::kStation, "");
  calib::save_station(station, file);
  const std::string before = got(file);
  station.lens.fx = std::nan("");
  CHECK(error_of([&] { calib::save_station(station, file); }).starts_with(file.string() + " (not saved):"));
  CHECK(got(file) == before);
  CHECK(error_of([&] { calib::save_hoop({}, folder.path / "hoop.toml"); }).find("(not saved)") != std::string::npos);
  CHECK(folder.entries() == 1);
}

TEST_CASE("a file is replaced whole, keeps its permissions and its link", "[files][disk]") {
  const Folder folder;
  const fs::path file = folder.path / "real.toml", link = folder.path / "link.toml";
  put(file, "old");
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write);
  fs::create_symlink("real.toml", link);
  calib::write_atomically(link, "new");
  CHECK(got(file) == "new");
  CHECK(fs::is_symlink(link));
  CHECK(fs::status(file).permissions() == (fs::perms::owner_read | fs::perms::owner_write));
  CHECK(folder.entries() == 2);
  calib::write_atomically(folder.path / "fresh.toml", "x");
  CHECK((fs::status(folder.path / "fresh.toml").permissions() & fs::perms::others_read) != fs::perms::none);
}

TEST_CASE("a write that cannot be leaves nothing behind", "[files][disk][errors]") {
  const Folder folder;
  CHECK(error_of([&] { calib::write_atomically(folder.path / "no" / "such.toml", "x"); }).find("No such file") !=
        std::string::npos);
  CHECK(error_of([&] { calib::write_atomically(folder.path, "x"); }) ==
        folder.path.string() + ": is a folder; name a file");
  CHECK(folder.entries() == 0);
  CHECK(error_of([&] { calib::write_atomically("/dev/null/x.toml", "x"); }) != "no error");
}
