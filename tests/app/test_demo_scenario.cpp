// The demonstration's five pieces: their files, and what the station makes of each.
#include <filesystem>
#include <map>
#include <string>

#include "app/answer/answer.h"
#include "app/demo/demo_scenario.h"
#include "app/design/design.h"
#include "app/jobs/job_store.h"
#include "app/machine/machine_store.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/work_cycle.h"
#include "app/work/job_stickers.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"
#include "vision/tracker.h"

namespace fs = std::filesystem;

TEST_CASE("the demonstration's files are written once, and what a person changed stays", "[demo]") {
  const TemporaryFolder folder;
  const fs::path station_file = folder.path / "station.toml";
  app::furnish_demo(station_file);
  const app::JobStore store(app::job_folder(station_file));
  CHECK(store.list().jobs.size() == 5);
  CHECK(store.list().damaged.empty());
  CHECK(app::MachineStore(app::machine_folder(station_file)).list().machines.size() == 1);
  for (const app::StoredJob& stored : store.list().jobs) {
    INFO(stored.job.name);
    CHECK(stored.job.name.starts_with("Demo "));
    CHECK(stored.job.ticket.has_value());
    CHECK(app::design_of(stored.job, store.folder()).has_value());
  }
  app::Job changed = store.find("Demo napkin, diagonal")->job;
  changed.pieces = 7;
  store.save(changed);
  app::furnish_demo(station_file);
  CHECK(store.find("Demo napkin, diagonal")->job.pieces == 7);
  CHECK(store.list().jobs.size() == 5);
}

namespace {

// The piece of the scenario as its ring has been pressed and nothing moves.
app::Scene held(std::size_t index) {
  app::WorkCycle work(app::demo_hoop("demo 130 x 180"), app::demo_camera_place(), 1);
  app::play_demo(work);
  return work.at((static_cast<double>(index) + 0.78) * app::WorkCycle::seconds_per_piece()).scene;
}

}  // namespace

// Guarantees: from the picture to the number that is entered, for every kind of job of the demonstration.
TEST_CASE("the demonstration's pieces are read, and their entries bring the design to its place", "[demo]") {
  const TemporaryFolder folder;
  const fs::path station_file = folder.path / "station.toml";
  app::furnish_demo(station_file);
  const fs::path jobs = app::job_folder(station_file);
  const vision::Hoop hoop = app::demo_hoop("demo 130 x 180");
  const vision::Station station = app::demo_station();
  app::Renderer renderer(station, hoop);
  std::map<std::string, app::PieceAnswer> answers;
  for (std::size_t i = 0; i < app::demo_scenario().size(); ++i) {
    const app::DemoPiece& piece = app::demo_scenario()[i];
    if (piece.script.hoop_from_fold) continue;  // no sticker, no reading
    INFO(piece.job.name);
    vision::TrackerOptions options;
    options.sticker = app::one_sticker(piece.job);
    options.group = app::sticker_group(piece.job);
    vision::Tracker tracker(station, hoop, options);
    const vision::FrameResult result = tracker.read(renderer.render(held(i), 100 + i));
    REQUIRE(result.reading);
    const vision::Pose2& truth = piece.script.hoop_from_design;
    CHECK_THAT(result.reading->offset_x_mm, WithinAbs(truth.origin_mm.x, 0.15));
    CHECK_THAT(result.reading->offset_y_mm, WithinAbs(truth.origin_mm.y, 0.15));
    CHECK_THAT(result.reading->rotation_deg, WithinAbs(truth.angle_rad * vision::kDegPerRad, 0.1));
    const auto answer = app::piece_answer(*result.reading, app::design_of(piece.job, jobs), app::demo_machine(), hoop);
    REQUIRE(answer);
    REQUIRE(answer->entry);
    CHECK(std::abs(answer->entry->left_over_deg) <= 0.5);
    CHECK(answer->entry->left_over_mm < 0.6);  // half a degree at the largest design's corner is 0.9 mm, less the jog
    answers.emplace(piece.key, *answer);
  }
  // Whole degrees, clockwise.
  CHECK(answers.at("polo").entry->rotation == 3.0);
  CHECK(answers.at("apron").entry->rotation == 348.0);
  CHECK(answers.at("napkin").entry->rotation == 316.0);
  CHECK(answers.at("polo").fit.fits);
  CHECK(answers.at("apron").fit.fits);
  CHECK(answers.at("napkin").fit.fits);
  CHECK_FALSE(answers.at("banner").fit.fits);
}
