// The guide from the box to the proof: what it says, the states that it reads from the files, and its screen.
#include <cstdlib>
#include <fstream>
#include <iostream>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <set>
#include <sstream>

#include "app/commands.h"
#include "app/guide/guide.h"
#include "app/guide/guide_view.h"
#include "app/guide/stage_drawing.h"
#include "app/guide/stage_state.h"
#include "app/guide/stage_words.h"
#include "app/hoops/hoop_store.h"
#include "app/places.h"
#include "app/proof/last_proof.h"
#include "app/render/demo_station.h"
#include "app/screen/window.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::StageId;
using app::StageState;

// A folder that a station is set up in, as far as a test brings it.
class Home {
 public:
  Home() : file_(folder_.path / "station.toml") {}
  const std::filesystem::path& file() const { return file_; }

  void with_lens() const {
    vision::Station station = app::demo_station();
    station.board_marks.clear();
    calib::save_station(station, file_);
  }
  void with_board() const { calib::save_station(app::demo_station(), file_); }
  void with_hoop() const { app::HoopStore(app::hoop_folder(file_)).save(app::demo_hoops().front(), false); }
  // As the command prove leaves it; `fingerprint` empty: of this station.
  void with_proof(const std::string& time_utc, const std::string& verdict, std::string fingerprint = {}) const {
    if (fingerprint.empty()) fingerprint = app::station_fingerprint(calib::load_station(file_));
    std::filesystem::create_directories(app::proof_folder(file_));
    std::ofstream(app::proof_folder(file_) / ("proof-" + time_utc.substr(0, 10) + ".json"))
        << "{\"" << app::kProofTimeKey << "\":\"" << time_utc << "\",\"" << app::kProofVerdictKey << "\":\"" << verdict
        << "\",\"" << app::kProofStationKey << "\":\"" << fingerprint << "\"}\n";
  }
  const TemporaryFolder& folder() const { return folder_; }

 private:
  TemporaryFolder folder_;
  std::filesystem::path file_;
};

// 2026-02-10T00:00:00Z, by `date -u -d 2026-02-10 +%s`.
constexpr std::time_t kNow = 1770681600;

StageState state_of(const std::vector<app::StageNow>& states, StageId id) {
  return states[static_cast<std::size_t>(id)].state;
}

std::vector<app::StageNow> all(StageState state) {
  return std::vector<app::StageNow>(app::kStageCount, app::StageNow{state, {}});
}

}  // namespace

TEST_CASE("every stage says what, why and how in a few short sentences", "[guide]") {
  REQUIRE(app::stages().size() == app::kStageCount);
  std::set<std::string> headlines;
  for (int i = 0; i < app::kStageCount; ++i) {
    const app::Stage& stage = app::stages()[static_cast<std::size_t>(i)];
    INFO(stage.name);
    CHECK(static_cast<int>(stage.id) == i);
    CHECK(headlines.insert(stage.headline).second);
    CHECK_FALSE(stage.why.empty());
    CHECK(stage.steps.size() >= 2);
    CHECK(stage.steps.size() <= 5);
    for (const std::string& step : stage.steps) {
      CHECK(step.size() <= 115);
      CHECK((step.back() == '.' || stage.id == StageId::print));
    }
  }
}

// Guarantees: what the guide tells to run can be run. Example failure: a command was renamed and the guide was not.
TEST_CASE("the guide's commands are the program's", "[guide]") {
  const TemporaryFolder folder;
  for (const app::Stage& stage : app::stages()) {
    if (stage.command.empty()) continue;
    std::vector<std::string> words = stage.command;
    words.emplace_back("--help");
    INFO(app::command_words(stage));
    std::ostringstream said;
    std::streambuf* const out = std::cout.rdbuf(said.rdbuf());
    const int code = app::run_words(words);
    std::cout.rdbuf(out);
    CHECK(code == 0);
    CHECK(said.str().find("hoopgauge " + stage.command.front()) != std::string::npos);
  }
  CHECK(app::run_words({"hoop", "no such"}) != 0);
}

// Guarantees: the states come from the files. Example failure: a station without marks counts as surveyed.
TEST_CASE("the stages' states follow the station's files", "[guide]") {
  const Home home;
  auto states = app::stage_states(home.file(), kNow);
  CHECK(app::first_open(states) == static_cast<int>(StageId::mount));
  CHECK(state_of(states, StageId::mount) == StageState::by_hand);
  CHECK(state_of(states, StageId::lens) == StageState::to_do);

  home.with_lens();
  states = app::stage_states(home.file(), kNow);
  CHECK(state_of(states, StageId::print) == StageState::done);
  CHECK(state_of(states, StageId::lens) == StageState::done);
  CHECK(state_of(states, StageId::stick) == StageState::by_hand);
  CHECK(state_of(states, StageId::board) == StageState::to_do);
  CHECK(app::first_open(states) == static_cast<int>(StageId::stick));

  home.with_board();
  states = app::stage_states(home.file(), kNow);
  CHECK(state_of(states, StageId::stick) == StageState::done);
  CHECK(state_of(states, StageId::board) == StageState::done);
  CHECK(states[static_cast<std::size_t>(StageId::board)].note == "6 marks");
  CHECK(app::first_open(states) == static_cast<int>(StageId::hoop));

  home.with_hoop();
  states = app::stage_states(home.file(), kNow);
  CHECK(states[static_cast<std::size_t>(StageId::hoop)].note == app::demo_hoops().front().name);
  CHECK(app::first_open(states) == static_cast<int>(StageId::proof));
  CHECK(state_of(states, StageId::proof) == StageState::to_do);

  home.with_proof("2026-01-20T12:00:00Z", "pass");
  states = app::stage_states(home.file(), kNow);
  CHECK(state_of(states, StageId::proof) == StageState::done);
  CHECK(app::first_open(states) == app::kStageCount);
}

TEST_CASE("a proof that is old, failed, or of another survey has to be done again", "[guide]") {
  const Home old;
  old.with_board();
  old.with_proof("2026-01-01T12:00:00Z", "pass");
  CHECK(state_of(app::stage_states(old.file(), kNow), StageId::proof) == StageState::stale);
  const Home failed;
  failed.with_board();
  failed.with_proof("2026-02-09T12:00:00Z", "fail");
  CHECK(state_of(app::stage_states(failed.file(), kNow), StageId::proof) == StageState::stale);
  const Home moved;
  moved.with_board();
  moved.with_proof("2026-02-09T12:00:00Z", "pass", "0123456789abcdef");
  CHECK(state_of(app::stage_states(moved.file(), kNow), StageId::proof) == StageState::stale);
}

TEST_CASE("a damaged file is to do, and its fault is told", "[guide][errors]") {
  const Home home;
  std::ofstream(home.file()) << "[camera]\nwidth = \"wide\"\n";
  const auto states = app::stage_states(home.file(), kNow);
  CHECK(state_of(states, StageId::lens) == StageState::to_do);
  CHECK(states[static_cast<std::size_t>(StageId::lens)].note.find("station.toml:2:") != std::string::npos);
  CHECK(state_of(states, StageId::proof) == StageState::to_do);
}

TEST_CASE("as text it names each stage, its state, its command and what comes next", "[guide]") {
  const Home home;
  home.with_lens();
  std::ostringstream out, err;
  app::GuideOptions options;
  options.station_file = home.file();
  options.text = true;
  CHECK(app::run_guide(options, {}, out, err) == 0);
  const std::string said = out.str();
  INFO(said);
  for (const app::Stage& stage : app::stages()) CHECK(said.find(stage.headline + " [") != std::string::npos);
  CHECK(said.find("Measure the lens [done]") != std::string::npos);
  CHECK(said.find("Run: hoopgauge board\n") != std::string::npos);
  CHECK(said.find("See the picture: hoopgauge lens\n") != std::string::npos);
  CHECK(said.find("Next: 5. Stick the board marks\n") != std::string::npos);
  std::istringstream lines(said);
  for (std::string line; std::getline(lines, line);) {
    if (line.find(home.file().string()) == std::string::npos) CHECK(line.size() <= 100);
  }
  CHECK(err.str().empty());
}

TEST_CASE("a step is started on the guide's station and screen", "[guide]") {
  app::LiveOptions live;
  live.window = true;
  live.rendered = true;
  live.size = {1024, 600};
  live.seconds = 5.0;  // the guide's own
  CHECK(app::command_for({"hoop", "teach"}, "/s/station.toml", live) ==
        std::vector<std::string>{"hoop", "teach", "--station", "/s/station.toml", "--window", "--rendered", "--size",
                                 "1024x600"});
  live = {};
  live.camera = "imx708";
  live.frames_dir = "/pictures";
  CHECK(app::command_for({"lens"}, "s.toml", live) ==
        std::vector<std::string>{"lens", "--station", "s.toml", "--camera", "imx708", "--frames", "/pictures"});
}

namespace {

class Screen {
 public:
  Screen(cv::Size size, std::vector<app::StageNow> states)
      : view(std::move(states), "/home/station/.local/share/hoopgauge/station.toml"),
        window_(app::Window::in_memory(size)),
        canvas_(window_->renderer()),
        text_(window_->renderer()) {}
  cv::Mat draw() {
    view.draw(canvas_, text_, window_->size());
    return window_->picture();
  }
  // The wish of a key after the screen was drawn.
  std::optional<app::GuideWish> key(SDL_Keycode code) {
    draw();
    return view.handle(app::key_event(code));
  }

  app::GuideView view;

 private:
  std::unique_ptr<app::Window> window_;
  app::Canvas canvas_;
  app::Text text_;
};

}  // namespace

TEST_CASE("the guide begins at the first stage that is not done, and moves about", "[guide]") {
  auto states = all(StageState::done);
  states[6].state = StageState::to_do;
  states[8].state = StageState::stale;
  Screen screen({1280, 800}, states);
  CHECK(screen.view.stage().id == StageId::board);
  CHECK(screen.key(SDLK_s) == app::GuideWish::start);
  CHECK_FALSE(screen.key(SDLK_PAGEUP));
  CHECK(screen.view.stage().id == StageId::lens);
  CHECK_FALSE(screen.key(SDLK_PAGEUP));
  CHECK(screen.view.stage().id == StageId::stick);
  CHECK_FALSE(screen.key(SDLK_s));  // by hand
  CHECK_FALSE(screen.key(SDLK_HOME));
  CHECK(screen.view.stage().id == StageId::board);
  for (int i = 0; i < 12; ++i) screen.key(SDLK_PAGEDOWN);
  CHECK(screen.view.stage().id == StageId::proof);
  for (int i = 0; i < 12; ++i) screen.key(SDLK_PAGEUP);
  CHECK(screen.view.stage().id == StageId::mount);
  CHECK(screen.key(SDLK_ESCAPE) == app::GuideWish::leave);
  screen.view.update(all(StageState::done));
  CHECK_FALSE(screen.key(SDLK_HOME));  // there is none
  CHECK(screen.view.stage().id == StageId::mount);
}

TEST_CASE("each stage has a drawing of its own", "[guide]") {
  std::vector<cv::Mat> drawn;
  for (const app::Stage& stage : app::stages()) {
    const auto window = app::Window::in_memory({400, 320});
    app::Canvas canvas(window->renderer());
    app::Text text(window->renderer());
    canvas.clear(app::theme::kGround);
    app::draw_stage(canvas, text, app::Scale(1280, 800), {0.0F, 0.0F, 800.0F, 640.0F}, stage.id);
    cv::Mat grey;
    cv::cvtColor(window->picture(), grey, cv::COLOR_BGR2GRAY);
    INFO(stage.name);
    CHECK(cv::countNonZero(grey > 60) > 1500);
    for (const cv::Mat& other : drawn) CHECK(cv::countNonZero(cv::abs(grey - other) > 60) > 1500);
    drawn.push_back(grey);
  }
}

// Guarantees: no state is told by colour alone. Example failure: "do it again" is the tick in another colour.
TEST_CASE("the four states look different without their colours", "[guide]") {
  std::vector<cv::Mat> lists;
  for (const StageState state : {StageState::to_do, StageState::by_hand, StageState::stale, StageState::done}) {
    Screen screen({1280, 800}, all(state));
    cv::Mat grey;
    cv::cvtColor(screen.draw(), grey, cv::COLOR_BGR2GRAY);
    const app::PageLayout l = app::page_layout(1280, 800, 5, app::ButtonsIn::row);
    const cv::Mat signs =
        grey(cv::Rect(cvRound(l.side.x), cvRound(l.side.y), cvRound(l.scale.mm(9.0)), cvRound(l.side.h))) > 100;
    for (const cv::Mat& other : lists) {
      const cv::Mat differs = signs != other;
      CHECK(cv::countNonZero(differs) > 200);
    }
    lists.push_back(signs.clone());
    CHECK_FALSE(app::word(state).empty());
  }
}

// For looking at: HOOPGAUGE_PICTURES=DIR writes the screens.
TEST_CASE("guide screens for looking at", "[.pictures]") {
  const char* folder = std::getenv("HOOPGAUGE_PICTURES");
  REQUIRE(folder != nullptr);
  auto states = all(StageState::done);
  states[5].note = "2304 x 1296 pixels";
  states[7].state = StageState::to_do;
  states[8] = {StageState::stale, "Proved on 2026-01-01, more than a month ago: prove it again."};
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080), cv::Size(600, 1024)}) {
    Screen screen(size, states);
    for (int i = 0; i < 12; ++i) screen.key(SDLK_PAGEUP);
    for (int i = 0; i < app::kStageCount; ++i) {
      cv::imwrite(std::string(folder) + "/guide_" + std::to_string(size.width) + "_" + std::to_string(i) + ".png",
                  screen.draw());
      screen.key(SDLK_PAGEDOWN);
    }
  }
}
