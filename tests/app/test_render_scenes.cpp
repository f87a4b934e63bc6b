#include <cmath>
#include <opencv2/imgproc.hpp>
#include <set>
#include <sstream>

#include "app/commands/render.h"
#include "app/picture.h"
#include "app/render/demo_station.h"
#include "app/render/random_scene.h"
#include "app/render/rendered_source.h"
#include "app/render/renderer.h"
#include "app/render/work_cycle.h"
#include "calib/files.h"
#include "tests/app/small_station.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

using namespace app;

namespace {

bool inside(const std::vector<cv::Point2d>& outline, cv::Point2d p) {
  const std::vector<cv::Point2f> polygon(outline.begin(), outline.end());
  return cv::pointPolygonTest(polygon, cv::Point2f(p), false) > 0.0;
}

}  // namespace

// Guarantees: every kind of scene is what its name says, whatever the seed, and its truth can be read.
TEST_CASE("random scenes keep their promises", "[render]") {
  const std::vector<vision::Hoop> hoops = demo_hoops();
  for (const SceneKind kind : scene_kinds()) {
    for (std::uint64_t seed = 0; seed < 40; ++seed) {
      const RandomScene made = random_scene(hoops, seed, kind);
      const Scene& scene = made.scene;
      const vision::Hoop& hoop = hoops[made.hoop];
      INFO(name(kind) << " seed " << seed);
      CHECK(hoop.field_is_round == (kind == SceneKind::round));
      CHECK(scene.stickers.size() == (kind == SceneKind::no_sticker ? 0U : kind == SceneKind::two_stickers ? 2U : 1U));
      CHECK(true_reading(scene).has_value() == (kind != SceneKind::no_sticker));
      CHECK(scene.hand.has_value() == (kind == SceneKind::hand));
      CHECK(std::abs(scene.ring.rim_height_mm - hoop.rim_height_mm) <= 0.7);
      CHECK(std::abs(scene.cloth_height_mm - hoop.cloth_height_mm) <= 0.7);
      const double turn = std::abs(scene.ring.board_from_hoop.angle_rad) * vision::kDegPerRad;
      CHECK((turn > 170.0) == (kind == SceneKind::hoop_180));
      for (const StickerPlace& sticker : scene.stickers) {
        for (const cv::Point2d corner : {cv::Point2d(22, 22), {-22, 22}, {-22, -22}, {22, -22}}) {
          const cv::Point2d on_board = vision::apply(sticker.board_from_sticker, corner);
          CHECK(inside(hoop.inner_mm, vision::apply_inverse(scene.ring.board_from_hoop, on_board)));
        }
      }
      // All of the board marks are in the picture.
      for (const vision::BoardMark& mark : demo_station().board_marks) {
        const cv::Point2d px =
            vision::image_from_board(demo_station().lens, scene.camera_from_board, {mark.x_mm, mark.y_mm, 0.0});
        CHECK(cv::Rect2d(40, 40, 2304 - 80, 1296 - 80).contains(px));
      }
    }
  }
}

// Guarantees: a hand leaves at least 60 % of the outline to be seen.
TEST_CASE("a hand hides less than 40 percent of the outer outline", "[render][accuracy]") {
  const std::vector<vision::Hoop> hoops = demo_hoops();
  for (std::uint64_t seed = 0; seed < 12; ++seed) {
    const RandomScene made = random_scene(hoops, seed, SceneKind::hand);
    Renderer renderer(small_station(), hoops[made.hoop]);
    Scene scene = made.scene;
    scene.light.ambient = 1.0;  // no shadow
    const cv::Mat1b with = renderer.render(scene, 1).clone();
    scene.hand.reset();
    const cv::Mat1b& without = renderer.render(scene, 1);
    int hidden = 0, all = 0;
    for (const cv::Point2d& p : hoops[made.hoop].outer_mm) {
      const cv::Point2d on_board = vision::apply(scene.ring.board_from_hoop, p);
      const cv::Point px = vision::image_from_board(renderer.station().lens, scene.camera_from_board,
                                                    {on_board.x, on_board.y, scene.ring.rim_height_mm});
      hidden += std::abs(with(px) - without(px)) > 8 ? 1 : 0;
      ++all;
    }
    INFO("seed " << seed);
    CHECK(hidden > 0);
    CHECK(hidden < 0.4 * all);
  }
}

TEST_CASE("random scenes repeat, and refuse what cannot be", "[render]") {
  const std::vector<vision::Hoop> hoops = demo_hoops();
  for (std::uint64_t seed = 0; seed < 50; ++seed) {
    const RandomScene a = random_scene(hoops, seed), b = random_scene(hoops, seed);
    CHECK(a.kind == b.kind);
    CHECK(a.hoop == b.hoop);
    CHECK(a.scene.ring.board_from_hoop.origin_mm == b.scene.ring.board_from_hoop.origin_mm);
    CHECK(a.scene.light.azimuth_deg == b.scene.light.azimuth_deg);
  }
  CHECK_THROWS_AS(random_scene({}, 1), std::invalid_argument);
  CHECK_THROWS_AS(random_scene({hoops[0]}, 1, SceneKind::round), std::invalid_argument);
}

// Guarantees: the order of the work, that the cloth comes nearer, and that all stands still while it is held.
TEST_CASE("the work cycle goes from phase to phase and repeats", "[render]") {
  const WorkCycle cycle(demo_hoops()[0], demo_camera_place(), 3), again(demo_hoops()[0], demo_camera_place(), 3);
  std::vector<CyclePhase> order;
  double first_off = -1.0, last_off = 0.0;
  std::optional<TrueReading> held;
  for (double t = 0.0; t < WorkCycle::seconds_per_piece(); t += 0.05) {
    const CycleMoment moment = cycle.at(t);
    CHECK(moment.piece == 0);
    if (order.empty() || order.back() != moment.phase) order.push_back(moment.phase);
    CHECK(again.at(t).scene.stickers.size() == moment.scene.stickers.size());
    if (moment.phase == CyclePhase::lay_cloth && t > 4.5) {
      const cv::Point2d off = vision::apply_inverse(moment.scene.ring.board_from_hoop,
                                                    moment.scene.stickers[0].board_from_sticker.origin_mm);
      last_off = std::hypot(off.x, off.y);
      if (first_off < 0.0) first_off = last_off;
    }
    if (moment.phase == CyclePhase::hold) {
      const auto reading = true_reading(moment.scene);
      REQUIRE(reading);
      CHECK_FALSE(moment.scene.hand);
      if (held) {
        CHECK_THAT(reading->offset_x_mm, WithinAbs(held->offset_x_mm, 1e-12));
        CHECK_THAT(reading->rotation_deg, WithinAbs(held->rotation_deg, 1e-12));
      }
      held = reading;
    }
  }
  CHECK(order == std::vector<CyclePhase>{CyclePhase::set_hoop, CyclePhase::lay_cloth, CyclePhase::press,
                                         CyclePhase::hold, CyclePhase::lift});
  CHECK(first_off > 5.0);
  CHECK(last_off < 2.5);
  const double hold = 14.0, next = WorkCycle::seconds_per_piece();
  CHECK(cycle.at(hold).scene.stickers[0].number != cycle.at(hold + next).scene.stickers[0].number);
  CHECK(cycle.at(hold).scene.cloth->seed != cycle.at(hold + next).scene.cloth->seed);
}

// Guarantees: a source of frames of the lens's size that says it is no camera and repeats itself.
TEST_CASE("the rendered source plays the work", "[render]") {
  RenderedSource source(small_station(), demo_hoops()[0], demo_camera_place(), 0.0, 5);
  RenderedSource again(small_station(), demo_hoops()[0], demo_camera_place(), 0.0, 5);
  CHECK_FALSE(source.is_live_camera());
  CHECK(source.title() == "rendered station");
  for (long i = 0; i < 5; ++i) {
    const auto frame = source.next(), other = again.next();
    REQUIRE(frame);
    REQUIRE(other);
    CHECK(frame->number == i);
    CHECK_THAT(frame->time_s, WithinAbs(0.1 * static_cast<double>(i), 1e-9));
    CHECK(frame->grey.type() == CV_8UC1);
    CHECK(frame->grey.size() == cv::Size(576, 324));
    CHECK(cv::countNonZero(frame->grey != other->grey) == 0);
  }
}

// Guarantees: whatever `hoopgauge render` writes can be loaded again, and the truth has a row for each frame.
TEST_CASE("rendered frames are written with station, hoops and truth", "[render][command]") {
  const TemporaryFolder folder;
  RenderOptions options;
  options.out_dir = folder.path / "frames";
  options.count = 2;
  options.kind = "hoop_180";
  options.hoops = {"demo oval"};
  std::ostringstream out, err;
  REQUIRE(run_render(options, out, err) == 0);
  CHECK(err.str().empty());
  CHECK(out.str() == "0000_hoop_180.png\n0001_hoop_180.png\n");
  CHECK(calib::load_station(options.out_dir / "station.toml").board_marks.size() == 6);
  CHECK(calib::load_hoop(options.out_dir / "hoops" / "demo-oval.toml").name == "demo oval");
  CHECK(load_picture(options.out_dir / "0001_hoop_180.png", {2304, 1296}).fault == PictureFault::none);
  CHECK(std::filesystem::file_size(options.out_dir / "truth.json") > 400);

  options.kind = "nonsense";
  CHECK(run_render(options, out, err) == 2);
  CHECK(err.str().find("two_stickers") != std::string::npos);  // the kinds there are
  options.kind.reset();
  options.hoops = {"no such hoop"};
  CHECK(run_render(options, out, err) == 2);
  CHECK(err.str().find("demo oval") != std::string::npos);
}
