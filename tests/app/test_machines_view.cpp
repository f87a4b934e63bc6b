// The machines at the screen: described, chosen, changed, copied, removed and brought back; and the entry in the work
// view.
#include <algorithm>
#include <cstdlib>
#include <fstream>
#include <opencv2/imgcodecs.hpp>

#include "app/machine/entry_words.h"
#include "app/machine/machine_store.h"
#include "app/views/work_entry.h"
#include "tests/app/screen_pictures.h"
#include "tests/app/view_person.h"
#include "tests/app/work_bench.h"
#include "tests/catch.h"

namespace {

using app::Machine;
using app::ViewId;

const std::vector<cv::Size>& sizes() {
  static const std::vector<cv::Size> all{{1024, 600}, {1280, 800}, {1920, 1080}, {800, 1280}};
  return all;
}

Machine named(const std::string& name) {
  Machine m;
  m.name = name;
  return m;
}

std::vector<std::string> names(const app::Desk& desk) {
  std::vector<std::string> out;
  for (const app::StoredMachine& one : desk.machines().machines) out.push_back(one.machine.name);
  return out;
}

bool inside(const SDL_FRect& outer, const SDL_FRect& r) {
  return r.x >= outer.x - 0.5F && r.y >= outer.y - 0.5F && r.x + r.w <= outer.x + outer.w + 0.5F &&
         r.y + r.h <= outer.y + outer.h + 0.5F;
}

}  // namespace

TEST_CASE("a machine is described at the screen, then chosen, changed, copied, removed and brought back", "[views]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk, {1024, 600});
  person.open(ViewId::machines);
  REQUIRE(person.touch("New"));
  person.type("At the window");
  REQUIRE(person.touch("Go on"));
  REQUIRE(person.touch("0.1°"));
  REQUIRE(person.touch("Next"));
  REQUIRE(person.touch("To the left: counter-clockwise"));
  int questions = 2;
  for (; person.find("Next") != nullptr; ++questions) REQUIRE(person.touch("Next"));
  CHECK(questions == 11);
  REQUIRE(person.touch("Done"));
  REQUIRE(person.touch("Keep"));
  REQUIRE(desk.machine());
  CHECK(desk.machine()->name == "At the window");
  CHECK(desk.settings().machine_name == "At the window");
  CHECK_THAT(desk.machine()->rotation_step_deg, WithinAbs(0.1, 0.0));
  CHECK(desk.machine()->sense == Machine::Sense::counter_clockwise);

  REQUIRE(person.touch("Change"));
  REQUIRE(person.touch("What the jog moves"));
  REQUIRE(person.touch("The hoop itself, under the needle"));
  REQUIRE(person.touch("Done"));
  REQUIRE(person.touch("Name"));
  person.type(" 2");
  REQUIRE(person.touch("Go on"));
  REQUIRE(person.touch("Keep"));
  CHECK(desk.settings().machine_name == "At the window 2");
  REQUIRE(desk.machine());
  CHECK(desk.machine()->moves == Machine::Moves::hoop);

  REQUIRE(person.touch("Copy"));
  REQUIRE(person.touch("Go on"));
  REQUIRE(person.touch("Keep"));
  CHECK(desk.machine()->name == "At the window 2, copy");
  CHECK(desk.machine()->moves == Machine::Moves::hoop);
  REQUIRE(person.touch("Remove"));
  REQUIRE(person.touch("Remove"));
  CHECK_FALSE(desk.machine());
  CHECK(names(desk).size() == 3);
  REQUIRE(person.touch("Bring back"));
  CHECK(names(desk).size() == 4);
  CHECK(person.find("Bring back")->enabled == false);
  REQUIRE(person.touch("Demo machine B"));
  CHECK(desk.machine()->name == "Demo machine B");
  REQUIRE(person.touch("No machine"));
  CHECK_FALSE(desk.machine());
  CHECK(desk.settings().machine_name.empty());
}

TEST_CASE("a machine's name that is taken is refused, and leaving asks before answers are lost", "[views]") {
  app::DemoShop shop;
  ViewPerson person(shop.desk(), {1024, 600});
  person.open(ViewId::machines);
  REQUIRE(person.touch("New"));
  person.type("demo  MACHINE a");
  REQUIRE(person.touch("Go on"));
  CHECK(person.told() == "There is a machine Demo machine A already.");
  person.key(SDLK_ESCAPE);
  REQUIRE(person.touch("Change"));
  person.key(SDLK_ESCAPE);  // nothing was changed
  REQUIRE(person.touch("Change"));
  REQUIRE(person.touch("Mirror"));
  REQUIRE(person.touch("Left and right are swapped"));
  person.key(SDLK_ESCAPE);
  person.key(SDLK_ESCAPE);
  REQUIRE(person.find("Leave") != nullptr);
  person.key(SDLK_ESCAPE);  // not after all
  REQUIRE(person.touch("Back"));
  REQUIRE(person.touch("Leave"));
  CHECK(shop.desk().machine()->mirror == Machine::Mirror::none);
  CHECK(person.find("New") != nullptr);
}

TEST_CASE("a job's machine comes before the station's, and one that is not described is said", "[desk][machine]") {
  WorkBench bench({640, 400});
  app::Desk& desk = bench.desk;
  REQUIRE(desk.keep_machine(named("A"), ""));
  Machine b = named("B");
  b.sense = Machine::Sense::counter_clockwise;
  REQUIRE(desk.keep_machine(b, ""));
  CHECK_FALSE(desk.machine());
  bench.held(1.0, 2.0, 5.0);
  bench.draw();
  CHECK_FALSE(desk.entry());
  desk.choose_machine("A");
  CHECK(desk.machine()->name == "A");
  REQUIRE(desk.entry());
  CHECK_THAT(desk.entry()->rotation, WithinAbs(355.0, 1e-9));
  CHECK(desk.entry()->jog_right_presses == 10);
  desk.choose_machine("B");
  REQUIRE(desk.entry());  // at once, while it is held
  CHECK_THAT(desk.entry()->rotation, WithinAbs(5.0, 1e-9));
  desk.choose_machine("nobody");
  CHECK(desk.machine()->name == "B");
  REQUIRE(desk.remove_machine("B"));
  CHECK_FALSE(desk.entry());
  CHECK(desk.settings().machine_name.empty());
}

TEST_CASE("damaged machine files do not keep the station from starting", "[desk][machine]") {
  WorkBench bench({640, 400});
  std::filesystem::create_directories(bench.folder.path / "machines");
  std::ofstream(bench.folder.path / "machines" / "x.toml") << "name = 5\n";
  bench.desk.look_again();
  CHECK(bench.desk.machines().machines.empty());
  CHECK(bench.desk.machines().damaged.size() == 1);
}

TEST_CASE("the entry's parts lie in the readout, apart, for either order", "[workview][machine]") {
  for (const cv::Size& size : sizes())
    for (const bool jog_first : {false, true}) {
      const app::WorkLayout work = app::work_layout(size.width, size.height);
      const app::EntryLayout l = app::entry_layout(work, jog_first);
      std::vector<SDL_FRect> parts{l.rotation, l.jog[0], l.jog[1], l.rest};
      for (const SDL_FRect& part : parts) CHECK(inside(work.readout, part));
      std::sort(parts.begin(), parts.end(), [](const SDL_FRect& a, const SDL_FRect& b) { return a.y < b.y; });
      for (std::size_t i = 1; i < parts.size(); ++i) CHECK(parts[i].y >= parts[i - 1].y + parts[i - 1].h - 0.5F);
      CHECK((l.rotation.y < l.jog[0].y) == !jog_first);
      // From 1.5 m: 12 mm on a 10-inch screen are seen under 27 minutes of arc.
      CHECK(l.digits_px >= work.scale.mm(12.0));
    }
}

// Guarantees: whatever is to be entered can be read, at every size, in every unit. Example failure: a long way with
// the keys runs out of the panel.
TEST_CASE("the entry takes the held reading's place and nothing of it is cut", "[workview][machine]") {
  Machine keys = named("keys");
  keys.rotation_step_deg = 0.1;
  keys.turn_keys_deg = {90.0, 10.0, 1.0, 0.1};
  keys.sense = Machine::Sense::counter_clockwise;
  Machine moves = named("hoop");
  moves.moves = Machine::Moves::hoop;
  moves.order = Machine::Order::jog_first;
  moves.turn_keys_deg.clear();
  moves.range = Machine::Range::half_turns;
  Machine stiff = named("stiff");
  stiff.rotation_step_deg = 0.0;
  stiff.turn_keys_deg.clear();
  stiff.jog_limit_mm = {2.0, 2.0};
  for (const cv::Size& size : sizes())
    for (const app::Units units : {app::Units::mm, app::Units::inch}) {
      if (units == app::Units::inch && size.width > 1024) continue;  // the smallest of either shape will do
      WorkBench bench(size);
      app::Settings settings = bench.desk.settings();
      settings.units = units;
      bench.desk.set(settings);
      bench.held(-23.4, -11.2, 46.7);
      const cv::Mat plain = bench.draw().clone();
      bench.unfit();
      for (const Machine& one : {keys, moves, stiff}) {
        REQUIRE(bench.desk.keep_machine(one, ""));
        bench.desk.choose_machine(one.name);
        REQUIRE(bench.desk.entry());
        const cv::Mat shown = bench.draw();
        INFO(one.name << " at " << size.width << " x " << size.height);
        for (const std::string& cut : bench.unfit()) FAIL_CHECK("cut: " << cut);
        CHECK(cv::norm(shown, plain, cv::NORM_INF) > 50.0);
        const bool trouble = cv::countNonZero(where(bench.part(bench.layout().readout), app::theme::kTrouble)) > 0;
        CHECK(trouble == !bench.desk.entry()->possible());
        if (const char* folder = std::getenv("HOOPGAUGE_PICTURES"))
          cv::imwrite(std::string(folder) + "/entry-" + one.name + (units == app::Units::mm ? "-mm-" : "-in-") +
                          std::to_string(size.width) + ".png",
                      shown);
      }
    }
}

// Guarantees: numbers with which the needle could strike the ring are never shown as if all were well.
TEST_CASE("the entry says in the trouble's colour when the design would not fit", "[workview][machine]") {
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(800, 1280)}) {
    WorkBench bench(size);
    REQUIRE(bench.desk.keep_machine(named("A"), ""));
    bench.desk.choose_machine("A");
    for (const bool large : {false, true}) {
      app::Job job;
      job.name = large ? "Too large" : "Small";
      const cv::Size2d field = bench.desk.work().hoop().field_mm;
      job.design_mm = large ? field : cv::Size2d(0.3 * field.width, 0.3 * field.height);
      REQUIRE(bench.desk.save_job(job, ""));
      bench.desk.choose_job(job.name);
      bench.held(4.0, -3.0, 5.0);
      bench.draw();
      REQUIRE(bench.desk.answer());
      CHECK(bench.desk.answer()->fit.fits == !large);
      bench.unfit();
      bench.draw();
      for (const std::string& cut : bench.unfit()) FAIL_CHECK("cut: " << cut);
      CHECK((cv::countNonZero(where(bench.part(bench.layout().readout), app::theme::kTrouble)) > 0) == large);
    }
  }
}
