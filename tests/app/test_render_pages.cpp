// Printed pages in a scene: their places, their shade, what they hide.
#include <opencv2/imgproc.hpp>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "tests/app/rendered_edges.h"
#include "tests/catch.h"

using namespace app;

namespace {

// 120 x 80 mm of paper with a black square of 30 mm whose middle is at (-20, 10).
std::shared_ptr<const PrintedPage> page_with_square(int px_per_mm) {
  PrintedPage page{cv::Mat1b(80 * px_per_mm, 120 * px_per_mm, 255), static_cast<double>(px_per_mm)};
  page.picture(cv::Rect(25 * px_per_mm, 15 * px_per_mm, 30 * px_per_mm, 30 * px_per_mm)).setTo(0);
  return std::make_shared<const PrintedPage>(page);
}

cv::Matx33d turned(double x_deg, double y_deg, double z_deg) {
  cv::Matx33d x, y, z;
  cv::Rodrigues(cv::Vec3d(x_deg * vision::kRadPerDeg, 0, 0), x);
  cv::Rodrigues(cv::Vec3d(0, y_deg * vision::kRadPerDeg, 0), y);
  cv::Rodrigues(cv::Vec3d(0, 0, z_deg * vision::kRadPerDeg), z);
  return z * x * y;
}

// Mean over many places of an edge from a to b, page frame, px along the direction `inside`.
double edge_error_px(const Renderer& renderer, const Scene& scene, const cv::Mat1b& picture, cv::Point2d a,
                     cv::Point2d b, cv::Point2d inside, double reach_mm) {
  constexpr int kPlaces = 150;
  const PagePlace& place = scene.pages.front().place;
  double sum = 0.0;
  for (int i = 0; i < kPlaces; ++i) {
    const cv::Point2d at = a + (b - a) * ((i + 0.5) / kPlaces);
    const auto seen = [&](double along) {
      const cv::Point2d p = at + inside * along;
      return projected(renderer, scene, cv::Point3d(place.rotation * cv::Vec3d(p.x, p.y, 0.0) + place.origin_mm));
    };
    // The middle is the edge's own place, not half way in the picture: a tilted page is foreshortened.
    const cv::Point2d from = seen(-reach_mm), to = seen(reach_mm), edge = seen(0.0);
    const double length = std::hypot(to.x - from.x, to.y - from.y);
    const double off_middle = (edge - 0.5 * (from + to)).dot(to - from) / length;
    sum += step_beyond_middle(picture, from, to) - off_middle;
  }
  return sum / kPlaces;
}

constexpr double kExactPx = 0.01;

struct Held {
  const char* what;
  PagePlace place;
};

std::vector<Held> held_pages() {
  return {{"flat on the board", {turned(0, 0, 7), {30.0, -20.0, 0.1}}},
          {"flat, turned by half", {turned(0, 0, 177), {-60.0, 40.0, 0.1}}},
          {"tilted away", {turned(35, 0, 10), {0.0, 20.0, 120.0}}},
          {"tilted to the right, near", {turned(5, -40, -8), {20.0, -10.0, 330.0}}},
          {"tilted both ways, in a corner", {turned(-28, 22, 65), {-150.0, 80.0, 90.0}}}};
}

}  // namespace

// Guarantees: print on a page appears where projectPoints puts it, whatever its pose and the picture's resolution.
// Example failure: the page is shifted by half a pixel of its picture.
TEST_CASE("print on a held page lies where projectPoints puts it", "[render][reference]") {
  Renderer renderer(without_marks(), demo_hoops()[0]);
  for (const int px_per_mm : {7, 16}) {
    for (const Held& held : held_pages()) {
      INFO(held.what << ", " << px_per_mm << " px/mm");
      Scene scene = bare_scene();
      scene.pages.push_back({page_with_square(px_per_mm), held.place, {}});
      const cv::Mat1b& picture = renderer.render(scene, 1);
      const auto error = [&](cv::Point2d a, cv::Point2d b, cv::Point2d inside) {
        const cv::Point2d middle(-20.0, 10.0);
        return edge_error_px(renderer, scene, picture, middle + a, middle + b, inside, 3.0);
      };
      CHECK_THAT(error({-11, 15}, {11, 15}, {0, -1}), WithinAbs(0.0, kExactPx));
      CHECK_THAT(error({-11, -15}, {11, -15}, {0, 1}), WithinAbs(0.0, kExactPx));
      CHECK_THAT(error({15, -11}, {15, 11}, {-1, 0}), WithinAbs(0.0, kExactPx));
      CHECK_THAT(error({-15, -11}, {-15, 11}, {1, 0}), WithinAbs(0.0, kExactPx));
    }
  }
}

// Guarantees: the paper ends where it ends, cut out or whole. Example failure: the cut moves the print.
TEST_CASE("the paper's edges lie where projectPoints puts them", "[render][reference]") {
  Renderer renderer(without_marks(), demo_hoops()[0]);
  for (const cv::Rect2d& cut : {cv::Rect2d(), cv::Rect2d(-50.3, -33.7, 94.1, 71.2)}) {
    for (const Held& held : held_pages()) {
      INFO(held.what << ", cut to " << cut.width);
      Scene scene = bare_scene();
      scene.pages.push_back({page_with_square(9), held.place, cut});
      const cv::Mat1b& picture = renderer.render(scene, 1);
      const cv::Rect2d paper = paper_mm(scene.pages[0]);
      const double x0 = paper.x, x1 = paper.br().x, y0 = paper.y, y1 = paper.br().y;
      const auto error = [&](cv::Point2d a, cv::Point2d b, cv::Point2d inside) {
        return edge_error_px(renderer, scene, picture, a, b, inside, 3.0);
      };
      CHECK_THAT(error({x0 + 8, y1}, {x1 - 8, y1}, {0, -1}), WithinAbs(0.0, kExactPx));
      CHECK_THAT(error({x0 + 8, y0}, {x1 - 8, y0}, {0, 1}), WithinAbs(0.0, kExactPx));
      CHECK_THAT(error({x1, y0 + 8}, {x1, y1 - 8}, {-1, 0}), WithinAbs(0.0, kExactPx));
      CHECK_THAT(error({x0, y0 + 8}, {x0, y1 - 8}, {1, 0}), WithinAbs(0.0, kExactPx));
    }
  }
}

// Guarantees: a lying page hides the board and is hidden by the ring; a held one hides the ring; from behind there is
// no print. Example failure: the page shines through the ring.
TEST_CASE("pages hide what is below them", "[render]") {
  Renderer renderer(without_marks(), demo_hoops()[0]);
  Scene scene = bare_scene();
  scene.ring.state = RingState::assembled;
  scene.ring.albedo = 0.2, scene.ring.gloss = 0.0;
  const double rim = scene.ring.rim_height_mm;
  const auto value_at = [&](cv::Point3d p) {
    const cv::Point2d px = projected(renderer, scene, p);
    return static_cast<int>(renderer.render(scene, 1)(cv::Point(px)));
  };
  const cv::Point3d on_rim(73.0, 30.0, rim), on_board(20.0, 30.0, 0.0);
  const int bare_rim = value_at(on_rim);
  CHECK(value_at(on_board) < 3);
  scene.pages.push_back({page_with_square(8), {cv::Matx33d::eye(), {40.0, 30.0, 0.1}}, {}});
  CHECK(value_at(on_rim) == bare_rim);
  CHECK(value_at({50.0, 30.0, 0.1}) > 100);           // paper
  CHECK(value_at({20.0, 40.0, 0.1}) < 20);            // ink
  scene.pages[0].place.rotation = turned(0, 180, 0);  // face down
  scene.pages[0].place.origin_mm = {40.0, 30.0, 40.0};
  CHECK(value_at({20.0, 40.0, 40.0}) > 100);
  CHECK(value_at({60.0, 40.0, 40.0}) > 100);
  scene.pages[0].place = {turned(10, 0, 0), {73.0, 30.0, 60.0}};
  CHECK(value_at({73.0, 30.0, 60.0}) > 100);
}

// Guarantees: a page turned from the lamp is darker by the cosine (Lambert) and by the sky that it no longer sees.
TEST_CASE("a tilted page is shaded by its normal", "[render]") {
  Renderer renderer(without_marks(), demo_hoops()[0]);
  Scene scene = bare_scene();  // the lamp straight above, nothing else
  const auto paper_light = [&](double tilt_deg) {
    scene.pages = {{page_with_square(8), {turned(tilt_deg, 0, 0), {0.0, 0.0, 100.0}}, {}}};
    const cv::Point2d px = projected(renderer, scene, {0.0, 0.0, 100.0});
    return static_cast<double>(renderer.render(scene, 1)(cv::Point(px)));
  };
  const double flat = paper_light(0.0);
  CHECK_THAT(paper_light(60.0) / flat, WithinAbs(0.5, 0.01));
  CHECK_THAT(paper_light(-30.0) / flat, WithinAbs(0.866, 0.01));
}

// Guarantees: the kept picture is not used for another page or place.
TEST_CASE("a page that moves is drawn anew", "[render]") {
  Renderer renderer(without_marks(), demo_hoops()[0]);
  Scene scene = bare_scene();
  const auto page = page_with_square(8);
  scene.pages.push_back({page, {}, {}});
  const cv::Mat1b first = renderer.render(scene, 1).clone();
  scene.pages[0].place.origin_mm[0] = 1.0;
  CHECK(cv::countNonZero(renderer.render(scene, 1) != first) > 1000);
  scene.pages.clear();
  CHECK(cv::countNonZero(renderer.render(scene, 1)) == 0);
  CHECK_THROWS_AS((scene.pages = {{nullptr, {}, {}}}, renderer.render(scene, 1)), std::invalid_argument);
}
