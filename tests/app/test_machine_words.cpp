// A machine entry in words, the questions that describe a machine, and the commands.
#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>
#include <sstream>

#include "app/commands/machine.h"
#include "app/machine/entry_words.h"
#include "app/machine/machine_file.h"
#include "app/machine/machine_questions.h"
#include "app/machine/machine_store.h"
#include "app/words/words.h"
#include "tests/app/run_program.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

using app::Machine;
using app::MachineEntry;
using app::Units;
using Lines = std::vector<std::string>;

MachineEntry entry(const Machine& machine, double x_mm, double y_mm, double deg) {
  return app::machine_entry(machine, app::rectangle_design({80.0, 60.0}), {{x_mm, y_mm}, deg * vision::kRadPerDeg});
}

Lines steps(const Machine& machine, double x_mm, double y_mm, double deg, Units units = Units::mm) {
  return app::entry_steps(machine, entry(machine, x_mm, y_mm, deg), units);
}

Machine typed() {
  Machine m;
  m.rotation_step_deg = 0.1;
  m.turn_keys_deg.clear();
  m.range = Machine::Range::half_turns;
  return m;
}

}  // namespace

TEST_CASE("an entry is said in whole sentences, in the machine's order", "[machine]") {
  Machine m;
  CHECK(steps(m, 2.3, -0.1, -112) == Lines{"Set the rotation to 112 with the keys +90 × 1, +10 × 2, +1 × 2.",
                                           "Move the design 2.3 mm to the right: 23 presses.",
                                           "Move the design 0.1 mm down: 1 press."});
  CHECK(steps(m, 0, 0, 0) == Lines{"Leave the rotation at 0.", "Leave the jog at 0."});
  CHECK(steps(m, -2.54, 0, 1, Units::inch)[1] == "Move the design 0.098 in to the left: 25 presses.");
  m.turn_keys_both_ways = false;
  CHECK(steps(m, 0, 0, -112)[0] == "Set the rotation to 112 with the keys 90 × 1, 10 × 2, 1 × 2.");
  m.order = Machine::Order::jog_first;
  m.moves = Machine::Moves::hoop;
  CHECK(steps(m, 2.0, 3.0, -90) == Lines{"Move the hoop 2.0 mm to the left: 20 presses.",
                                         "Move the hoop 3.0 mm toward you: 30 presses.",
                                         "Set the rotation to 90 with the keys 90 × 1."});
  CHECK(steps(typed(), 0, 0, 5.25)[0].starts_with("Type the rotation \u22125."));
  m = Machine();
  m.rotation_step_deg = 0.0;
  m.turn_keys_deg.clear();
  CHECK(steps(m, 0, 1, 0.1) == Lines{"Move the design 1.0 mm up: 10 presses."});
}

TEST_CASE("numbers of an entry have the machine's decimals", "[machine]") {
  CHECK(app::rotation_number(Machine(), 112.0) == "112");
  CHECK(app::rotation_number(typed(), 112.0) == "112.0");
  CHECK(app::rotation_number(typed(), -5.3) == "\u22125.3");
  Machine m;
  CHECK(app::jog_number(m, 2.3, Units::mm) == "2.3");
  CHECK(app::jog_number(m, 2.3, Units::inch) == "0.091");
  m.jog_step_mm = 0.25;
  CHECK(app::jog_number(m, 2.25, Units::mm) == "2.25");
  m.jog_step_mm = 1.0;
  CHECK(app::jog_number(m, 2.0, Units::mm) == "2");
}

TEST_CASE("what is left over has a sense, and says of what point it is", "[machine]") {
  MachineEntry e = entry(Machine(), 2.34, 0.0, 5.2);
  CHECK(app::left_over_text(e, Units::mm, true).starts_with("Left over: 0.20° counter-clockwise, 0."));
  CHECK(app::left_over_text(e, Units::mm, true).ends_with(" mm at the far corner"));
  e = entry(Machine(), 2.34, 0.0, -5.2);
  CHECK(app::left_over_text(e, Units::inch, false).starts_with("Left over: 0.20° clockwise, 0.0"));
  CHECK(app::left_over_text(e, Units::inch, false).ends_with(" in at the design's centre"));
}

TEST_CASE("what cannot be entered is said with what helps", "[machine]") {
  Machine m;
  CHECK(app::entry_troubles(m, entry(m, 5, 5, 33), Units::mm).empty());
  m.jog_limit_mm = {3.0, 4.0};
  CHECK(app::entry_troubles(m, entry(m, -5, 4, 0), Units::mm) ==
        Lines{"The jog would be 5.0 mm sideways; the machine reaches 3.0 mm. Hoop nearer to the middle."});
  CHECK(app::entry_troubles(m, entry(m, 0, 5, 0), Units::inch) ==
        Lines{"The jog would be 0.197 in up or down; the machine reaches 0.157 in. Hoop nearer to the middle."});
  m.rotation_step_deg = 0.0;
  m.turn_keys_deg.clear();
  CHECK(app::entry_troubles(m, entry(m, 0, 0, -2.3), Units::mm) ==
        Lines{"This machine cannot turn a design: 2.3° are left. Hoop straighter."});
  m.rotation_step_deg = 90.0;
  CHECK(app::entry_troubles(m, entry(m, 0, 0, 88), Units::mm) ==
        Lines{"This machine turns in large steps only: 2° are left. Hoop straighter."});
}

// Guarantees: every kind of machine can be described at the screen. Example failure: a question whose answer changes
// another line.
TEST_CASE("each answer to a question changes what it asks about, and leaves a machine that can be kept", "[machine]") {
  std::set<app::MachineQuestion> seen;
  for (const double step : {1.0, 0.1, 0.0}) {
    Machine start;
    start.name = "A";
    start.order = Machine::Order::jog_first;
    start.rotation_step_deg = step;
    if (step == 0.0) start.turn_keys_deg.clear();
    for (const app::MachineQuestion question : app::questions_of(start)) {
      seen.insert(question);
      const app::AskedQuestion before = app::asked(question, start, Units::mm);
      INFO(before.question);
      CHECK_FALSE(before.name.empty());
      CHECK(before.question.find_first_of("?.") != std::string::npos);
      REQUIRE(before.choices.size() >= 2);
      const auto chosen = std::count_if(before.choices.begin(), before.choices.end(),
                                        [](const app::MachineChoice& one) { return one.chosen; });
      if (!before.several) CHECK(chosen == 1);
      for (std::size_t i = 0; i < before.choices.size(); ++i) {
        Machine changed = start;
        app::answer(changed, question, i);
        const app::AskedQuestion after = app::asked(question, changed, Units::mm);
        const std::string& label = before.choices[i].label;
        INFO(label);
        const auto now = std::find_if(after.choices.begin(), after.choices.end(),
                                      [&](const app::MachineChoice& one) { return one.label == label; });
        REQUIRE(now != after.choices.end());
        CHECK(now->chosen == (before.several ? !before.choices[i].chosen : true));
        CHECK((changed == start) == (!before.several && before.choices[i].chosen));
        CHECK(error_of([&] { app::machine_from_text(app::text_of(changed), ""); }) == "no error");
        CHECK(app::worked_example(changed, Units::mm).size() >= 2);
      }
    }
  }
  CHECK(seen.size() == 12);
}

TEST_CASE("questions that mean nothing for a machine are not asked", "[machine]") {
  const auto asks = [](const Machine& machine, app::MachineQuestion question) {
    const auto all = app::questions_of(machine);
    return std::find(all.begin(), all.end(), question) != all.end();
  };
  CHECK_FALSE(asks(Machine(), app::MachineQuestion::about));
  CHECK_FALSE(asks(typed(), app::MachineQuestion::both_ways));
  Machine fixed;
  app::answer(fixed, app::MachineQuestion::step, 4);
  CHECK_THAT(fixed.rotation_step_deg, WithinAbs(0.0, 0.0));
  CHECK(fixed.turn_keys_deg.empty());
  CHECK_FALSE(asks(fixed, app::MachineQuestion::sense));
  CHECK_FALSE(asks(fixed, app::MachineQuestion::order));
  CHECK(asks(fixed, app::MachineQuestion::moves));
}

TEST_CASE("the worked example, worked out by hand", "[machine]") {
  CHECK(app::worked_example(Machine(), Units::mm) ==
        Lines{"Example: a design belongs 8.0 mm right of the middle, 3.0 mm above it, turned 22° clockwise.",
              "Set the rotation to 22 with the keys +10 × 2, +1 × 2.",
              "Move the design 8.0 mm to the right: 80 presses.", "Move the design 3.0 mm up: 30 presses."});
}

TEST_CASE("machines are described, listed, shown, checked and brought back by command", "[machine][command]") {
  const TemporaryFolder folder;
  const std::filesystem::path station = folder.path / "station.toml";
  std::ostringstream out, err;
  CHECK(app::run_machine_list(station, out, err) == 0);
  CHECK(holds(out.str(), "no machine is described yet"));
  CHECK(app::run_machine_new(station, "At the window", {"sense = \"counter-clockwise\""}, out, err) == 0);
  CHECK(holds(out.str(), "'At the window' is described in "));
  CHECK(app::run_machine_new(station, "at the  window", {}, out, err) == 2);
  CHECK(holds(err.str(), "there is a machine 'At the window' already"));
  err.str({});
  CHECK(app::run_machine_new(station, "B", {"turn_keys_deg = [0.5]"}, out, err) == 2);
  CHECK(holds(err.str(), "holds 0.5, which is no multiple of the step of 1"));
  out.str({});
  CHECK(app::run_machine_list(station, out, err) == 0);
  CHECK(out.str() == "At the window: 1° counter-clockwise, keys 90, 10, 1, jog in steps of 0.1 mm\n");
  out.str({});
  CHECK(app::run_machine_show(station, "at the window", out, err) == 0);
  CHECK(app::machine_from_text(out.str(), "").sense == Machine::Sense::counter_clockwise);
  err.str({});
  CHECK(app::run_machine_show(station, "nobody", out, err) == 2);
  CHECK(holds(err.str(), "there is no machine 'nobody': there are 'At the window'"));
  folder.put("machines/c.toml", "name = \"C\"\nmoves = \"me\"\n");
  err.str({});
  CHECK(app::run_machine_check({folder.path / "machines" / "at-the-window.toml"}, out, err) == 0);
  CHECK(app::run_machine_check({folder.path / "machines" / "c.toml", folder.path / "none.toml"}, out, err) == 1);
  CHECK(holds(err.str(), "c.toml:2: 'moves' is \"me\"; write \"design\" or \"hoop\""));
  CHECK(holds(err.str(), "none.toml"));
  CHECK(app::run_machine_list(station, out, err) == 1);
  CHECK(app::run_machine_undo(station, out, err) == 1);
  CHECK(app::run_machine_remove(station, "At the window", out, err) == 0);
  CHECK(app::run_machine_undo(station, out, err) == 0);
  CHECK(app::MachineStore(app::machine_folder(station)).find("At the window"));
}

TEST_CASE("an entry by command is the same in words and as JSON", "[machine][command]") {
  const TemporaryFolder folder;
  folder.put("m.toml", "name = \"A\"\n");
  app::EntryOptions options;
  options.machine = (folder.path / "m.toml").string();
  options.rotation_deg = -112.0;
  options.offset_mm = {2.34, -1.0};
  options.design_mm = cv::Size2d(80.0, 60.0);
  std::ostringstream out, err;
  CHECK(app::run_entry(options, out, err) == 0);
  CHECK(out.str() ==
        "A: 1° clockwise, keys 90, 10, 1, jog in steps of 0.1 mm\n"
        "1. Set the rotation to 112 with the keys +90 × 1, +10 × 2, +1 × 2.\n"
        "2. Move the design 2.3 mm to the right: 23 presses.\n"
        "3. Move the design 1.0 mm down: 10 presses.\n"
        "Left over: 0.00° clockwise, 0.04 mm at the far corner\n");
  out.str({});
  options.json = true;
  CHECK(app::run_entry(options, out, err) == 0);
  const auto json = nlohmann::json::parse(out.str());
  CHECK_THAT(json["rotation"].get<double>(), WithinAbs(112.0, 1e-12));
  CHECK(json["keys"].size() == 3);
  CHECK(json["jog_right_presses"] == 23);
  CHECK_THAT(json["left_over_mm"].get<double>(), WithinAbs(0.04, 1e-6));
  CHECK(json["steps"].size() == 3);
  CHECK(json["troubles"].empty());
  folder.put("m.toml", "name = \"A\"\njog_limit_mm = [1.0, 0.0]\n");
  out.str({});
  CHECK(app::run_entry(options, out, err) == 1);
  CHECK(nlohmann::json::parse(out.str())["troubles"].size() == 1);
}

TEST_CASE("the program takes machine and entry as a person types them", "[machine][command]") {
  const TemporaryFolder folder;
  const std::string station = " --station " + (folder.path / "station.toml").string();
  const auto made =
      run("machine new 'Old one' --step 0.1 --keys 90,10,1,0.1 --one-way --sense counter-clockwise "
          "--range 'half turns' --jog-limit 10 12.5 --moves hoop --mirror left-right" +
          station);
  INFO(made.second);
  CHECK(made.first == 0);
  const auto stored = app::MachineStore(folder.path / "machines").find("old one");
  REQUIRE(stored);
  CHECK(stored->machine.turn_keys_deg == std::vector<double>{90.0, 10.0, 1.0, 0.1});
  CHECK_FALSE(stored->machine.turn_keys_both_ways);
  CHECK_THAT(stored->machine.jog_limit_mm.height, WithinAbs(12.5, 0.0));
  CHECK(stored->machine.mirror == Machine::Mirror::left_right);
  const auto entry = run("entry --machine 'old one' --rotation 5 --offset -3 4.5 --design 80 60" + station);
  INFO(entry.second);
  CHECK(entry.first == 0);
  CHECK(holds(entry.second, "1. Set the rotation to \u22125.0 with the keys"));
  CHECK(holds(entry.second, "Move the hoop 3.0 mm to the right: 30 presses."));
  CHECK(run("machine new X --sense left" + station).first == 2);
  CHECK(run("entry --machine 'old one' --rotation nan --offset 0 0" + station).first == 2);
  CHECK(run("entry --machine 'old one' --rotation 5 --offset 0" + station).first == 2);
  CHECK(run("entry --rotation 5 --offset 0 0" + station).first == 2);
}
