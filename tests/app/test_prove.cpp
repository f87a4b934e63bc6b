// Guarantees: the proof sheet before the rendered camera is read, sorted by place and turn, and judged; a sticker that
// was printed out of place is the sheet's fault and not the station's.
// Example failure: the second position is counted as a new place, or the sheet's fault fails the station.
#include <nlohmann/json.hpp>
#include <sstream>

#include "app/commands/prove.h"
#include "app/proof/last_proof.h"
#include "app/proof/proof_aims.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/setup_play.h"
#include "app/render/shown_sheet.h"
#include "app/setup/proof_step.h"
#include "app/sheets/sheet_picture.h"
#include "calib/files.h"
#include "calib/proof_sheet.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

constexpr double kPxPerMm = 10.0;
constexpr double kMovedMm = 0.4;

// Sticker 96 printed further to the right than designed.
cv::Mat1b with_moved_sticker(const cv::Mat1b& sheet) {
  const calib::ProofSticker& sticker = calib::kProofStickers[1];
  const int half = static_cast<int>(27.0 * kPxPerMm);
  const cv::Point middle(static_cast<int>(sheet.cols / 2 + kPxPerMm * sticker.x_mm),
                         static_cast<int>(sheet.rows / 2 - kPxPerMm * sticker.y_mm));
  const cv::Rect around(middle.x - half, middle.y - half, 2 * half, 2 * half);
  cv::Mat1b moved = sheet.clone();
  // The corner's ring stays: only what is within the ring moves.
  const cv::Rect inner(sheet.cols / 2 - 690, sheet.rows / 2 - 840, 1380, 1680);
  const cv::Rect from = around & inner;
  const cv::Rect to = (from + cv::Point(static_cast<int>(kMovedMm * kPxPerMm), 0)) & inner;
  moved(from).setTo(255);
  sheet(cv::Rect(from.tl(), to.size())).copyTo(moved(to));
  return moved;
}

// Stills of two places, upright and turned at each.
std::vector<cv::Mat> pictures(const vision::Station& station, const cv::Mat1b& sheet) {
  const auto page = std::make_shared<const app::PrintedPage>(app::PrintedPage{sheet, kPxPerMm});
  const vision::Hoop hoop = app::demo_hoops().front();
  app::Renderer renderer(station, hoop);
  const app::SetupPlay play(app::SetupScript::proof, station, hoop,
                            app::shown_sheet(app::SetupScript::proof, page, 1.0), 3);
  std::vector<cv::Mat> result;
  for (const int stop : {0, 1, 4, 5}) result.push_back(renderer.render(play.still(stop), 11).clone());
  return result;
}

struct Proving {
  TemporaryFolder folder;
  vision::Station station = app::demo_station();
  std::unique_ptr<app::SetupStep> step;

  explicit Proving(int places = 2, int readings = 1) {
    app::ProofStepOptions options;
    options.station_file = folder.path / "station.toml";
    options.places = places;
    options.readings = readings;
    step = app::make_proof_step(station, options);
  }
};

const std::vector<cv::Mat>& plain_pictures() {
  static const std::vector<cv::Mat> kPictures =
      pictures(app::demo_station(), app::sheet_picture(app::SetupSheet::proof, app::Paper::a4, kPxPerMm));
  return kPictures;
}

}  // namespace

TEST_CASE("pictures of the proof sheet are sorted by themselves and the demo station passes", "[proof]") {
  Proving proving;
  for (std::size_t i = 0; i < 4; ++i) {
    const app::StepAdvice advice = proving.step->take(plain_pictures()[i], 0.0, std::to_string(i).append(".png"));
    INFO(advice.headline);
    CHECK(advice.taken);
    CHECK(advice.complete == (i == 3));
  }
  const app::StepOutcome outcome = proving.step->finish();
  INFO(outcome.headline);
  CHECK(outcome.good);
  CHECK(outcome.files.size() == 2);
  CHECK(outcome.picture.type() == CV_8UC3);
  const auto json = nlohmann::json::parse(TemporaryFolder::content(outcome.files[1]));
  CHECK(json["places"].size() == 2);
  CHECK(json["missing"].empty());
  CHECK(app::latest_proof(proving.folder.path / "station.toml", proving.station).state == app::LastProof::State::holds);
}

TEST_CASE("what the rendered station proves is not kept", "[proof]") {
  Proving proving;
  app::ProofStepOptions options;
  options.station_file = proving.folder.path / "station.toml";
  options.places = 2, options.readings = 1;
  options.rendered = std::make_shared<std::atomic<bool>>(true);
  const auto step = app::make_proof_step(proving.station, options);
  for (const cv::Mat& picture : plain_pictures()) CHECK(step->take(picture, 0.0, "p").taken);
  const app::StepOutcome outcome = step->finish();
  CHECK(outcome.good);
  CHECK(outcome.files.empty());
  CHECK(outcome.lines.front().find("nothing is kept") != std::string::npos);
  CHECK(proving.folder.entries() == 0);
}

TEST_CASE("a sticker printed out of place is the sheet's", "[proof]") {
  Proving proving;
  const cv::Mat1b sheet = app::sheet_picture(app::SetupSheet::proof, app::Paper::a4, kPxPerMm);
  for (const cv::Mat& picture : pictures(proving.station, with_moved_sticker(sheet)))
    CHECK(proving.step->take(picture, 0.0, "p").taken);
  const app::StepOutcome outcome = proving.step->finish();
  const auto json = nlohmann::json::parse(TemporaryFolder::content(outcome.files[1]));
  for (const auto& place : json["places"])
    for (const auto& sticker : place["stickers"]) {
      const bool moved = sticker["number"] == calib::kProofStickers[1].number;
      CHECK_THAT(sticker["sheet_x_mm"].get<double>(), WithinAbs(moved ? kMovedMm : 0.0, 0.02));
      CHECK_THAT(sticker["sheet_y_mm"].get<double>(), WithinAbs(0.0, 0.02));
      CHECK_THAT(sticker["station_x_mm"].get<double>(), WithinAbs(0.0, 0.02));
    }
  // The straight part of it could be the station's, and counts against it.
  CHECK(json["offset_mm"]["shared_with_sheet"].get<double>() > 0.1);
  CHECK(json["offset_mm"]["largest_error"].get<double>() > 0.1);
  CHECK(json["offset_mm"]["bias"].get<double>() < 0.01);
}

TEST_CASE("live, the sheet must lie still, and the guide leads through places and turns", "[proof]") {
  Proving proving;
  const std::vector<cv::Mat>& at = plain_pictures();
  double time_s = 0.0;
  const auto show = [&](std::size_t picture, double for_s) {
    app::StepAdvice advice;
    for (const double end = time_s + for_s; time_s < end - 1e-9; time_s += 0.25)
      advice = proving.step->take(at[picture], time_s, "");
    return advice;
  };
  app::StepAdvice advice = show(0, 0.25);
  CHECK(advice.headline == "Let the sheet lie still");
  CHECK_FALSE(advice.taken);
  CHECK(advice.marks.size() > 5);
  advice = show(0, 0.5);
  CHECK(advice.taken);
  CHECK(advice.headline == "Turn the sheet by half a turn, here");
  CHECK_THAT(advice.progress, WithinAbs(0.25, 1e-9));
  CHECK_FALSE(show(0, 0.25).taken);
  CHECK(show(1, 0.75).headline == "Slide the sheet to the next place");
  CHECK(show(2, 0.75).taken);
  CHECK(proving.step->undo());
  CHECK(show(3, 0.75).headline == "Turn the sheet by half a turn, here");
  advice = show(2, 0.75);
  CHECK(advice.headline == "All readings are there");
  CHECK(advice.complete);
  CHECK(proving.step->finish().good);
}

TEST_CASE("what cannot be read is said, and no proof comes of nothing", "[proof]") {
  Proving proving;
  CHECK(proving.step->take(cv::Mat(40, 60, CV_8UC1, cv::Scalar(128)), 0.0, "small.png").headline ==
        "The picture has another size than the lens");
  const cv::Mat grey(proving.station.lens.height_px, proving.station.lens.width_px, CV_8UC1, cv::Scalar(128));
  CHECK_FALSE(proving.step->take(grey, 0.0, "grey.png").taken);
  cv::Mat covered = plain_pictures()[0].clone();
  covered(cv::Rect(covered.cols / 2 - 60, covered.rows / 2 - 60, 120, 120)).setTo(90);
  const app::StepAdvice advice = proving.step->take(covered, 0.0, "covered.png");
  CHECK_FALSE(advice.taken);
  CHECK(advice.headline == "Sticker 97 is not wholly seen");
  CHECK_THROWS_AS(proving.step->finish(), app::StepError);
  CHECK(proving.step->take(plain_pictures()[0], 0.0, "upright.png").taken);
  CHECK_THROWS_AS(proving.step->finish(), app::StepError);
  CHECK(proving.folder.entries() == 0);
}

TEST_CASE("the aims leave the marks free and lie apart", "[proof]") {
  const vision::Station station = app::demo_station();
  const std::vector<cv::Point2d> aims = app::proof_aims(station, 5);
  REQUIRE(aims.size() == 5);
  for (std::size_t i = 0; i < 5; ++i) {
    for (std::size_t j = 0; j < i; ++j) CHECK(cv::norm(aims[i] - aims[j]) > 60.0);
    for (const cv::Point2d& corner : app::proof_sheet_outline({aims[i], 0.0}, 1.0))
      for (const vision::BoardMark& mark : station.board_marks)
        CHECK((std::abs(corner.x - mark.x_mm) > 15.0 || std::abs(corner.y - mark.y_mm) > 15.0));
  }
}

TEST_CASE("a station file that is missing or has no board is an error", "[proof]") {
  const TemporaryFolder folder;
  app::ProveOptions options;
  options.frames = {"any.png"};
  options.step.station_file = folder.path / "station.toml";
  std::ostringstream out, err;
  CHECK(app::run_prove(options, out, err) == 2);
  CHECK(err.str().find("station.toml") != std::string::npos);
  vision::Station lens_only = app::demo_station();
  lens_only.board_marks.clear();
  calib::save_station(lens_only, options.step.station_file);
  CHECK(app::run_prove(options, out, err) == 2);
  CHECK(err.str().find("hoopgauge board") != std::string::npos);
}
