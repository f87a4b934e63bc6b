// The survey of the board on rendered frames of the calibration sheet, and the command around it.
#include <filesystem>
#include <map>
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/commands/board.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/setup_play.h"
#include "app/render/shown_sheet.h"
#include "app/setup/board_step.h"
#include "app/setup/board_words.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

using namespace app;
namespace fs = std::filesystem;

namespace {

const vision::Hoop& hoop() {
  static const vision::Hoop kHoop = demo_hoops().front();
  return kHoop;
}

// Rendered once: the board with the sheet at five places, and where it lay first.
struct Board {
  std::vector<cv::Mat> frames;
  vision::Pose2 board_from_sheet;
};

SetupPlay play_of(const vision::Station& station) {
  static const ScenePage kPage = shown_sheet(SetupScript::board, 1.0);
  return {SetupScript::board, station, hoop(), kPage, 3};
}

const Board& board() {
  static const Board kBoard = [] {
    const SetupPlay play = play_of(demo_station());
    Renderer renderer(demo_station(), hoop());
    Board out;
    for (int i = 0; i < play.stops(); ++i)
      out.frames.push_back(renderer.render(play.still(i), static_cast<std::uint64_t>(i)).clone());
    const PagePlace& first = play.stop(0).page;
    out.board_from_sheet = {{first.origin_mm[0], first.origin_mm[1]},
                            std::atan2(first.rotation(1, 0), first.rotation(0, 0))};
    return out;
  }();
  return kBoard;
}

// A station that knows its lens only.
fs::path station_with_lens(const TemporaryFolder& folder) {
  vision::Station station = demo_station();
  station.board_marks.clear();
  const fs::path file = folder.path / "station.toml";
  calib::save_station(station, file);
  return file;
}

std::unique_ptr<SetupStep> step_for(const fs::path& file, bool keep_frame = false) {
  BoardStepOptions options;
  options.station_file = file;
  options.keep_frame = keep_frame;
  return make_board_step(options);
}

void check_against_truth(const vision::Station& found, const vision::Pose2& board_from_sheet) {
  REQUIRE(found.board_marks.size() == demo_station().board_marks.size());
  for (const vision::BoardMark& truth : demo_station().board_marks) {
    const auto at = std::find_if(found.board_marks.begin(), found.board_marks.end(),
                                 [&](const vision::BoardMark& mark) { return mark.id == truth.id; });
    REQUIRE(at != found.board_marks.end());
    const vision::Pose2 there = vision::compose(vision::inverse(board_from_sheet),
                                                {{truth.x_mm, truth.y_mm}, truth.angle_deg * vision::kRadPerDeg});
    INFO("mark " << truth.id << " " << at->x_mm - there.origin_mm.x << " " << at->y_mm - there.origin_mm.y);
    CHECK(std::hypot(at->x_mm - there.origin_mm.x, at->y_mm - there.origin_mm.y) <= 0.1);
    // The demo's marks lie along the pixels' rows, where a tag's sides are at their worst.
    CHECK_THAT(at->angle_deg, WithinAbs(there.angle_rad * vision::kDegPerRad, 0.06));
    CHECK(at->u_mm > 0.02);
    CHECK(at->u_mm < 0.15);
  }
}

}  // namespace

// Guarantees: pictures in, station file out, marks within 0.1 mm of the rendered truth. Example failure: the lens or
// the print scale of the file lost on the way.
TEST_CASE("pictures of the sheet on the rendered board give its marks", "[board_step]") {
  const TemporaryFolder folder;
  const fs::path file = station_with_lens(folder);
  const auto step = step_for(file);
  for (std::size_t i = 0; i < board().frames.size(); ++i) {
    const StepAdvice advice = step->take(board().frames[i], static_cast<double>(i), "shot.jpg");
    CHECK(advice.taken);
    CHECK(advice.headline == "sheet and 6 board marks");
    CHECK(advice.complete == (i + 1 == board().frames.size()));
    CHECK(advice.marks.size() >= 7);
  }
  const StepOutcome outcome = step->finish();
  CHECK(outcome.good);
  CHECK(outcome.files == std::vector<fs::path>{file});
  CHECK_FALSE(outcome.picture.empty());
  const vision::Station found = calib::load_station(file);
  check_against_truth(found, board().board_from_sheet);
  CHECK(found.lens.fx == demo_station().lens.fx);
  REQUIRE(found.surveyed_camera);
  // The file before is kept beside it.
  int kept = 0;
  for (const auto& entry : fs::directory_iterator(folder.path))
    kept += entry.path().filename().string().starts_with("station.toml.") ? 1 : 0;
  CHECK(kept == 1);
}

// Guarantees: live, the step asks for the sheet, waits until it rests, keeps each place once, and completes. Example
// failure: two pictures of one place, or a picture while a hand moves the sheet.
TEST_CASE("live frames are kept at rest, at new places only", "[board_step]") {
  const TemporaryFolder folder;
  const auto step = step_for(station_with_lens(folder));
  const auto& frames = board().frames;
  double time_s = 0.0;
  int taken = 0;
  const auto show = [&](const cv::Mat& grey, int count) {
    StepAdvice advice;
    for (int i = 0; i < count; ++i) {
      advice = step->take(grey, time_s, "");
      taken += advice.taken ? 1 : 0;
      time_s += 0.2;
    }
    return advice;
  };
  Renderer renderer(demo_station(), hoop());
  Scene bare = play_of(demo_station()).still(0);
  bare.pages.clear();
  CHECK(show(renderer.render(bare, 1), 1).headline == "Lay down the sheet");
  CHECK(show(frames[0], 1).headline == "Let it lie");
  CHECK(show(frames[1], 1).headline == "Let it lie");  // it was moved
  CHECK(show(frames[0], 3).headline == "Let it lie");
  CHECK(taken == 0);
  CHECK(show(frames[0], 1).headline == "Taken");
  const StepAdvice again = show(frames[0], 3);
  CHECK(again.headline == "Move the sheet");
  CHECK(std::any_of(again.marks.begin(), again.marks.end(),
                    [](const StepMark& mark) { return mark.kind == StepMark::Kind::aim; }));
  CHECK(taken == 1);
  CHECK(step->undo());
  CHECK_FALSE(step->undo());
  taken = 0;
  for (const cv::Mat& grey : frames) show(grey, 5);
  CHECK(taken == 5);
  CHECK(show(frames[4], 1).complete);
  CHECK(step->finish().good);
}

TEST_CASE("a mark under the sheet, one there twice and too few marks are told", "[board_step]") {
  const TemporaryFolder folder;
  const auto step = step_for(station_with_lens(folder));
  for (int i = 0; i < 4; ++i) step->take(board().frames[0], 0.2 * i, "");
  Scene scene = play_of(demo_station()).still(0);
  Renderer renderer(demo_station(), hoop());
  scene.pages[0].place.origin_mm[0] -= 70.0;
  scene.pages[0].place.origin_mm[1] += 60.0;
  const StepAdvice covered = step->take(renderer.render(scene, 1), 2.0, "");
  CHECK(covered.headline == "A mark is covered");
  CHECK(covered.sentence.find("400") != std::string::npos);

  vision::Station twin = demo_station();
  twin.board_marks.push_back({401, -199.0, 70.0, 5.0, 30.0});
  const StepAdvice twice = step->take(Renderer(twin, hoop()).render(play_of(demo_station()).still(0), 1), 3.0, "");
  CHECK(twice.headline == "A mark is there twice");
  CHECK(twice.sentence.find("401") != std::string::npos);

  vision::Station three = demo_station();
  three.board_marks.resize(3);
  const cv::Mat few = Renderer(three, hoop()).render(play_of(demo_station()).still(0), 1);
  CHECK(step->take(few, 4.0, "").headline == "Too few board marks");
  const auto fresh = step_for(folder.path / "station.toml");
  CHECK(fresh->take(few, 0.0, "few.jpg").taken);
  try {
    fresh->finish();
    FAIL("three marks were surveyed");
  } catch (const StepError& error) {
    CHECK(std::string(error.what()).find("only board marks 400, 401 and 402 are of use and four") == 0);
  }
  CHECK(calib::load_station(folder.path / "station.toml", calib::StationNeeds::lens).board_marks.empty());
}

TEST_CASE("frames of another size and empty ones never throw, and finishing says why", "[board_step][errors]") {
  const TemporaryFolder folder;
  const auto step = step_for(station_with_lens(folder));
  CHECK_THROWS_AS(step->finish(), StepError);
  CHECK(step->take(cv::Mat(480, 640, CV_8UC1, cv::Scalar(90)), 0.0, "").headline == "Another picture size");
  CHECK_FALSE(step->take(cv::Mat(1296, 2304, CV_8UC1, cv::Scalar(90)), 0.0, "grey.png").taken);
  try {
    step->finish();
    FAIL("nothing was surveyed");
  } catch (const StepError& error) {
    CHECK(std::string(error.what()).find("640 x 480") != std::string::npos);
  }
  CHECK_THROWS_AS(step_for(folder.path / "none.toml"), calib::FileError);
}

// Guarantees: the command from pictures on the disk to lines, list and frame. Example failure: `board show` taken for a
// picture's name.
TEST_CASE("hoopgauge board surveys pictures, lists the marks and moves the frame", "[board_step][commands]") {
  const TemporaryFolder folder;
  BoardOptions options;
  options.station_file = station_with_lens(folder);
  fs::create_directory(folder.path / "shots");
  for (std::size_t i = 0; i < 3; ++i)
    REQUIRE(cv::imwrite((folder.path / "shots" / (std::to_string(i) + ".png")).string(), board().frames[i],
                        {cv::IMWRITE_PNG_COMPRESSION, 1}));
  options.frames = {(folder.path / "shots").string()};
  std::ostringstream out, err;
  REQUIRE(run_board(options, out, err) == 0);
  INFO(out.str() << err.str());
  CHECK(out.str().find("6 board marks surveyed") != std::string::npos);
  CHECK(out.str().find("flatness: ") != std::string::npos);
  const vision::Station first = calib::load_station(*options.station_file);
  check_against_truth(first, board().board_from_sheet);

  std::ostringstream shown;
  REQUIRE(run_board_show(options.station_file, shown, err) == 0);
  CHECK(shown.str().find(mark_line(first.board_marks[0])) != std::string::npos);

  // Origin in the middle of the picture: where the camera looks, a few mm from the camera's foot.
  BoardFrameOptions frame{options.station_file, "1143.8,655.2", "1643.8,655.2", (folder.path / "shots/0.png").string()};
  REQUIRE(run_board_frame(frame, out, err) == 0);
  const vision::Station pointed = calib::load_station(*options.station_file);
  REQUIRE(pointed.surveyed_camera);
  const cv::Point2d middle = vision::image_from_board(pointed.lens, *pointed.surveyed_camera, {0.0, 0.0, 0.0});
  const cv::Point2d right = vision::image_from_board(pointed.lens, *pointed.surveyed_camera, {100.0, 0.0, 0.0});
  CHECK_THAT(middle.x, WithinAbs(1143.8, 0.3));
  CHECK_THAT(middle.y, WithinAbs(655.2, 0.3));
  CHECK_THAT(right.y, WithinAbs(655.2, 0.5));
  CHECK(right.x > middle.x);
  frame = {options.station_file, "mark 403", "mark 402", std::nullopt};
  REQUIRE(run_board_frame(frame, out, err) == 0);
  CHECK_THAT(calib::load_station(*options.station_file).board_marks[3].x_mm, WithinAbs(0.0, 1e-9));
  CHECK_THAT(calib::load_station(*options.station_file).board_marks[2].y_mm, WithinAbs(0.0, 1e-9));

  // Surveyed anew in the frame that was pointed out.
  options.keep_frame = true;
  REQUIRE(run_board(options, out, err) == 0);
  CHECK_THAT(calib::load_station(*options.station_file).board_marks[3].x_mm, WithinAbs(0.0, 0.01));
  CHECK_THAT(calib::load_station(*options.station_file).board_marks[2].y_mm, WithinAbs(0.0, 0.01));

  for (const auto& [origin, toward] : std::map<std::string, std::string>{
           {"mark 449", "mark 400"}, {"12", "mark 400"}, {"1,2,3", "mark 400"}, {"1,2", "x,y"}, {"0,0", "0,3"}}) {
    std::ostringstream fault;
    CHECK(run_board_frame({options.station_file, origin, toward, std::nullopt}, out, fault) == 2);
    CHECK(fault.str().find("hoopgauge: --") == 0);
  }
}
