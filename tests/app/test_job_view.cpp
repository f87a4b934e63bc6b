// Jobs made and changed by touch.
#include <fstream>

#include "app/jobs/job_file.h"
#include "app/views/quantities.h"
#include "app/words/words.h"
#include "tests/app/view_person.h"
#include "tests/catch.h"

namespace {

using app::ViewId;

const app::Job* stored(const app::Desk& desk, const std::string& name) {
  for (const app::StoredJob& one : desk.jobs().jobs)
    if (one.job.name == name) return &one.job;
  return nullptr;
}

// The entry may lie further down in the list.
bool touch_in_list(ViewPerson& person, const std::string& label) {
  person.key(SDLK_HOME);
  for (int tries = 0; tries < 12; ++tries) {
    if (person.touch(label)) return true;
    person.key(SDLK_PAGEDOWN);
  }
  return false;
}

void type_number(ViewPerson& person, const std::string& digits) {
  for (const char c : digits) REQUIRE(person.touch(std::string(1, c)));
}

}  // namespace

TEST_CASE("a job is made by touch alone, from its name to its file", "[job-view]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk, {1280, 800});
  person.open(ViewId::jobs);
  REQUIRE(person.touch("New"));
  CHECK(desk.view() == ViewId::job);
  REQUIRE(person.touch("P"));
  for (const char* letter : {"o", "l", "o"}) REQUIRE(person.touch(letter));
  REQUIRE(person.touch("Keep"));

  REQUIRE(touch_in_list(person, "Garment"));
  REQUIRE(touch_in_list(person, "polo, adult"));
  person.draw();
  REQUIRE(touch_in_list(person, "Place"));
  REQUIRE(touch_in_list(person, "left chest"));
  REQUIRE(touch_in_list(person, "Measured"));
  type_number(person, "190");
  person.key(SDLK_RETURN);
  type_number(person, "120");
  person.key(SDLK_RETURN);
  REQUIRE(touch_in_list(person, "Design"));
  type_number(person, "90");
  person.key(SDLK_RETURN);
  type_number(person, "70");
  REQUIRE(person.touch("Keep"));
  REQUIRE(person.touch("Take the proposed hoop"));
  REQUIRE(touch_in_list(person, "Pieces"));
  type_number(person, "40");
  REQUIRE(person.touch("Keep"));
  REQUIRE(touch_in_list(person, "Sticker"));
  REQUIRE(person.touch("Add one on every piece"));
  type_number(person, "14");
  REQUIRE(person.touch("Right"));
  type_number(person, "50");
  REQUIRE(person.touch("±"));
  REQUIRE(person.touch("Keep"));
  person.key(SDLK_ESCAPE);
  CHECK(stored(desk, "Polo") == nullptr);
  REQUIRE(person.touch("Save"));
  const app::Job* job = stored(desk, "Polo");
  REQUIRE(job != nullptr);
  CHECK(job->garment == "polo, adult");
  CHECK(job->cloth == "knit");  // what the garment usually is of
  CHECK(job->place == app::GarmentPlace{"left chest", 190.0, 120.0});
  CHECK_THAT(job->design_mm->width, WithinAbs(90.0, 0.0));
  CHECK(job->hoop == "demo 110 x 110");
  CHECK(job->pieces == 40);
  REQUIRE(job->placed_stickers.size() == 1);
  CHECK(job->placed_stickers[0].number == 14);
  CHECK_THAT(job->placed_stickers[0].at_mm.x, WithinAbs(-50.0, 0.0));
}

TEST_CASE("lengths are typed in the screen's unit, and what is not touched keeps its last digit", "[job-view]") {
  std::vector<std::optional<double>> kept;
  app::Quantities q("Place",
                    {{"Down", app::Quantity::Of::length, {0.0, 2000.0}, 200.0, true, ""},
                     {"Across", app::Quantity::Of::length, {-1000.0, 1000.0}, 100.0 / 3.0, true, ""}},
                    app::Units::inch, [&](const auto& values) { kept = values; });
  const auto type = [&](const std::string& text) {
    app::InputEvent event;
    event.kind = app::InputEvent::Kind::text;
    event.text = text;
    q.type(event);
  };
  CHECK(q.headline() == "Down: 7.874_ in");
  type("8");
  type(".");
  type("5");
  CHECK(q.headline() == "Down: 8.5_ in");
  CHECK(q.keep().empty());
  REQUIRE(kept.size() == 2);
  CHECK_THAT(kept[0].value(), WithinAbs(215.9, 1e-9));  // 8.5 x 25.4
  CHECK_THAT(kept[1].value(), WithinAbs(100.0 / 3.0, 0.0));
  kept.clear();
  for (int i = 0; i < 3; ++i) {
    app::InputEvent erase;
    erase.kind = app::InputEvent::Kind::key;
    erase.key = SDLK_BACKSPACE;
    q.type(erase);
  }
  for (int i = 0; i < 3; ++i) type("9");
  CHECK(q.keep() == "Down: type a number from 0 to 78.7 in.");
  CHECK(kept.empty());
}

TEST_CASE("a change of a job is saved, undone, and asked about when it would be lost", "[job-view]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk, {1280, 800});
  const std::string name = "Demo shirts, left chest";
  const std::string before = app::text_of(*stored(desk, name));
  person.open(ViewId::jobs);
  REQUIRE(person.touch("Change"));
  CHECK_FALSE(person.touch("Save"));  // nothing to be saved
  REQUIRE(touch_in_list(person, "Tolerance"));
  type_number(person, "2");
  REQUIRE(person.touch("Keep"));
  person.key(SDLK_ESCAPE);
  CHECK(desk.view() == ViewId::job);  // asked
  person.key(SDLK_ESCAPE);            // no
  REQUIRE(person.touch("Undo"));
  CHECK_FALSE(person.touch("Save"));
  REQUIRE(touch_in_list(person, "Tolerance"));
  type_number(person, "2");
  REQUIRE(person.touch("Keep"));
  REQUIRE(person.touch("Save"));
  CHECK_THAT(stored(desk, name)->tolerance.offset_mm, WithinAbs(2.0, 0.0));
  REQUIRE(desk.work().job());
  CHECK_THAT(desk.work().job()->tolerance.offset_mm, WithinAbs(2.0, 0.0));  // the work follows at once
  person.key(SDLK_ESCAPE);
  CHECK(desk.view() == ViewId::jobs);
  REQUIRE(person.touch("Undo"));
  CHECK(app::text_of(*stored(desk, name)) == before);
  CHECK_THAT(desk.work().job()->tolerance.offset_mm, WithinAbs(3.0, 0.0));
}

TEST_CASE("a job is renamed and removed by touch, with a way back", "[job-view]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk, {1280, 800});
  person.open(ViewId::jobs);
  REQUIRE(person.touch("Change"));
  REQUIRE(touch_in_list(person, "Name"));
  person.type("X");
  REQUIRE(person.touch("Keep"));
  REQUIRE(person.touch("Save"));
  CHECK(stored(desk, "Demo shirts, left chest") == nullptr);
  REQUIRE(stored(desk, "Demo shirts, left chestX") != nullptr);
  CHECK(desk.settings().job_name == "Demo shirts, left chestX");
  CHECK(desk.work().job()->name == "Demo shirts, left chestX");
  person.key(SDLK_ESCAPE);
  REQUIRE(person.touch("Remove"));
  REQUIRE(person.touch("Remove"));  // the question's
  CHECK(stored(desk, "Demo shirts, left chestX") == nullptr);
  CHECK(desk.settings().job_name.empty());
  CHECK_FALSE(desk.work().job());
  REQUIRE(person.touch("Undo"));
  CHECK(stored(desk, "Demo shirts, left chestX") != nullptr);
  REQUIRE(person.touch("Undo"));
  CHECK(stored(desk, "Demo shirts, left chest") != nullptr);
  CHECK_FALSE(desk.can_undo_job());
}

TEST_CASE("what cannot be saved says why and changes nothing", "[job-view]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  app::Job job = *stored(desk, "Demo shirts, left chest");
  job.ticket = 500;
  CHECK_FALSE(desk.save_job(job, job.name));
  CHECK(desk.message(1.0)->text.find("ticket 500 is that of 'Demo aprons, pocket'") != std::string::npos);
  job.ticket = 480;
  CHECK_FALSE(desk.save_job(job, job.name));
  CHECK(desk.message(1.0)->text == "Card 480 is the badge of Operator A.");
  job.ticket.reset();
  CHECK_FALSE(desk.save_job(job, ""));  // the name is taken
  job.name = "Demo caps, front";
  CHECK_FALSE(desk.save_job(job, "Demo shirts, left chest"));
  CHECK_FALSE(desk.save_job(job, "nobody's"));
  CHECK_FALSE(desk.can_undo_job());
}

// Guarantees: what stands in a job's file is what is worked by. Example failure: the tolerance was mended in an editor
// and the station went on with the old one.
TEST_CASE("the running job follows its file", "[job-view]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  for (const app::StoredJob& one : desk.jobs().jobs)
    if (one.job.name == "Demo shirts, left chest")
      std::ofstream(one.file) << "name = \"Demo shirts, left chest\"\ntolerance_mm = 1.25\n";
  desk.look_again();
  CHECK_THAT(desk.work().job()->tolerance.offset_mm, WithinAbs(1.25, 0.0));
}

TEST_CASE("the pages of a job fit every screen", "[job-view]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080), cv::Size(800, 1280)}) {
    ViewPerson person(desk, size);
    const auto check = [&](const std::string& what) {
      INFO(what << " at " << size.width << " x " << size.height);
      const app::Scale scale(person.size().width, person.size().height);
      for (const app::Button& b : person.page().buttons()) {
        INFO(b.label << " " << b.area.w << " x " << b.area.h);
        CHECK(b.area.w >= scale.mm(app::kTouch_mm) - 0.5F);
        CHECK(b.area.h >= scale.mm(app::kTouch_mm) - 0.5F);
        CHECK(b.area.x >= 0.0F);
        CHECK(b.area.x + b.area.w <= static_cast<float>(person.size().width) + 0.5F);
        CHECK(b.area.y + b.area.h <= static_cast<float>(person.size().height) + 0.5F);
      }
      for (const std::string& cut : person.text().take_unfit()) FAIL_CHECK("cut: " << cut);
    };
    desk.open(ViewId::work);
    person.open(ViewId::jobs);
    REQUIRE(person.touch("Change"));
    check("fields");
    for (const char* field : {"Garment", "Cloth", "Stabilizer", "Design", "Hoop", "Tolerance", "Ticket", "Note"}) {
      REQUIRE(touch_in_list(person, field));
      check(field);
      person.key(SDLK_ESCAPE);
      person.key(SDLK_HOME);
    }
    REQUIRE(touch_in_list(person, "Sticker"));
    check("stickers");
    REQUIRE(person.touch("Add one on every piece"));
    check("another sticker");
    person.key(SDLK_ESCAPE);
    REQUIRE(person.touch("Numbers, one a piece"));
    check("list");
    person.key(SDLK_ESCAPE);
    person.key(SDLK_ESCAPE);
    person.key(SDLK_ESCAPE);
  }
}
