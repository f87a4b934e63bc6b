// Machines on disk.
#include "app/machine/machine_file.h"
#include "app/machine/machine_store.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

using app::Machine;

Machine odd_machine() {
  Machine m;
  m.name = "Machine \"B\" at the window";
  m.rotation_step_deg = 0.1;
  m.sense = Machine::Sense::counter_clockwise;
  m.range = Machine::Range::half_turns;
  m.turn_keys_deg = {45.0, 1.0, 0.1};
  m.turn_keys_both_ways = false;
  m.jog_step_mm = 0.25;
  m.jog_limit_mm = {12.5, 7.0};
  m.moves = Machine::Moves::hoop;
  m.order = Machine::Order::jog_first;
  m.about = Machine::About::field_centre;
  m.mirror = Machine::Mirror::top_bottom;
  m.note = "lift the foot first";
  return m;
}

Machine named(const std::string& name) {
  Machine m;
  m.name = name;
  return m;
}

std::string said(const std::string& lines) {
  return error_of([&] { app::machine_from_text("name = \"A\"\n" + lines + "\n", "a.toml"); });
}

}  // namespace

TEST_CASE("a machine comes back from its text as it was", "[machine]") {
  CHECK(app::machine_from_text(app::text_of(odd_machine()), "") == odd_machine());
  CHECK(app::machine_from_text(app::text_of(named("A")), "") == named("A"));
  CHECK(app::machine_from_text("name = \"A\"", "") == named("A"));
  Machine fixed = named("A");
  fixed.rotation_step_deg = 0.0;
  fixed.turn_keys_deg.clear();
  CHECK(app::machine_from_text(app::text_of(fixed), "") == fixed);
  CHECK(app::machine_from_text("name = \"A\"\nrotation_step_deg = 0", "") == fixed);
}

TEST_CASE("every choice of a machine has a word that comes back", "[machine]") {
  int tried = 0;
  for (int bits = 0; bits < 32; ++bits)
    for (int mirror = 0; mirror < 3; ++mirror, ++tried) {
      Machine m = named("A");
      m.sense = static_cast<Machine::Sense>(bits & 1);
      m.range = static_cast<Machine::Range>(bits >> 1 & 1);
      m.moves = static_cast<Machine::Moves>(bits >> 2 & 1);
      m.order = static_cast<Machine::Order>(bits >> 3 & 1);
      m.about = static_cast<Machine::About>(bits >> 4 & 1);
      m.mirror = static_cast<Machine::Mirror>(mirror);
      REQUIRE(app::machine_from_text(app::text_of(m), "") == m);
    }
  CHECK(tried == 96);
}

TEST_CASE("what is wrong in a machine's file is named with its line and what to write", "[machine]") {
  CHECK(said("") == "no error");
  CHECK(holds(said("step = 1"), "a.toml:2: 'step' is not a key of a machine file; leave it out; known here are name"));
  CHECK(said("sense = \"left\"") == "a.toml:2: 'sense' is \"left\"; write \"counter-clockwise\" or \"clockwise\"");
  CHECK(holds(said("mirror = \"both\""), "write \"none\", \"left-right\" or \"top-bottom\""));
  CHECK(holds(said("sense = 1"), "a.toml:2: 'sense'"));
  CHECK(holds(said("rotation_step_deg = 0.7"), "a.toml:2: 'rotation_step_deg' does not divide a full turn"));
  CHECK(holds(said("rotation_step_deg = 0.05"), "'rotation_step_deg' does not divide"));
  CHECK(holds(said("rotation_step_deg = -1"), "'rotation_step_deg' is -1; write a number from 0 to 180"));
  CHECK(holds(said("rotation_step_deg = nan"), "'rotation_step_deg' is nan"));
  CHECK(holds(said("turn_keys_deg = [90.0, 0.5]"), "a.toml:2: 'turn_keys_deg' holds 0.5, which is no multiple"));
  CHECK(holds(said("turn_keys_deg = [90.0, 10.05]"), "holds 10.05"));
  CHECK(holds(said("turn_keys_deg = [0]"), "holds 0, which is no multiple"));
  CHECK(holds(said("\nturn_keys_deg = [90.0, 90.0]"), "a.toml:3: 'turn_keys_deg' holds a key twice"));
  CHECK(holds(said("turn_keys_deg = [1,2,3,4,5,6,7,8,9]"), "more than 8 keys"));
  CHECK(holds(said("turn_keys_deg = 90"), "'turn_keys_deg'"));
  CHECK(holds(said("rotation_step_deg = 0\nturn_keys_deg = [90]"),
              "a.toml:3: 'turn_keys_deg' names keys of a machine "
              "that cannot turn"));
  CHECK(holds(said("turn_keys_both_ways = 1"), "'turn_keys_both_ways'"));
  CHECK(holds(said("jog_step_mm = 0"), "'jog_step_mm' is 0; write a number from 0.01 to 10"));
  CHECK(holds(said("jog_limit_mm = [10.0]"), "'jog_limit_mm' has 1 numbers; write 2"));
  CHECK(holds(said("jog_limit_mm = [10.0, -1.0]"), "'jog_limit_mm' is -1"));
  CHECK(holds(said("note = \"two\\nlines\""), "control character"));
  CHECK(holds(error_of([] { app::machine_from_text("note = \"x\"", "b.toml"); }),
              "b.toml:1: a machine file has no "
              "'name'"));
  CHECK(holds(error_of([] { app::machine_from_text("name = \"  \"", "b.toml"); }), "a machine needs a name"));
}

TEST_CASE("machines are kept by name, changed, renamed, and refused where a name is taken", "[machine]") {
  const TemporaryFolder folder;
  const app::MachineStore store(app::machine_folder(folder.path / "station.toml"));
  CHECK(store.list().machines.empty());
  CHECK(store.save(odd_machine()) == folder.path / "machines" / "machine-b-at-the-window.toml");
  store.save(named("Machine 12"));
  store.save(named("machine 9"));
  const app::MachineList list = store.list();
  REQUIRE(list.machines.size() == 3);
  CHECK(list.machines[1].machine.name == "machine 9");  // as people count
  CHECK(store.find("MACHINE  9")->machine.name == "machine 9");
  CHECK_FALSE(store.find("machine 10"));
  CHECK(error_of([&] { store.save(named("MACHINE 9")); }) ==
        "there is a machine 'machine 9' already; choose another name");
  CHECK(error_of([&] { store.save(named("Machine 12"), "machine 9"); }).starts_with("there is a machine 'Machine 12'"));
  CHECK(error_of([&] { store.save(named("X"), "nobody"); }).starts_with("there is no machine 'nobody'"));
  Machine broken = named("machine 9");
  broken.jog_step_mm = 0.0;
  CHECK(holds(error_of([&] { store.save(broken, "machine 9"); }), "(not saved)"));
  const auto before = store.find("machine 9");
  CHECK(store.save(named("Old one"), "machine 9") == before->file);
  CHECK_FALSE(store.find("machine 9"));
  CHECK(store.list().machines.size() == 3);
}

TEST_CASE("damaged machine files are named and hide nothing", "[machine]") {
  const TemporaryFolder folder;
  const app::MachineStore store(folder.path);
  store.save(named("A"));
  folder.put("b.toml", "name = \"B\"\nsense = up\n");
  folder.put("c.toml", "name = \"a\"\n");
  const app::MachineList list = store.list();
  REQUIRE(list.machines.size() == 1);
  REQUIRE(list.damaged.size() == 2);
  CHECK(holds(list.damaged[0].message, "b.toml:2: "));
  CHECK(holds(list.damaged[1].message, "c.toml: is called 'a' as a.toml is"));
}

TEST_CASE("a machine that was removed comes back as it was, the last one first", "[machine]") {
  const TemporaryFolder folder;
  const app::MachineStore store(folder.path);
  CHECK_FALSE(store.undo());
  store.save(odd_machine());
  store.save(named("A"));
  folder.put("b.toml", "damaged");
  store.remove(odd_machine().name);
  store.remove("A");
  store.remove("b.toml");
  CHECK(store.list().machines.empty());
  CHECK(store.list().damaged.empty());
  CHECK(error_of([&] { store.remove("A"); }) == "there is no machine 'A'");
  CHECK(store.can_undo());
  CHECK(store.undo() == "b.toml");
  CHECK(store.list().damaged.size() == 1);
  store.save(named("a"));
  CHECK(holds(error_of([&] { store.undo(); }), "there is a machine 'a' again"));
  store.save(named("other"), "a");
  CHECK(store.undo() == "A");
  CHECK(store.undo() == odd_machine().name);
  CHECK_FALSE(store.can_undo());
  CHECK(store.find(odd_machine().name)->machine == odd_machine());
  CHECK(store.list().machines.size() == 3);
}
