// A hoop while it is taught: changes, taking back, what is missing, what is doubtful; and the screen on which a person
// does it, driven by its own buttons and knobs.
#include <algorithm>
#include <opencv2/imgproc.hpp>

#include "app/hoops/hoop_store.h"
#include "app/hoops/teach_ids.h"
#include "app/hoops/teach_report.h"
#include "app/hoops/teach_screen.h"
#include "app/hoops/teach_view.h"
#include "calib/file_text.h"
#include "tests/app/taught_frames.h"
#include "tests/catch.h"

namespace {

using vision::NorthBy;
using vision::Side;
using Kind = app::InputEvent::Kind;

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

bool one_holds(const std::vector<std::string>& lines, const std::string& part) {
  return std::any_of(lines.begin(), lines.end(), [&](const std::string& line) { return holds(line, part); });
}

// The teach screen in memory, with what a finger and a keyboard do.
struct Desk {
  explicit Desk(cv::Size size = {1280, 800}) : window(app::Window::in_memory(size)) { draw(); }
  ~Desk() { view.textures_lost(); }

  void draw() { view.draw(screen.canvas, screen.text, screen.size()); }
  cv::Mat picture() {
    draw();
    return window->picture();
  }
  const app::Button* find(int id) const {
    const auto& all = view.buttons();
    const auto it = std::find_if(all.begin(), all.end(), [&](const app::Button& one) { return one.id == id; });
    return it != all.end() ? &*it : nullptr;
  }
  std::optional<app::TeachWish> press(int id) {
    const app::Button* button = find(id);
    REQUIRE(button != nullptr);
    const SDL_FPoint at{button->area.x + button->area.w / 2.0F, button->area.y + button->area.h / 2.0F};
    view.handle(app::pointer_event(Kind::pointer_down, at));
    const auto wish = view.handle(app::pointer_event(Kind::pointer_up, at));
    draw();
    return wish;
  }
  std::optional<app::TeachWish> press(app::TeachId id) { return press(static_cast<int>(id)); }
  void drag(SDL_FPoint from, SDL_FPoint by) {
    view.handle(app::pointer_event(Kind::pointer_down, from));
    view.handle(app::pointer_event(Kind::pointer_move, {from.x + by.x / 2.0F, from.y + by.y / 2.0F}));
    draw();
    view.handle(app::pointer_event(Kind::pointer_move, {from.x + by.x, from.y + by.y}));
    view.handle(app::pointer_event(Kind::pointer_up, {from.x + by.x, from.y + by.y}));
    draw();
  }
  void type(const std::string& text) {
    app::InputEvent event;
    event.kind = Kind::text;
    event.text = text;
    view.handle(event);
    draw();
  }

  app::Teaching teaching = taught::true_teaching();
  app::Catalogue catalogue = app::Catalogue::of_station("/none/station.toml");
  std::unique_ptr<app::Window> window;
  app::Screen screen{*window};
  app::TeachView view{teaching, catalogue};
};

}  // namespace

TEST_CASE("every change of a hoop can be taken back, in turn", "[hoop][teach]") {
  app::Teaching teaching = taught::true_teaching();
  CHECK_FALSE(teaching.undo());
  const double opening = teaching.ring().hoop.inner_mm.front().x;
  teaching.set_name("a");
  teaching.set_name("ab");  // typing is one step
  teaching.set_rim_height(10.5);
  teaching.set_rim_height(20.0);
  CHECK(teaching.rim_height_mm() == 20.0);
  // Nearer to the camera, the same picture is a smaller ring.
  CHECK(teaching.ring().hoop.inner_mm.front().x < opening * 0.99);
  teaching.set_field({100.0, 90.0}, true);
  CHECK(teaching.field_mm() == cv::Size2d(100.0, 100.0));
  teaching.set_north_by(NorthBy::mark, 999);
  CHECK(teaching.words().north_mark == 479);
  teaching.set_north(Side::east);
  CHECK(teaching.undo());
  CHECK(teaching.undo());
  CHECK(teaching.words().north_by == NorthBy::taught);
  CHECK(teaching.undo());
  CHECK(teaching.words().field_mm.empty());
  CHECK(teaching.undo());
  CHECK(teaching.rim_height_mm() == taught::kTrueRim_mm);
  CHECK_THAT(teaching.ring().hoop.inner_mm.front().x, WithinAbs(opening, 1e-12));
  CHECK(teaching.words().name == "ab");
  CHECK(teaching.undo());
  CHECK(teaching.words().name.empty());
  CHECK_FALSE(teaching.undo());
  teaching.set_name("given");
  teaching.forget_steps();
  CHECK_FALSE(teaching.undo());
  CHECK(teaching.words().name == "given");
}

TEST_CASE("what is missing of a hoop is said, and only a whole one is kept", "[hoop][teach]") {
  app::Teaching teaching = taught::true_teaching();
  CHECK(teaching.missing(false).empty());
  CHECK(one_holds(teaching.missing(), "needs a name"));
  teaching.set_name("  130 x  180 ");
  CHECK(teaching.missing().empty());
  const vision::Hoop hoop = teaching.hoop();
  CHECK(hoop.name == "130 x 180");
  CHECK_THAT(hoop.rim_height_mm, WithinAbs(taught::kTrueRim_mm + 1.0, 1e-9));  // raised by the cloth
  CHECK(hoop.cloth_height_mm == 1.0);
  CHECK_NOTHROW(calib::hoop_from_text(calib::text_of(hoop), "x"));
  teaching.set_field({400.0, 400.0}, false);
  CHECK(one_holds(teaching.missing(), "larger than the opening"));
  CHECK(one_holds(teaching.doubts(), "larger than the ring's opening"));
  teaching.undo();
  CHECK(one_holds(teaching.doubts(), "height was not given"));
  teaching.set_rim_height(10.4);
  CHECK(teaching.doubts().empty());
}

// The rendered rim is 10.4 mm high; a ruler is good to half a millimetre (common practice).
TEST_CASE("a typed rim height is compared with what the pictures say", "[hoop][teach]") {
  app::Teaching teaching = taught::true_teaching();
  CHECK_FALSE(teaching.found_height());
  CHECK_FALSE(teaching.check());
  for (std::size_t i = 1; i < 4; ++i)
    teaching.add_frame({taught::frames().pictures[i].clone(), taught::frames().camera_from_board, ""});
  const auto found = teaching.found_height();
  REQUIRE(found);
  REQUIRE(found->fault == calib::HeightFault::none);
  CHECK_THAT(found->height_mm, WithinAbs(taught::kTrueRim_mm, 0.5));
  REQUIRE(teaching.check());
  CHECK(teaching.check()->good);
  teaching.set_rim_height(10.5);
  CHECK(teaching.doubts().empty());
  CHECK(one_holds(app::height_lines(teaching), "rim height used: 10.50 mm, as typed"));
  teaching.set_rim_height(12.5);
  const std::vector<std::string> doubts = teaching.doubts();
  REQUIRE_FALSE(doubts.empty());
  CHECK(doubts.front() == calib::compare_heights(*found, 12.5).sentence);
  teaching.set_rim_height(found->height_mm, app::TeachingWords::Height::measured);
  CHECK(one_holds(app::height_lines(teaching), "by parallax, since none was typed"));
}

TEST_CASE("a side called north gives its number to the others' names", "[hoop][teach][sign]") {
  app::Teaching teaching = taught::true_teaching();
  const cv::Point2d east_px = teaching.picture().notch_px[1];
  teaching.set_north(Side::east);
  CHECK(cv::norm(teaching.picture().notch_px[0] - east_px) < 0.5);
  // Wider than high now: the hoop lies on its side.
  CHECK(teaching.ring().hoop.notches[0].at_mm.y < teaching.ring().hoop.notches[1].at_mm.x);
}

// Touch targets of 15 mm on a 10-inch screen (124.5 mm high at 16 : 9), inside the screen and apart.
TEST_CASE("every button of the teach screen is large enough, inside, and apart from the others",
          "[hoop][teach][screen]") {
  for (const cv::Size& size : {cv::Size(1280, 800), cv::Size(1920, 1080), cv::Size(1024, 600)}) {
    Desk desk(size);
    desk.teaching.set_north_by(NorthBy::mark, 451);
    for (int page = 0; page < app::kTeachPages; ++page) {
      desk.view.go_to(static_cast<app::TeachPage>(page));
      desk.draw();
      const auto& buttons = desk.view.buttons();
      const cv::Size drawn = desk.screen.size();
      const float least = app::Scale(drawn.width, drawn.height).mm(app::kTouch_mm) - 1.0F;
      CHECK(buttons.size() >= 3);
      for (std::size_t i = 0; i < buttons.size(); ++i) {
        const SDL_FRect& a = buttons[i].area;
        INFO(size.width << " page " << page << ": " << buttons[i].label << " " << a.w << " x " << a.h);
        CHECK(a.w >= least);
        CHECK(a.h >= least);
        CHECK((a.x >= 0.0F && a.y >= 0.0F));
        CHECK((a.x + a.w <= static_cast<float>(drawn.width) && a.y + a.h <= static_cast<float>(drawn.height)));
        for (std::size_t j = 0; j < i; ++j) CHECK(SDL_HasIntersectionF(&a, &buttons[j].area) == SDL_FALSE);
      }
      for (const app::Handle& handle : desk.view.handles()) {
        CHECK((handle.knob.x >= 0.0F && handle.knob.y >= 0.0F));
        CHECK((handle.knob.x <= static_cast<float>(drawn.width) && handle.knob.y <= static_cast<float>(drawn.height)));
      }
    }
  }
}

TEST_CASE("a person goes through the pages by touch and the hoop is kept", "[hoop][teach][screen]") {
  Desk desk;
  using app::TeachId;
  using app::TeachPage;
  CHECK_FALSE(desk.press(TeachId::next));
  CHECK(desk.view.page() == TeachPage::notches);
  desk.press(TeachId::next);
  desk.press(TeachId::next);
  CHECK(desk.view.page() == TeachPage::rim);
  desk.press(app::step_id(app::kRimSteps, {true, 1, true}));
  desk.press(app::step_id(app::kRimSteps, {true, -1, false}));
  CHECK_THAT(desk.teaching.rim_height_mm(), WithinAbs(11.3, 1e-9));
  desk.press(app::step_id(app::kRimSteps, {false, 1, false}));
  CHECK_THAT(desk.teaching.words().cloth_height_mm, WithinAbs(1.1, 1e-9));
  desk.press(TeachId::next);
  desk.press(TeachId::size_next);  // the first of the catalogue
  CHECK(desk.teaching.field_mm() == cv::Size2d(100.0, 100.0));
  desk.press(TeachId::size_next);
  CHECK(desk.teaching.field_mm() == cv::Size2d(130.0, 180.0));
  desk.press(app::step_id(app::kFieldSteps, {false, -1, false}));
  desk.press(app::step_id(app::kFieldSteps, {true, -1, true}));
  CHECK(desk.teaching.field_mm() == cv::Size2d(129.0, 170.0));
  desk.press(TeachId::unit);
  desk.press(app::step_id(app::kFieldSteps, {false, 1, false}));
  CHECK_THAT(desk.teaching.field_mm().width, WithinAbs(5.10 * 25.4, 1e-9));
  desk.press(TeachId::next);
  CHECK(desk.view.page() == TeachPage::name);
  CHECK_FALSE(desk.find(static_cast<int>(TeachId::next))->enabled);
  desk.press(app::key_id(1, 0));
  desk.press(app::key_id(1, 1));
  desk.press(TeachId::space);
  desk.type("5");
  desk.press(TeachId::erase);
  desk.type("ü");
  CHECK(desk.teaching.words().name == "Qw ü");
  CHECK(desk.press(TeachId::next) == app::TeachWish::save);
  CHECK(desk.teaching.missing().empty());
}

TEST_CASE("keys do what touch does, and letters go into the name only", "[hoop][teach][screen]") {
  Desk desk;
  desk.view.handle(app::key_event(SDLK_RETURN));
  desk.draw();
  CHECK(desk.view.page() == app::TeachPage::notches);
  desk.type("q");
  CHECK(desk.teaching.words().name.empty());
  CHECK_FALSE(desk.view.handle(app::key_event(SDLK_ESCAPE)));
  CHECK(desk.view.page() == app::TeachPage::outlines);
  CHECK(desk.view.handle(app::key_event(SDLK_ESCAPE)) == app::TeachWish::leave);
  desk.view.go_to(app::TeachPage::name);
  desk.draw();
  desk.view.handle(app::key_event(SDLK_q));
  desk.type("q");
  desk.view.handle(app::key_event(SDLK_SPACE));
  desk.type(" ");
  desk.type("r");
  CHECK(desk.teaching.words().name == "q r");
  desk.view.handle(app::key_event(SDLK_BACKSPACE));
  CHECK(desk.teaching.words().name == "q ");
  CHECK(desk.view.handle(app::key_event(SDLK_RETURN)) == app::TeachWish::save);
}

TEST_CASE("a notch is dragged to where the person shows it, and a tap moves nothing", "[hoop][teach][screen]") {
  Desk desk;
  desk.view.go_to(app::TeachPage::notches);
  desk.draw();
  const cv::Point2d before = desk.teaching.picture().notch_px[1];
  desk.drag(desk.view.handles()[1].knob, {2.0F, 0.0F});
  CHECK_FALSE(desk.teaching.can_undo());
  const SDL_FPoint knob = desk.view.handles()[1].knob;
  desk.drag(knob, {0.0F, 90.0F});
  CHECK(desk.teaching.can_undo());
  const cv::Point2d after = desk.teaching.picture().notch_px[1];
  CHECK(after.y > before.y + 10.0);  // down on the screen is down in this picture
  desk.press(app::TeachId::undo);
  CHECK(cv::norm(desk.teaching.picture().notch_px[1] - before) < 1e-9);
  // On the next page a tap on a letter makes it north.
  desk.view.go_to(app::TeachPage::north);
  desk.draw();
  const SDL_FPoint south = desk.view.handles()[2].knob;
  const cv::Point2d south_px = desk.teaching.picture().notch_px[2];
  desk.drag(south, {0.0F, 0.0F});
  CHECK(cv::norm(desk.teaching.picture().notch_px[0] - south_px) < 0.5);
}

TEST_CASE("what is under the finger shows larger while it drags", "[hoop][teach][screen]") {
  Desk desk;
  const cv::Mat still = desk.picture().clone();
  const SDL_FPoint knob = desk.view.handles()[2].knob;
  desk.view.handle(app::pointer_event(Kind::pointer_down, knob));
  desk.view.handle(app::pointer_event(Kind::pointer_move, {knob.x + 20.0F, knob.y}));
  const cv::Mat dragging = desk.picture();
  const cv::Size size = still.size();
  const app::PageLayout layout = app::page_layout(size.width, size.height, 3);
  const cv::Rect side(cvRound(layout.side.x), cvRound(layout.side.y), cvRound(layout.side.w), cvRound(layout.side.h));
  cv::Mat difference;
  cv::absdiff(still(side), dragging(side), difference);
  cv::cvtColor(difference, difference, cv::COLOR_BGR2GRAY);
  CHECK(cv::countNonZero(difference > 24) > 0.5 * static_cast<double>(side.area()));
}

// Guarantees: another hoop of the same name is not lost without a question.
TEST_CASE("the teach screen keeps a hoop and asks before it takes another's place", "[hoop][teach][screen]") {
  const TemporaryFolder folder;
  app::HoopStore store(folder.path / "hoops");
  app::Teaching teaching = taught::true_teaching();
  teaching.set_rim_height(10.4);
  teaching.set_name("mine");
  const app::Catalogue catalogue = app::Catalogue::of_station("/none/station.toml");
  const auto window = app::Window::in_memory({1280, 800});
  app::Screen screen(*window);
  // One key a drawn screen: every other round of the loop draws.
  const auto run = [&](std::vector<app::InputEvent> keys) {
    std::size_t next = 0;
    bool drawn = true;
    return app::run_teach_screen(screen, teaching, catalogue, store, [&] {
      drawn = !drawn;
      if (!drawn) return next >= keys.size();
      app::WindowEvents events;
      events.input.push_back(keys[next++]);
      window->put(events);
      return false;
    });
  };
  const app::InputEvent enter = app::key_event(SDLK_RETURN);
  std::vector<app::InputEvent> keys(app::kTeachPages, enter);
  const auto file = run(keys);
  REQUIRE(file);
  CHECK(file->filename() == "mine.toml");
  CHECK_THAT(store.find("mine").hoop.rim_height_mm, WithinAbs(11.4, 1e-9));

  teaching.set_rim_height(10.8);
  keys.push_back(enter);  // "Another name" is the main answer
  CHECK_FALSE(run(keys));
  CHECK_THAT(store.find("mine").hoop.rim_height_mm, WithinAbs(11.4, 1e-9));
  keys.back() = app::key_event(SDLK_TAB);  // to "Put this in its place"
  keys.push_back(enter);
  keys.push_back(enter);
  CHECK(run(keys));
  CHECK_THAT(store.find("mine").hoop.rim_height_mm, WithinAbs(11.8, 1e-9));
  CHECK(store.undo());
  CHECK_THAT(store.find("mine").hoop.rim_height_mm, WithinAbs(11.4, 1e-9));
}
