// Where things appear in a rendered frame, against OpenCV's projectPoints.
#include <cmath>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "tests/app/rendered_edges.h"
#include "tests/catch.h"
#include "vision/tag_family.h"

using namespace app;

namespace {

// Mean over many places of a straight edge, in mm of its plane: `inside` is a unit vector to one side of it.
double edge_error_mm(const Renderer& renderer, const Scene& scene, const cv::Mat1b& picture, const vision::Pose2& pose,
                     double height, cv::Point2d a, cv::Point2d b, cv::Point2d inside, double reach_mm) {
  constexpr int kPlaces = 120;
  double sum = 0.0;
  for (int i = 0; i < kPlaces; ++i) {
    const cv::Point2d at = a + (b - a) * ((i + 0.5) / kPlaces);
    const auto seen = [&](double along) {
      const cv::Point2d p = vision::apply(pose, at + inside * along);
      return projected(renderer, scene, {p.x, p.y, height});
    };
    const cv::Point2d from = seen(-reach_mm), to = seen(reach_mm);
    sum += step_beyond_middle(picture, from, to) * 2.0 * reach_mm / std::hypot(to.x - from.x, to.y - from.y);
  }
  return sum / kPlaces;
}

constexpr double kExactMm = 0.004;

}  // namespace

// Guarantees: a flat thing at any height appears where projectPoints puts it. Example failure: half a pixel off.
TEST_CASE("the edges of a strip lie where projectPoints puts them", "[render][reference][accuracy]") {
  Renderer renderer(demo_station(), demo_hoops()[0]);
  for (const double height : {0.0, 1.2, 11.3}) {
    for (const double angle : {0.0, 0.21, 0.8}) {
      for (const cv::Point2d origin : {cv::Point2d(-140, -70), cv::Point2d(20, 8), cv::Point2d(150, 90)}) {
        Scene scene = bare_scene();
        scene.tapes.push_back({{origin, angle}, {40.0, 24.0}, height, 0.9});
        Renderer marks_free(without_marks(), renderer.hoop());
        const cv::Mat1b& picture = marks_free.render(scene, 1);
        const vision::Pose2 pose{origin, angle};
        const auto error = [&](cv::Point2d a, cv::Point2d b, cv::Point2d inside) {
          return edge_error_mm(marks_free, scene, picture, pose, height, a, b, inside, 2.0);
        };
        CHECK_THAT(error({-17, 12}, {17, 12}, {0, -1}), WithinAbs(0.0, kExactMm));
        CHECK_THAT(error({-17, -12}, {17, -12}, {0, 1}), WithinAbs(0.0, kExactMm));
        CHECK_THAT(error({20, -9}, {20, 9}, {-1, 0}), WithinAbs(0.0, kExactMm));
        CHECK_THAT(error({-20, -9}, {-20, 9}, {1, 0}), WithinAbs(0.0, kExactMm));
      }
    }
  }
}

// Guarantees: the black square of a sticker's tag has its size and place. DESIGN section 4: 12 mm at +-12.5 mm.
TEST_CASE("the tags of a sticker lie where the design says", "[render][reference]") {
  Renderer renderer(demo_station(), demo_hoops()[0]);
  Scene scene = bare_scene();
  const vision::Pose2 pose{{-31.0, 22.0}, 0.37};
  scene.stickers.push_back({7, pose, 0.0, {}});
  const cv::Mat1b& picture = renderer.render(scene, 1);
  for (const double x : {-12.5, 12.5}) {
    for (const double y : {-12.5, 12.5}) {
      const auto error = [&](cv::Point2d a, cv::Point2d b, cv::Point2d inside) {
        const cv::Point2d centre(x, y);
        return edge_error_mm(renderer, scene, picture, pose, 0.0, centre + a, centre + b, inside, 1.0);
      };
      CHECK_THAT(error({-5, 6}, {5, 6}, {0, -1}), WithinAbs(0.0, kExactMm));
      CHECK_THAT(error({-5, -6}, {5, -6}, {0, 1}), WithinAbs(0.0, kExactMm));
      CHECK_THAT(error({6, -5}, {6, 5}, {-1, 0}), WithinAbs(0.0, kExactMm));
      CHECK_THAT(error({-6, -5}, {-6, 5}, {1, 0}), WithinAbs(0.0, kExactMm));
    }
  }
}

// Guarantees: every module of sticker 7's four tags, so number, order and upright. DESIGN section 4.
TEST_CASE("sticker 7 shows tags 28 to 31 upright, clockwise from north-west", "[render][sign]") {
  Renderer renderer(demo_station(), demo_hoops()[0]);
  Scene scene = bare_scene();
  const vision::Pose2 pose{{40.0, -15.0}, -0.2};
  scene.stickers.push_back({7, pose, 0.0, {}});
  const cv::Mat1b& picture = renderer.render(scene, 1);
  const cv::Point2d centres[4] = {{-12.5, 12.5}, {12.5, 12.5}, {12.5, -12.5}, {-12.5, -12.5}};
  for (int corner = 0; corner < 4; ++corner) {
    for (int row = 0; row < 8; ++row) {
      for (int column = 0; column < 8; ++column) {
        const cv::Point2d p =
            vision::apply(pose, centres[corner] + cv::Point2d(-5.25 + 1.5 * column, 5.25 - 1.5 * row));
        const bool white = sampled(picture, projected(renderer, scene, {p.x, p.y, 0.0})) > 80.0;
        REQUIRE(white == vision::tag_module_is_white(28 + corner, row, column));
      }
    }
  }
}

// Guarantees: the rim's upper edges lie on the taught outlines at the rim's height. The camera's foot is moved so
// that no wall is seen beside the edge that is looked at. Example failure: the rim is drawn on the board.
TEST_CASE("the rim's edges lie on the outlines at rim height", "[render][reference]") {
  const vision::Hoop hoop = demo_hoops()[0];
  Renderer renderer(without_marks(), hoop);
  Scene scene = bare_scene();
  scene.ring.state = RingState::pressed;
  scene.ring.edge_radius_mm = 0.0, scene.ring.gloss = 0.0, scene.ring.albedo = 0.9;
  const double rim = scene.ring.rim_height_mm = 11.7;
  // Outer edge: walls are hidden while the camera's foot lies within the ring.
  scene.ring.board_from_hoop = {{3.0, -5.0}, 0.04};
  cv::Mat1b picture = renderer.render(scene, 1).clone();
  const auto error = [&](cv::Point2d a, cv::Point2d b, cv::Point2d inside) {
    return edge_error_mm(renderer, scene, picture, scene.ring.board_from_hoop, rim, a, b, inside, 2.0);
  };
  CHECK_THAT(error({76.2, -50}, {76.2, 50}, {-1, 0}), WithinAbs(0.0, kExactMm));
  CHECK_THAT(error({-76.2, -50}, {-76.2, 50}, {1, 0}), WithinAbs(0.0, kExactMm));
  CHECK_THAT(error({-30, 101.2}, {30, 101.2}, {0, -1}), WithinAbs(0.0, kExactMm));
  CHECK_THAT(error({-30, -101.2}, {30, -101.2}, {0, 1}), WithinAbs(0.0, kExactMm));
  // Inner edge of the near side: the ring lies to the right of the camera's foot.
  scene.ring.board_from_hoop = {{120.0, 0.0}, -0.03};
  picture = renderer.render(scene, 1).clone();
  CHECK_THAT(error({-70, 10}, {-70, 50}, {-1, 0}), WithinAbs(0.0, kExactMm));
}

// Guarantees: the truth's signs, by hand.
TEST_CASE("a sticker to the right of the hoop's centre has a positive true offset", "[render][sign]") {
  Scene scene;
  scene.ring.board_from_hoop = {{10.0, 20.0}, vision::kPi / 2.0};  // hoop east points away from the operator
  scene.stickers.push_back({3, {{10.0, 22.0}, vision::kPi / 2.0 + 0.1}, 0.0, {}});
  const auto truth = true_reading(scene);
  REQUIRE(truth);
  CHECK_THAT(truth->offset_x_mm, WithinAbs(2.0, 1e-12));
  CHECK_THAT(truth->offset_y_mm, WithinAbs(0.0, 1e-12));
  CHECK_THAT(truth->rotation_deg, WithinAbs(0.1 * vision::kDegPerRad, 1e-12));
  scene.ring.state = RingState::under_cloth;
  CHECK_FALSE(true_reading(scene));
}

// Guarantees: repeatable frames, whatever was rendered before, and different noise for another seed.
TEST_CASE("the same scene and seed give the same picture", "[render]") {
  Scene scene;
  scene.stickers.push_back({12, {{5.0, 6.0}, 0.1}, 0.0, {}});
  Renderer one(demo_station(), demo_hoops()[0]), other(demo_station(), demo_hoops()[0]);
  const cv::Mat1b first = one.render(scene, 5).clone();
  Scene between = scene;
  between.hand = Hand{};
  between.ring.board_from_hoop.origin_mm.x = 9.0;
  one.render(between, 6);
  CHECK(cv::countNonZero(first != one.render(scene, 5)) == 0);
  CHECK(cv::countNonZero(first != other.render(scene, 5)) == 0);
  CHECK(cv::countNonZero(first != other.render(scene, 6)) > 1000);
}
