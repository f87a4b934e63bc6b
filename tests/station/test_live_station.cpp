// The live station in a real window, from the first choice to the record on disk. Everything waits for what the screen
// or a file shows.
#include <algorithm>
#include <csignal>
#include <fstream>
#include <opencv2/imgcodecs.hpp>
#include <thread>

#include "app/hoops/hoop_store.h"
#include "app/places.h"
#include "app/records/piece_log.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/work_cycle.h"
#include "app/settings.h"
#include "app/views/work_layout.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/station/shown.h"

using namespace std::chrono_literals;
using station::part;
using station::share_of;
using station::wait_for;

namespace {

const cv::Size kSize(1280, 800);

// A station whose files and frames are the test's: one piece of work, its frames played a second each.
class PlayedStation {
 public:
  PlayedStation() {
    calib::save_station(app::demo_station(), file);
    app::HoopStore(app::hoop_folder(file)).save(hoop_, false);
    std::ofstream(folder_.path / "operators.toml") << "[[operator]]\nname = \"Operator A\"\n\n"
                                                      "[[operator]]\nname = \"Operator B\"\nbadge = 481\n";
    std::filesystem::create_directory(frames);
    constexpr double kSet_s = 2.8, kLaid_s = 10.0, kHeld_s = 14.0, kGone_s = 18.5;
    take(kSet_s, 4);
    take(kLaid_s, 2);
    take(kHeld_s, 14);
    take(kGone_s, 5);
  }

  std::vector<std::string> command() const {
    return {HOOPGAUGE_PROGRAM, "station",     "--window", "--size",       "1280x800",
            "--station",       file.string(), "--frames", frames.string()};
  }
  // What the station has on disk of its pieces, as (operator, tries).
  std::vector<std::pair<std::string, int>> pieces() const {
    std::vector<std::pair<std::string, int>> all;
    if (!std::filesystem::exists(app::log_file(file))) return all;
    for (const app::PieceRecord& record : app::PieceLog(app::log_file(file)).newest(100))
      all.emplace_back(record.operator_name, record.piece.tries);
    return all;
  }
  app::Settings settings() const { return app::load_settings(app::settings_file(file)); }

 private:
  TemporaryFolder folder_;

 public:
  const std::filesystem::path file = folder_.path / "station.toml", frames = folder_.path / "frames";

 private:
  void take(double script_s, int times) {
    const cv::Mat grey = renderer_.render(work_.at(script_s).scene, 1);
    std::filesystem::path first;
    for (int i = 0; i < times; ++i) {
      const std::filesystem::path name = frames / (std::to_string(100 + number_++) + ".png");
      if (i == 0) {
        REQUIRE(cv::imwrite(name.string(), grey, {cv::IMWRITE_PNG_COMPRESSION, 1}));
        first = name;
      } else {
        std::filesystem::create_hard_link(first, name);
      }
    }
  }

  vision::Hoop hoop_ = app::demo_hoops().front();
  app::WorkCycle work_{hoop_, app::demo_camera_place(), 3};
  app::Renderer renderer_{app::demo_station(), hoop_};
  int number_ = 0;
};

// False after two minutes.
bool wait_until(const std::function<bool()>& wanted) {
  const auto start = std::chrono::steady_clock::now();
  while (std::chrono::steady_clock::now() - start < 120s) {
    if (wanted()) return true;
    std::this_thread::sleep_for(200ms);
  }
  return false;
}

// Text in the colour of what is within tolerance, or the move's, stands in the digits' rows.
bool shows_digits(const cv::Mat& screen) {
  const app::WorkLayout layout = app::work_layout(kSize.width, kSize.height);
  return share_of(part(screen, layout.rows[0]), app::theme::kText) > 0.02;
}

// The button that takes the held reading is the light one.
bool can_take(const cv::Mat& screen) {
  SDL_FRect first = app::work_layout(kSize.width, kSize.height).deeds;
  first.w /= 3.0F;
  return share_of(part(screen, first), app::theme::kText) > 0.4;
}

}  // namespace

// Guarantees: what an operator does in a shift works in the real window: choose who, run a piece, read it again, change
// the units; and the record is on disk with the right name. Example failure: a key reaches the wrong view.
TEST_CASE("an operator is chosen, a piece is run and read again, and units are changed", "[station][live]") {
  if (!station::can_show()) return;
  const PlayedStation played;
  const station::Display display(kSize);
  station::Process program(played.command(), station::on(display));
  REQUIRE(station::wait_for_picture(display));

  // By touch to the operators, by key to the second one (0 is nobody).
  const app::WorkLayout layout = app::work_layout(kSize.width, kSize.height);
  REQUIRE(station::click(display, {layout.who.x + 20.0F, layout.who.y + layout.who.h / 2.0F}));
  REQUIRE(wait_until([&] {
    REQUIRE(station::press_key(display, "2"));
    return played.settings().operator_name == "Operator B";
  }));
  REQUIRE(station::press_key(display, "Escape"));

  // A first piece, without a touch.
  REQUIRE(wait_for(display, shows_digits));
  REQUIRE(wait_until([&] { return !played.pieces().empty(); }));
  CHECK(played.pieces().back() == std::pair<std::string, int>("Operator B", 1));

  // A next one is read again, once its reading is held. On a slow machine the piece may be lifted before the key comes;
  // then it is the one after. One key a piece, so two tries and no more.
  std::size_t done = 0;
  const std::pair<std::string, int> again("Operator B", 2);
  REQUIRE(wait_until([&] {
    const auto pieces = played.pieces();
    if (std::find(pieces.begin(), pieces.end(), again) != pieces.end()) return true;
    if (pieces.size() != done && can_take(display.picture())) {
      REQUIRE(station::press_key(display, "r"));
      done = pieces.size();
    }
    return false;
  }));

  // Units in the settings, from the menu.
  REQUIRE(station::press_key(display, "m"));
  REQUIRE(station::press_key(display, "s"));
  REQUIRE(wait_until([&] {
    REQUIRE(station::press_key(display, "i"));
    return played.settings().units == app::Units::inch;
  }));

  program.signal(SIGTERM);
  const auto code = program.wait(2000ms);
  INFO(program.errors());
  CHECK(code == 0);
}

// Guarantees: a station that is set up waits for its camera, says so, and never shows rendered frames instead.
TEST_CASE("a camera that is not there is named, and nothing is shown in its place", "[station][live]") {
  if (!station::can_show()) return;
  const PlayedStation played;
  const station::Display display(kSize);
  auto environment = station::on(display);
  environment["STATE_DIRECTORY"] = played.file.parent_path().string();
  station::Process program({HOOPGAUGE_PROGRAM, "station", "--window", "--size", "1280x800"}, environment);
  const app::WorkLayout layout = app::work_layout(kSize.width, kSize.height);
  CHECK(wait_for(display, [&](const cv::Mat& screen) {
    return share_of(part(screen, layout.headline), app::theme::kTrouble) > 0.01;
  }));
  CHECK(program.output().find("rendered") == std::string::npos);
  program.signal(SIGTERM);
  CHECK(program.wait(2000ms) == 0);
}

// Guarantees: frames that end are named on the screen, before the program ends with the same words.
TEST_CASE("frames that stop are named", "[station][live]") {
  if (!station::can_show()) return;
  const PlayedStation played;
  const station::Display display(kSize);
  station::Process program(played.command(), station::on(display));
  REQUIRE(wait_for(display, shows_digits));
  std::filesystem::remove_all(played.frames);
  const app::WorkLayout layout = app::work_layout(kSize.width, kSize.height);
  CHECK(wait_for(display, [&](const cv::Mat& screen) {
    return share_of(part(screen, layout.headline), app::theme::kTrouble) > 0.01;
  }));
  CHECK(program.wait(60s) == 1);
  CHECK(program.errors().find(played.frames.string()) != std::string::npos);
}

// Guarantees: a power cut loses at most the piece in hand. Example failure: the record waits in memory for the end.
TEST_CASE("a station that is killed keeps every piece but the one in hand", "[station][live]") {
  if (!station::can_show()) return;
  const PlayedStation played;
  const station::Display display(kSize);
  station::Process program(played.command(), station::on(display));
  REQUIRE(wait_until([&] { return !played.pieces().empty(); }));
  program.signal(SIGKILL);
  CHECK(program.wait(10s).has_value());
  const auto kept = played.pieces();
  CHECK(kept.size() == 1);
  // And the next start goes on beside it.
  station::Process again(played.command(), station::on(display));
  CHECK(wait_until([&] { return played.pieces().size() >= 2; }));
}
