// The station's views at a desk with an invented workshop: what a person does there, and that everything fits.
#include <fstream>

#include "app/desk/pedal_keys.h"
#include "app/places.h"
#include "app/words/words.h"
#include "tests/app/view_person.h"
#include "tests/catch.h"

namespace {

using app::ViewId;

// Frames that show a piece until its reading is held.
void hold_a_reading(app::Desk& desk) {
  double time_s = 100.0;
  const auto show = [&](const vision::FrameResult& result, int frames) {
    for (int i = 0; i < frames; ++i) {
      app::Measured measured;
      measured.frame.time_s = time_s += 0.1;
      measured.result = result;
      desk.see(std::move(measured));
    }
  };
  vision::FrameResult ring;
  ring.status = vision::Status::no_sticker;
  ring.board_from_hoop = vision::Pose2{{2.0, 3.0}, 0.01};
  vision::FrameResult cloth;
  cloth.status = vision::Status::no_ring;
  cloth.stickers.push_back({});
  cloth.stickers.back().number = 53;
  cloth.stickers.back().tags_seen = 4;
  vision::FrameResult pressed = cloth;
  pressed.status = vision::Status::ok;
  pressed.board_from_hoop = ring.board_from_hoop;
  pressed.reading = vision::Reading{};
  pressed.reading->offset_x_mm = 1.0;
  pressed.reading->covariance = pressed.reading->noise_covariance = cv::Matx33d::diag({1e-4, 1e-4, 1e-8});
  show(ring, 20);
  show(cloth, 20);
  show(pressed, 30);
  REQUIRE(desk.work().cycle().held().has_value());
}

bool overlap(const SDL_FRect& a, const SDL_FRect& b) {
  return a.x < b.x + b.w - 0.5F && b.x < a.x + a.w - 0.5F && a.y < b.y + b.h - 0.5F && b.y < a.y + a.h - 0.5F;
}

// Everything that can be touched is large enough, on the screen and apart; no text is cut.
void check_fits(ViewPerson& person, const std::string& what) {
  const cv::Size size = person.size();
  const app::Scale scale(size.width, size.height);
  const float least = scale.mm(app::kTouch_mm) - 0.5F;
  INFO(what << " at " << size.width / 2 << " x " << size.height / 2);
  const auto& buttons = person.page().buttons();
  REQUIRE_FALSE(buttons.empty());
  for (const app::Button& b : buttons) {
    INFO("button " << b.id << " " << b.label << " " << b.area.w << " x " << b.area.h);
    const bool to_be_read = !b.enabled && b.row;
    if (!to_be_read) CHECK(b.area.w >= least);
    if (!to_be_read) CHECK(b.area.h >= least);
    CHECK(b.area.x >= 0.0F);
    CHECK(b.area.y >= 0.0F);
    CHECK(b.area.x + b.area.w <= static_cast<float>(size.width) + 0.5F);
    CHECK(b.area.y + b.area.h <= static_cast<float>(size.height) + 0.5F);
    for (const app::Button& other : buttons)
      if (other.id != b.id) CHECK_FALSE(overlap(b.area, other.area));
  }
  const app::Button* back = person.find(app::tr("Back"));
  REQUIRE(back != nullptr);
  const app::ViewLayout layout = app::view_layout(size);
  CHECK_THAT(back->area.x, WithinAbs(layout.back.x, 0.01));
  CHECK_THAT(back->area.y, WithinAbs(layout.back.y, 0.01));
  CHECK_THAT(back->area.w, WithinAbs(layout.back.w, 0.01));
  for (const std::string& cut : person.text().take_unfit()) FAIL_CHECK("cut: " << cut);
}

// Through all questions about the machine that has the most of them.
void check_machine_pages(ViewPerson& person, app::Desk& desk) {
  desk.open(ViewId::work);
  person.open(ViewId::machines);
  REQUIRE(person.touch("New"));
  check_fits(person, "machine's name");
  person.type("A");
  REQUIRE(person.touch("Go on"));
  for (int i = 0; i < 20 && person.find("Next") != nullptr; ++i) {
    check_fits(person, "question " + std::to_string(i));
    if (person.find("First the jog, then the rotation") != nullptr) person.touch("First the jog, then the rotation");
    if (person.find("0.1°") != nullptr) person.touch("0.1°");
    REQUIRE(person.touch("Next"));
  }
  check_fits(person, "last question");
  REQUIRE(person.touch("Done"));
  check_fits(person, "machine's answers");
  REQUIRE(person.touch("Back"));
  check_fits(person, "leave");
}

}  // namespace

TEST_CASE("every view fits every screen", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  std::ofstream(app::job_folder(desk.station_file()) / "broken.toml") << "name = 5\n";
  std::ofstream(app::hoop_folder(desk.station_file()) / "broken.toml") << "name = \"half a hoop\"\n";
  desk.health.notice = "No camera found: this is the rendered station";
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080), cv::Size(800, 1280)}) {
    ViewPerson person(desk, size);
    for (const auto& [id, name] : {std::pair{ViewId::menu, "menu"},
                                   {ViewId::operators, "operators"},
                                   {ViewId::jobs, "jobs"},
                                   {ViewId::hoops, "hoops"},
                                   {ViewId::machines, "machines"},
                                   {ViewId::records, "records"},
                                   {ViewId::service, "service"},
                                   {ViewId::settings, "settings"}}) {
      desk.open(ViewId::work);
      person.open(id);
      check_fits(person, name);
    }
    desk.open(ViewId::work);
    person.open(ViewId::menu);
    REQUIRE(person.touch("End"));
    check_fits(person, "end");
    desk.open(ViewId::work);
    person.open(ViewId::operators);
    REQUIRE(person.touch("Add"));
    check_fits(person, "keyboard");
    REQUIRE(person.touch("äéñ"));
    check_fits(person, "accents");
    person.key(SDLK_ESCAPE);
    REQUIRE(person.touch("Badge"));
    check_fits(person, "badge");
    REQUIRE(person.touch("Type the number"));
    check_fits(person, "badge number");
    person.key(SDLK_ESCAPE);
    person.key(SDLK_ESCAPE);
    REQUIRE(person.touch("Remove"));
    check_fits(person, "remove");
    check_machine_pages(person, desk);
  }
}

TEST_CASE("the menu leads to every view, and Back and Escape lead back", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  for (const auto& [label, id] : {std::pair{"Operator", ViewId::operators},
                                  {"Job", ViewId::jobs},
                                  {"Hoops", ViewId::hoops},
                                  {"Machines", ViewId::machines},
                                  {"Lay straight", ViewId::straighten},
                                  {"Go on stitching", ViewId::resume},
                                  {"Inspect", ViewId::inspect},
                                  {"Records", ViewId::records},
                                  {"Settings", ViewId::settings},
                                  {"Service", ViewId::service}}) {
    desk.open(ViewId::work);
    person.open(ViewId::menu);
    REQUIRE(person.touch(label));
    CHECK(desk.view() == id);
    person.touch("Back");
    CHECK(desk.view() == ViewId::menu);
    REQUIRE(person.touch(label));
    person.key(SDLK_ESCAPE);
    CHECK(desk.view() == ViewId::menu);
    person.touch("Back");
    CHECK(desk.view() == ViewId::work);
  }
}

TEST_CASE("an operator is chosen by touch, by digits, by arrows, and nobody is a choice", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::operators);
  CHECK(person.find("Operator A")->selected);
  REQUIRE(person.touch("Operator B"));
  CHECK(desk.settings().operator_name == "Operator B");
  CHECK(person.find("Operator B")->selected);
  CHECK(person.find("Operator B")->note == "chosen");
  CHECK_FALSE(person.find("Operator A")->selected);
  person.key(SDLK_3);
  CHECK(desk.settings().operator_name == "Operator C");
  person.key(SDLK_TAB);  // on the first entry: nobody
  person.key(SDLK_RIGHT);
  person.key(SDLK_RETURN);
  CHECK(desk.settings().operator_name == "Operator A");
  REQUIRE(person.touch("Nobody"));
  CHECK(desk.settings().operator_name.empty());
  // Kept over a new start.
  CHECK(app::load_settings(app::settings_file(desk.station_file())).operator_name.empty());
}

TEST_CASE("an operator is added on the screen's keyboard and on a real one", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::operators);
  REQUIRE(person.touch("Add"));
  CHECK(person.view().wants_text());
  for (const char* key : {"A", "d", "a"}) REQUIRE(person.touch(key));
  REQUIRE(person.touch("Keep"));
  CHECK_FALSE(person.view().wants_text());
  REQUIRE(desk.crew().find("Ada") != nullptr);
  CHECK(desk.settings().operator_name == "Ada");
  REQUIRE(person.touch("Add"));
  person.key(SDLK_q);  // is a letter here; its text comes as well
  person.type("Quinn Ox");
  person.key(SDLK_BACKSPACE);
  person.key(SDLK_SPACE);
  person.type("ö");
  person.key(SDLK_RETURN);
  CHECK(desk.crew().find("Quinn Oö") != nullptr);
  CHECK(desk.view() == ViewId::operators);
}

TEST_CASE("a name that is taken is refused and can be mended", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::operators);
  const std::size_t before = desk.crew().operators().size();
  REQUIRE(person.touch("Add"));
  person.type("Operator B");
  REQUIRE(person.touch("Keep"));
  CHECK(person.view().wants_text());
  CHECK(person.told().find("Operator B") != std::string::npos);
  CHECK(desk.crew().operators().size() == before);
  person.type(" the second");
  REQUIRE(person.touch("Keep"));
  CHECK(desk.crew().find("Operator B the second") != nullptr);
}

TEST_CASE("an operator is renamed, and removed only when that was confirmed", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::operators);
  REQUIRE(person.touch("Operator C"));
  REQUIRE(person.touch("Rename"));
  person.type(" Smith");
  person.key(SDLK_RETURN);
  CHECK(desk.crew().find("Operator C") == nullptr);
  CHECK(desk.settings().operator_name == "Operator C Smith");
  REQUIRE(person.touch("Remove"));
  CHECK(person.find("Operator A") == nullptr);  // nothing else can be touched meanwhile
  person.touch("Back");
  CHECK(desk.view() == ViewId::operators);
  CHECK(desk.crew().find("Operator C Smith") != nullptr);
  REQUIRE(person.touch("Remove"));
  REQUIRE(person.touch("Remove"));
  CHECK(desk.crew().find("Operator C Smith") == nullptr);
  CHECK(desk.settings().operator_name.empty());
  CHECK_FALSE(person.touch("Remove"));  // of nobody
}

TEST_CASE("a badge is taken by laying it on the board, or by its number", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::operators);
  REQUIRE(person.touch("Operator C"));
  REQUIRE(person.touch("Badge"));
  vision::SeenTag tag;
  tag.id = 499;
  tag.corners_px = {{{100.0, 100.0}, {160.0, 100.0}, {160.0, 160.0}, {100.0, 160.0}}};
  double time_s = 10.0;
  const auto lay = [&](int id) {  // and take it off again
    for (int i = 0; i < 42; ++i) {
      app::Measured measured;
      measured.frame.time_s = time_s += 0.1;
      tag.id = id;
      if (i < 12) measured.result.other_tags = {tag};
      desk.see(std::move(measured));
    }
  };
  lay(500);  // a job's ticket
  CHECK_FALSE(desk.crew().find("Operator C")->badge.has_value());
  CHECK(desk.badge_expected_of() == "Operator C");
  lay(480);  // Operator A's
  CHECK_FALSE(desk.crew().find("Operator C")->badge.has_value());
  lay(499);
  CHECK(desk.crew().find("Operator C")->badge == 499);
  CHECK(desk.settings().operator_name == "Operator C");
  person.draw();
  REQUIRE(person.touch("Type the number"));
  person.type("x");
  for (const char* digit : {"4", "8", "1"}) REQUIRE(person.touch(digit));
  REQUIRE(person.touch("Keep"));
  CHECK(desk.crew().find("Operator C")->badge == 499);  // 481 is Operator B's
  CHECK(person.view().wants_text());
  person.key(SDLK_BACKSPACE);
  person.type("5");
  person.key(SDLK_RETURN);
  CHECK(desk.crew().find("Operator C")->badge == 485);
  // Once the page is left, cards choose again.
  lay(480);
  CHECK(desk.settings().operator_name == "Operator A");
}

TEST_CASE("the pedal is learned by pressing it; keys that mean something are refused", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::settings);
  REQUIRE(person.touch("Learn the pedal"));
  CHECK(person.view().wants_keys());
  for (const SDL_Keycode key : {SDLK_RETURN, SDLK_SPACE, SDLK_TAB, SDLK_q, SDLK_r, SDLK_1, SDLK_PAGEDOWN}) {
    person.key(key);
    CHECK(person.told() == app::refused_as_pedal(key));
    CHECK(desk.settings().pedal_key == 0);
    CHECK(person.view().wants_keys());
  }
  person.key(SDLK_F13);
  CHECK(desk.settings().pedal_key == SDLK_F13);
  CHECK_FALSE(person.view().wants_keys());
  CHECK(app::load_settings(app::settings_file(desk.station_file())).pedal_key == SDLK_F13);
  REQUIRE(person.touch("Learn the pedal"));
  person.key(SDLK_ESCAPE);  // ends the learning, not the view
  CHECK_FALSE(person.view().wants_keys());
  CHECK(desk.view() == ViewId::settings);
  CHECK(desk.settings().pedal_key == SDLK_F13);
  REQUIRE(person.touch("No pedal"));
  CHECK(desk.settings().pedal_key == 0);
}

TEST_CASE("settings hold at once and are undone by choosing again", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::settings);
  const app::Settings before = desk.settings();
  REQUIRE(person.touch("Inches"));
  CHECK(desk.settings().units == app::Units::inch);
  CHECK(person.find("Inches")->selected);
  REQUIRE(person.touch("Never"));
  CHECK(desk.settings().dim_after_min == 0);
  REQUIRE(person.touch("Plan"));
  CHECK(desk.settings().large_plan);
  desk.take_sounds();
  REQUIRE(person.touch("Try"));
  CHECK(desk.take_sounds() == std::vector{app::Sound::accepted});
  REQUIRE(person.touch("Off"));
  CHECK_FALSE(desk.settings().sounds);
  CHECK_FALSE(person.touch("Try"));
  CHECK(app::load_settings(app::settings_file(desk.station_file())) == desk.settings());
  for (const char* label : {"Millimetres", "10 min", "Camera", "On"}) REQUIRE(person.touch(label));
  CHECK(desk.settings() == before);
}

TEST_CASE("a value that is not offered is shown as chosen", "[views]") {
  app::DemoShop shop;
  app::Settings settings = shop.desk().settings();
  settings.dim_after_min = 7;
  shop.desk().set(settings);
  ViewPerson person(shop.desk());
  person.open(ViewId::settings);
  REQUIRE(person.find("7 min") != nullptr);
  CHECK(person.find("7 min")->selected);
}

TEST_CASE("ending asks first", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::menu);
  REQUIRE(person.touch("End"));
  CHECK(desk.leaving() == app::Leave::no);
  person.key(SDLK_ESCAPE);
  CHECK(desk.view() == ViewId::menu);
  REQUIRE(person.touch("End"));
  REQUIRE(person.touch("End"));
  CHECK(desk.leaving() == app::Leave::end);
}

// Guarantees: a held reading is given up only when a person said so. Example failure: "Set-up guide" is touched by
// mistake and the piece is never recorded.
TEST_CASE("what gives up a held reading asks first, and only then", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  SECTION("the guide, with nothing held") {
    person.open(ViewId::menu);
    REQUIRE(person.touch("Set-up guide"));
    CHECK(desk.leaving() == app::Leave::guide);
  }
  SECTION("the guide") {
    hold_a_reading(desk);
    person.open(ViewId::menu);
    REQUIRE(person.touch("Set-up guide"));
    CHECK(desk.leaving() == app::Leave::no);
    REQUIRE(person.touch("Open the guide"));
    CHECK(desk.leaving() == app::Leave::guide);
  }
  SECTION("another hoop") {
    hold_a_reading(desk);
    person.open(ViewId::hoops);
    REQUIRE(person.touch("demo oval"));
    CHECK(desk.work().hoop().name == "demo 130 x 180");
    CHECK(desk.work().cycle().held().has_value());
    person.touch("Back");
    REQUIRE(person.touch("demo oval"));
    REQUIRE(person.touch("Choose it"));
    CHECK(desk.work().hoop().name == "demo oval");
  }
  SECTION("a job with another hoop") {
    hold_a_reading(desk);
    person.open(ViewId::jobs);
    REQUIRE(person.touch("Demo caps, front"));
    CHECK(desk.work().cycle().held().has_value());
    REQUIRE(person.touch("Choose it"));
    CHECK(desk.settings().job_name == "Demo caps, front");
    CHECK(desk.work().hoop().name == "demo 110 x 110");
  }
}

TEST_CASE("the rendered station is offered only while the camera is lost", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::menu);
  CHECK(person.find("Rendered station") == nullptr);
  desk.health.live_camera = true;
  person.draw();
  CHECK(person.find("Rendered station") == nullptr);
  desk.health.trouble = "The camera does not answer: check its cable.";
  person.draw();
  REQUIRE(person.touch("Rendered station"));
  CHECK(desk.leaving() == app::Leave::rendered);
}

TEST_CASE("a job is chosen, and none; a damaged one is named", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  std::ofstream(app::job_folder(desk.station_file()) / "broken.toml") << "name = 5\n";
  ViewPerson person(desk);
  person.open(ViewId::jobs);
  CHECK(person.find("Demo shirts, left chest")->selected);
  CHECK(person.find("Demo shirts, left chest")->detail.find("34 of 60 done") != std::string::npos);
  REQUIRE(person.touch("Demo aprons, pocket"));
  CHECK(desk.settings().job_name == "Demo aprons, pocket");
  REQUIRE(person.touch("No job"));
  CHECK(desk.settings().job_name.empty());
  CHECK_FALSE(desk.work().job().has_value());
  const app::Button* broken = person.find("broken.toml");
  REQUIRE(broken != nullptr);
  CHECK_FALSE(broken->enabled);
  CHECK(broken->bad);
  CHECK(broken->detail.find("broken.toml") != std::string::npos);
}
