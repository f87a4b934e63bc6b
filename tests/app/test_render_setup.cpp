// The scenes of setting up a station: each step is shown what it needs, and what is shown is true.
#include <cmath>
#include <map>
#include <nlohmann/json.hpp>
#include <opencv2/imgproc.hpp>
#include <sstream>

#include "app/commands/render.h"
#include "app/picture.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/setup_play.h"
#include "app/render/shown_sheet.h"
#include "calib/chart.h"
#include "calib/chart_finder.h"
#include "calib/proof_sheet.h"
#include "tests/app/rendered_edges.h"
#include "tests/app/small_station.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"
#include "vision/tag_finder.h"
#include "vision/tracker.h"

using namespace app;

namespace {

const vision::Hoop& hoop() {
  static const vision::Hoop kHoop = demo_hoops()[0];
  return kHoop;
}

// Drawn once, at true scale.
const ScenePage& page_of(SetupScript script) {
  static std::map<SetupScript, ScenePage> pages;
  if (script == SetupScript::teach) return pages[script];
  if (pages.find(script) == pages.end()) pages[script] = shown_sheet(script, 1.0);
  return pages[script];
}

SetupPlay play_of(SetupScript script, std::uint64_t seed) {
  return {script, demo_station(), hoop(), page_of(script), seed};
}

constexpr SetupScript kScripts[]{SetupScript::lens, SetupScript::board, SetupScript::teach, SetupScript::proof};

cv::Point3d on_page(const PagePlace& place, cv::Point2d p) {
  return cv::Point3d(place.rotation * cv::Vec3d(p.x, p.y, 0.0) + place.origin_mm);
}

}  // namespace

// Guarantees: corners of the chart in all twelve parts of the picture, half of the stills with all 48 in it, tilts of
// more than 20 degrees to all four sides, and no sheet in the board. Example failure: the picture's corners stay empty,
// and the lens is not known there.
TEST_CASE("the sheet is held in all parts of the picture and tilted all ways", "[render][setup]") {
  const vision::Lens lens = demo_station().lens;
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const SetupPlay play = play_of(SetupScript::lens, seed);
    CHECK(play.stops() >= 20);
    int seen_in[3][4] = {}, whole = 0, leaning[4] = {};
    for (int i = 0; i < play.stops(); ++i) {
      const Scene scene = play.still(i);
      const PagePlace& place = play.stop(i).page;
      int inside = 0;
      for (int id = 0; id < calib::kChartCorners; ++id) {
        const cv::Point3d p = on_page(place, calib::chart_corner_mm(id));
        CHECK(p.z > 0.0);
        const cv::Point2d px = vision::image_from_board(lens, scene.camera_from_board, {p.x, p.y, p.z});
        if (!(px.x > 5.0 && px.x < lens.width_px - 6.0 && px.y > 5.0 && px.y < lens.height_px - 6.0)) continue;
        ++inside;
        ++seen_in[static_cast<int>(3.0 * px.y / lens.height_px)][static_cast<int>(4.0 * px.x / lens.width_px)];
      }
      CHECK(inside >= 20);
      whole += inside == calib::kChartCorners ? 1 : 0;
      const cv::Matx33d camera_from_page = scene.camera_from_board.rotation * place.rotation;
      const double x = camera_from_page(0, 2), y = camera_from_page(1, 2), limit = std::sin(20.0 * vision::kRadPerDeg);
      if (std::hypot(x, y) > limit) ++leaning[std::abs(x) > std::abs(y) ? (x > 0.0 ? 0 : 1) : (y > 0.0 ? 2 : 3)];
    }
    CHECK(2 * whole >= play.stops());
    for (const int count : leaning) CHECK(count >= 2);
    for (const auto& row : seen_in)
      for (const int count : row) CHECK(count >= 15);
  }
}

// Guarantees: the chart's inner corners lie where projectPoints puts them: dark and bright quarters meet there.
// Example failure: the sheet is drawn mirrored or half a pixel off its frame.
TEST_CASE("the held chart shows its corners where they are", "[render][setup][reference]") {
  Renderer renderer(demo_station(), hoop());
  const SetupPlay play = play_of(SetupScript::lens, 2);
  Scene scene = play.still(0);
  scene.optics.blur_sigma_px = 0.0;
  scene.sensor = {1e12, 0.0, 1.0, 0};
  const cv::Mat1b& picture = renderer.render(scene, 1);
  const PagePlace& place = play.stop(0).page;
  for (int id = 0; id < calib::kChartCorners; ++id) {
    const cv::Point2d corner = calib::chart_corner_mm(id);
    // Top left of an inner corner is dark where row + column is even.
    const bool dark = (id / calib::kChartCornerColumns + id % calib::kChartCornerColumns) % 2 == 0;
    const auto value = [&](double x, double y) {
      return sampled(picture, projected(renderer, scene, on_page(place, corner + cv::Point2d(x, y))));
    };
    const double ink = dark ? value(-1.5, 1.5) : value(1.5, 1.5), paper = dark ? value(1.5, 1.5) : value(-1.5, 1.5);
    CHECK(paper > ink + 60.0);
  }
  for (int id = 0; id < calib::kChartMarkers; ++id)
    for (int row = 0; row < calib::kChartMarkerModules; ++row)
      for (int column = 0; column < calib::kChartMarkerModules; ++column) {
        constexpr double kModule = calib::kChartMarkerMm / calib::kChartMarkerModules;
        const cv::Point2d p = calib::chart_marker_mm(id) + cv::Point2d((column - 3) * kModule, (3 - row) * kModule);
        const bool white = sampled(picture, projected(renderer, scene, on_page(place, p))) > 60.0;
        REQUIRE(white == calib::chart_marker_module_is_white(id, row, column));
      }
}

// Guarantees: renderer and chart finder agree on where a corner is; the tolerance is the finder's noise.
// Example failure: one of them counts pixels from their corners.
TEST_CASE("the chart's corners are found where projectPoints puts them", "[render][setup][reference]") {
  Renderer renderer(demo_station(), hoop());
  const SetupPlay play = play_of(SetupScript::lens, 2);
  cv::Point2d sum;
  double square = 0.0;
  int count = 0;
  for (const int stop : {0, 8, 16, 17}) {
    const Scene scene = play.still(stop);
    const calib::SeenChart seen = calib::find_chart(renderer.render(scene, 7));
    CHECK(seen.corners.size() >= 30);
    for (const calib::ChartCorner& corner : seen.corners) {
      const cv::Point2d off =
          corner.image_px -
          projected(renderer, scene, on_page(play.stop(stop).page, calib::chart_corner_mm(corner.id)));
      sum += off, square += off.dot(off), ++count;
      CHECK(std::hypot(off.x, off.y) < 0.3);
    }
  }
  REQUIRE(count > 0);
  CHECK_THAT(sum.x / count, WithinAbs(0.0, 0.01));
  CHECK_THAT(sum.y / count, WithinAbs(0.0, 0.01));
  CHECK(std::sqrt(square / count / 2.0) < 0.05);
}

// Guarantees: every still of board, hoop and proof shows all of the board marks. Example failure: the sheet lies on
// one.
TEST_CASE("no board mark is covered during the set-up", "[render][setup]") {
  const vision::Station station = demo_station();
  Renderer renderer(station, hoop());
  vision::TagFinder finder(station.lens);
  for (const SetupScript script : {SetupScript::board, SetupScript::teach, SetupScript::proof}) {
    const SetupPlay play = play_of(script, 3);
    for (int i = 0; i < play.stops(); i += script == SetupScript::proof ? 5 : 2) {
      INFO("script " << static_cast<int>(script) << ", stop " << i);
      std::size_t marks = 0;
      for (const vision::SeenTag& tag : finder.find(renderer.render(play.still(i), 1)))
        marks += tag.id >= 400 && tag.id < 450 ? 1 : 0;
      CHECK(marks == station.board_marks.size());
    }
  }
}

// Guarantees: the proof sheet is measured as it was printed, upright and turned. Example failure: a sticker's place or
// sign differs between the drawn sheet and the table in calib/proof_sheet.h.
TEST_CASE("the rendered proof sheet reads as printed", "[render][setup]") {
  for (const double print_scale : {1.0, 0.98}) {
    vision::Station station = demo_station();
    station.print_scale = print_scale;
    Renderer renderer(station, hoop());
    PrintedPage page = *page_of(SetupScript::proof).page;
    page.px_per_mm /= print_scale;
    const SetupPlay play(SetupScript::proof, station, hoop(),
                         shown_sheet(SetupScript::proof, std::make_shared<const PrintedPage>(page), print_scale), 4);
    for (const int stop : {1, 6}) {
      const cv::Mat picture = renderer.render(play.still(stop), 1);
      for (const calib::ProofSticker& sticker : calib::kProofStickers) {
        vision::TrackerOptions options;
        options.sticker = sticker.number;
        options.height_limit_mm = 0.05;
        vision::Tracker tracker(station, calib::proof_hoop(print_scale), options);
        const vision::FrameResult& result = tracker.read(picture);
        INFO("scale " << print_scale << ", stop " << stop << ", sticker " << sticker.number << ", "
                      << name(result.status));
        REQUIRE(result.status == vision::Status::ok);
        CHECK_THAT(result.reading->offset_x_mm, WithinAbs(sticker.x_mm * print_scale, 0.08));
        CHECK_THAT(result.reading->offset_y_mm, WithinAbs(sticker.y_mm * print_scale, 0.08));
        CHECK_THAT(result.reading->rotation_deg, WithinAbs(sticker.angle_deg, 0.06));
      }
    }
  }
}

// Guarantees: every stop is still for two seconds without a hand, things move without a jump between the stops, and
// the play goes round. Example failure: a step never sees a still sheet.
TEST_CASE("the set-up's plays move and rest", "[render][setup]") {
  for (const SetupScript script : kScripts) {
    const SetupPlay play = play_of(script, 5);
    double still_s = 0.0, longest_s = 0.0;
    std::optional<SetupMoment> last;
    for (double t = 0.01; t < (play.stops() + 1) * play.seconds_per_stop(); t += 0.05) {
      const SetupMoment now = play.at(t);
      CHECK(now.stop == static_cast<int>(t / play.seconds_per_stop()) % play.stops());
      if (now.still) CHECK_FALSE(now.scene.hand);
      still_s = now.still ? still_s + 0.05 : 0.0;
      if (now.still) longest_s = std::max(longest_s, still_s);
      if (last) {
        const Scene &a = last->scene, &b = now.scene;
        double step = script == SetupScript::teach
                          ? cv::norm(b.ring.board_from_hoop.origin_mm - a.ring.board_from_hoop.origin_mm)
                          : cv::norm(b.pages[0].place.origin_mm - a.pages[0].place.origin_mm);
        CHECK(step < 60.0);
        if (now.still && last->still) CHECK(step < 1e-9);
      }
      last = now;
    }
    CHECK(longest_s > 2.0);
  }
}

// Guarantees: a source for every step, frames in order and numbered, the same for the same seed.
TEST_CASE("the set-up's steps come as sources of frames", "[render][setup]") {
  for (const SetupScript script : kScripts) {
    const auto source = setup_source(script, small_station(), hoop(), 0.0, 6);
    const auto again = script == SetupScript::lens ? setup_source(script, small_station(), hoop(), 0.0, 6) : nullptr;
    CHECK_FALSE(source->is_live_camera());
    double last_s = -1.0;
    for (long i = 0; i < 3; ++i) {
      const auto frame = source->next();
      REQUIRE(frame);
      CHECK(frame->number == i);
      CHECK(frame->time_s > last_s);
      last_s = frame->time_s;
      CHECK(frame->grey.size() == cv::Size(576, 324));
      if (again) CHECK(cv::norm(again->next()->grey, frame->grey, cv::NORM_INF) == 0.0);
    }
  }
}

// Guarantees: stills with their truth, of the station's own sheet or of a picture of the printed one; no station file,
// which the set-up shall write itself.
TEST_CASE("the stills of a step are written with their truth", "[render][setup][command]") {
  const TemporaryFolder folder;
  std::ostringstream out, err;
  RenderOptions options;
  options.out_dir = folder.path / "board";
  options.script = "board";
  options.count = 2;
  REQUIRE(run_render(options, out, err) == 0);
  CHECK(out.str() == "00_board.jpg\n01_board.jpg\n");
  for (const char* file : {"00_board.jpg", "01_board.jpg"})
    CHECK(load_picture(options.out_dir / file, {2304, 1296}).fault == PictureFault::none);
  CHECK_FALSE(std::filesystem::exists(options.out_dir / "station.toml"));
  std::ifstream file(options.out_dir / "truth.json");
  const nlohmann::json truth = nlohmann::json::parse(file);
  CHECK_THAT(truth["lens"]["fx"].get<double>(), WithinAbs(demo_station().lens.fx, 1e-9));
  CHECK(truth["board_marks"].size() == demo_station().board_marks.size());
  REQUIRE(truth["frames"].size() == 2);
  CHECK_THAT(truth["frames"][0]["board_from_page"]["origin_mm"][2].get<double>(), WithinAbs(0.1, 1e-9));

  const auto refused = [&](const char* part) {
    std::ostringstream why;
    CHECK(run_render(options, out, why) == 2);
    INFO(why.str());
    CHECK(why.str().find(part) != std::string::npos);
  };
  options.sheet = folder.path / "none.png";
  refused("give both");
  options.sheet_px_per_mm = 12.0;
  refused("none.png");
  options.sheet_px_per_mm = -1.0;
  refused("--sheet-px-per-mm");
  options.sheet.reset(), options.sheet_px_per_mm.reset();
  options.count = 99;
  refused("has 5 stills");
  options.count.reset();
  options.script = "dance";
  refused("lens, board, teach, proof");
}
