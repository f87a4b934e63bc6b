// What the teach screen does apart from drawing: knobs, the typed name, and whether the picture is still.
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <set>

#include "app/hoops/name_entry.h"
#include "app/hoops/teach_handles.h"
#include "app/hoops/teach_ids.h"
#include "app/setup/still_watch.h"
#include "calib/outline_shapes.h"
#include "tests/catch.h"

namespace {

// A ring of 140 x 190 in image px around (500, 400), drawn 1 : 1 and not turned.
calib::RingPicture ring() {
  calib::RingPicture picture;
  for (const cv::Point2d& p : calib::rounded_rectangle(140.0, 190.0, 25.0))
    picture.inner_px.emplace_back(500.0 + p.x, 400.0 - p.y);
  for (const cv::Point2d& p : calib::rounded_rectangle(152.0, 202.0, 30.0))
    picture.outer_px.emplace_back(500.0 + p.x, 400.0 - p.y);
  picture.notch_px = {cv::Point2d(500, 305), {570, 400}, {500, 495}, {430, 400}};
  return picture;
}

app::PictureRegion region(int quarter_turns = 0) {
  return app::fit_region({1000, 800}, {0, 0, 1000, 800}, quarter_turns, {0, 0, 1000, 800});
}

double apart(SDL_FPoint a, SDL_FPoint b) { return static_cast<double>(std::hypot(a.x - b.x, a.y - b.y)); }

}  // namespace

TEST_CASE("a screen point goes back to the image point it shows", "[hoop][teach][screen]") {
  for (int turns = 0; turns < 4; ++turns) {
    const app::PictureRegion shown = app::fit_region({2304, 1296}, {300, 200, 700, 500}, turns, {40, 60, 800, 500});
    for (const cv::Point2d p : {cv::Point2d(350.25, 260.5), {900, 640}, {-20, 1400}}) {
      const cv::Point2d back = shown.to_image(shown.to_screen(p));
      CHECK_THAT(back.x, WithinAbs(p.x, 1e-3));
      CHECK_THAT(back.y, WithinAbs(p.y, 1e-3));
    }
  }
}

// Guarantees: every knob can be touched by itself: on a 10-inch screen (6.4 px a millimetre at 1280 x 800) no two lie
// nearer than a touch's 15 mm.
TEST_CASE("knobs stand beside the lines, inside and outside, apart from one another", "[hoop][teach][screen]") {
  const app::PictureRegion shown = app::fit_region({1000, 800}, {350, 240, 300, 320}, 0, {0, 0, 800, 600});
  const auto handles = app::outline_handles(ring(), shown, 58.0F);
  REQUIRE(handles.size() == 2 * app::kOutlineHandles);
  const SDL_FPoint centre = shown.to_screen({500, 400});
  for (const app::Handle& one : handles) {
    CHECK_THAT(apart(one.point, one.knob), WithinAbs(58.0, 0.1));
    const bool outside = apart(one.knob, centre) > apart(one.point, centre);
    CHECK(outside == (one.kind == app::Handle::Kind::outer));
  }
  for (std::size_t i = 0; i < handles.size(); ++i)
    for (std::size_t j = 0; j < i; ++j) {
      INFO(i << " and " << j);
      CHECK(apart(handles[i].knob, handles[j].knob) >= 15.0 * 6.4);
    }
  const auto notches = app::notch_handles(ring(), shown, 58.0F);
  REQUIRE(notches.size() == 4);
  CHECK(notches[0].knob.y < notches[0].point.y);  // north is up
  CHECK(notches[1].knob.x > notches[1].point.x);
  CHECK(app::outline_handles({}, shown, 58.0F).empty());
}

TEST_CASE("a touch takes the nearest knob within reach", "[hoop][teach][screen]") {
  const auto notches = app::notch_handles(ring(), region(), 40.0F);
  CHECK(app::hit_handle(notches, notches[2].knob, 48.0F) == 2u);
  CHECK(app::hit_handle(notches, {notches[2].knob.x + 40, notches[2].knob.y}, 48.0F) == 2u);
  CHECK(app::hit_handle(notches, notches[1].point, 30.0F) == 1u);  // the point itself, its knob out of reach
  CHECK_FALSE(app::hit_handle(notches, {500, 400}, 48.0F));
  CHECK_FALSE(app::hit_handle({}, {500, 400}, 48.0F));
  // Between two, the nearer.
  const std::vector<app::Handle> two{{app::Handle::Kind::inner, 0, {0, 0}, {100, 100}},
                                     {app::Handle::Kind::outer, 1, {300, 0}, {140, 100}}};
  CHECK(app::hit_handle(two, {115, 100}, 48.0F) == 0u);
  CHECK(app::hit_handle(two, {125, 100}, 48.0F) == 1u);
}

TEST_CASE("a dragged point keeps its distance from the finger, and a tap is no drag", "[hoop][teach][screen]") {
  const app::Handle handle{app::Handle::Kind::notch, 3, {200, 300}, {150, 300}};
  app::HandleDrag drag(handle, {155, 304});
  CHECK_FALSE(drag.meant(6.0F));
  drag.move({158, 306});
  CHECK_FALSE(drag.meant(6.0F));
  drag.move({175, 314});
  CHECK(drag.meant(6.0F));
  CHECK(apart(drag.point(), {220, 310}) < 1e-4);
  CHECK(apart(drag.knob(), {170, 310}) < 1e-4);
}

TEST_CASE("a name is typed and erased letter by letter", "[hoop][teach][name]") {
  app::NameEntry name;
  name.type("G");
  name.type("r\xc3\xb6\xc3\x9f");
  name.type("e 5");
  CHECK(name.text() == "Größe 5");
  for (int i = 0; i < 4; ++i) name.erase_last();
  CHECK(name.text() == "Grö");
  name.erase_last();
  CHECK(name.text() == "Gr");
  name.type("\n");
  name.type("\xc3");
  name.type(std::string(99, 'x'));
  CHECK(name.text() == "Gr");
  for (int i = 0; i < 5; ++i) name.erase_last();
  CHECK(name.text().empty());
}

TEST_CASE("every key and step has a number of its own", "[hoop][teach][name]") {
  std::set<int> ids;
  std::size_t count = 0;
  for (const bool capitals : {false, true}) {
    const auto rows = app::keyboard_rows(capitals);
    for (std::size_t r = 0; r < rows.size(); ++r)
      for (std::size_t c = 0; c < rows[r].size(); ++c) {
        CHECK(app::key_letter(app::key_id(r, c), capitals) == rows[r][c]);
        if (!capitals) ids.insert(app::key_id(r, c)), ++count;
      }
  }
  for (const int group : {app::kRimSteps, app::kFieldSteps})
    for (const bool height : {false, true})
      for (const bool coarse : {false, true})
        for (const int steps : {-1, 1}) {
          const int id = app::step_id(group, {height, steps, coarse});
          const auto back = app::step_of(group, id);
          REQUIRE(back);
          CHECK((back->height == height && back->coarse == coarse && back->steps == steps));
          ids.insert(id), ++count;
        }
  for (int id = static_cast<int>(app::TeachId::next); id <= static_cast<int>(app::TeachId::erase); ++id) {
    CHECK_FALSE(app::key_letter(id, false));
    CHECK_FALSE(app::rim_step(id));
    ids.insert(id), ++count;
  }
  CHECK(ids.size() == count);
}

// Guarantees: a hand or a hoop that moves by a pixel a frame is moving; noise and a flickering lamp are not.
TEST_CASE("still is what does not change for the time asked for", "[setup][still]") {
  cv::RNG random(5);
  const auto picture = [&](double ring_x, double level) {
    cv::Mat grey(600, 800, CV_8UC1, cv::Scalar(110));
    cv::rectangle(grey, cv::Rect(cvRound(ring_x), 200, 200, 200), cv::Scalar(190), 12);
    cv::Mat noise(grey.size(), CV_32F), out;
    random.fill(noise, cv::RNG::NORMAL, 0.0, 4.0);
    grey.convertTo(out, CV_32F, level);
    out += noise;
    out.convertTo(out, CV_8U);
    return out;
  };
  app::StillWatch watch(0.7);
  bool still = false;
  for (int i = 0; i < 15; ++i) still = watch.take(picture(300.0 + 2.0 * i, 1.0), 0.1 * i);
  CHECK_FALSE(still);
  CHECK(watch.share() < 0.5);
  for (int i = 15; i < 21; ++i) CHECK_FALSE(watch.take(picture(330, 1.0 + 0.05 * (i % 2)), 0.1 * i));
  for (int i = 21; i < 25; ++i) still = watch.take(picture(330, 1.0 + 0.05 * (i % 2)), 0.1 * i);
  CHECK(still);
  CHECK(watch.take(picture(330, 1.0), 2.5));
  CHECK_FALSE(watch.take(picture(336, 1.0), 2.6));  // pushed
  CHECK_FALSE(watch.take(picture(336, 1.0), 0.1));  // a clock that went back starts anew
  watch.forget();
  CHECK(watch.share() == 0.0);
  CHECK_FALSE(watch.take(picture(336, 1.0), 9.0));
  CHECK_FALSE(watch.take(cv::Mat(50, 60, CV_8UC1, cv::Scalar(9)), 9.9));  // another camera
}
