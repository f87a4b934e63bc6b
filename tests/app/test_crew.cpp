// Who works at the station, on disk.
#include "app/crew/crew.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

std::string names(const app::Crew& crew) {
  std::string out;
  for (const app::Operator& one : crew.operators()) out += (out.empty() ? "" : ", ") + one.name;
  return out;
}

}  // namespace

TEST_CASE("operators are kept, renamed, given badges and removed", "[crew]") {
  const TemporaryFolder folder;
  const auto file = app::crew_file(folder.path / "station.toml");
  app::Crew crew(file);
  CHECK(crew.operators().empty());
  crew.add({"  Mia   Sato ", 480});
  crew.add({"ada", std::nullopt});
  crew.add({"Zoë", 586});
  CHECK(names(crew) == "ada, Mia Sato, Zoë");
  CHECK(names(app::Crew(file)) == "ada, Mia Sato, Zoë");
  CHECK(app::Crew(file).of_badge(480)->name == "Mia Sato");
  CHECK(crew.find("MIA SATO") != nullptr);

  crew.rename("mia sato", "Mia S.");
  crew.set_badge("ada", 481);
  crew.set_badge("Zoë", std::nullopt);
  crew.rename("ada", "Ada");  // the case alone
  const app::Crew again(file);
  CHECK(names(again) == "Ada, Mia S., Zoë");
  CHECK(again.of_badge(481)->name == "Ada");
  CHECK(again.of_badge(480)->name == "Mia S.");
  CHECK(again.of_badge(586) == nullptr);
  crew.remove("Mia S.");
  CHECK(names(app::Crew(file)) == "Ada, Zoë");
  CHECK(folder.entries() == 1);
}

TEST_CASE("a name or badge that is taken or unfit is refused, and nothing has changed", "[crew]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "operators.toml";
  app::Crew crew(file);
  crew.add({"Ülkü", 480});
  crew.add({"Ben", 481});
  const std::string before = TemporaryFolder::content(file);
  const auto added = [&](const std::string& name, std::optional<int> badge) {
    return error_of([&] { crew.add({name, badge}); });
  };
  CHECK(added(" ÜLKÜ", {}) == "there is an operator 'Ülkü' already; choose another name");
  CHECK(added("Cleo", 480) == "badge 480 is 'Ülkü''s; choose another badge");
  CHECK(added("Cleo", 479) == "479 is no badge; badges are 480 to 586");
  CHECK(added("Cleo", 587) == "587 is no badge; badges are 480 to 586");
  CHECK(holds(added("  ", {}), "an operator needs a name"));
  CHECK(holds(added("a\nb", {}), "control character"));
  CHECK(holds(added("\xff", {}), "not UTF-8"));
  std::string long_name;
  for (int i = 0; i < 40; ++i) long_name += "é";
  CHECK(added(long_name, {}) == "no error");
  crew.remove(long_name);
  CHECK(holds(added(long_name + "é", {}), "longer than 40 characters"));
  CHECK(error_of([&] { crew.rename("Ben", "ülkü"); }) == "there is an operator 'Ülkü' already; choose another name");
  CHECK(error_of([&] { crew.set_badge("Ben", 480); }) == "badge 480 is 'Ülkü''s; choose another badge");
  CHECK(holds(error_of([&] { crew.remove("Cleo"); }), "no operator 'Cleo'"));
  CHECK(TemporaryFolder::content(file) == before);
  CHECK(names(crew) == "Ben, Ülkü");
}

TEST_CASE("a faulty file of operators is named, and never written over", "[crew]") {
  const TemporaryFolder folder;
  const auto fault = [&](const std::string& text) {
    const auto file = folder.put("operators.toml", text);
    app::Crew crew(file);
    CHECK(crew.operators().empty());
    CHECK(error_of([&] { crew.add({"Ada", {}}); }) == crew.fault());
    CHECK(TemporaryFolder::content(file) == text);
    return crew.fault().substr(file.string().size());
  };
  CHECK(holds(fault("[[operator]]\nname = \"Ada\"\nbadge = 12\n"), ":3: 'badge' is 12; write a whole number from 480"));
  CHECK(holds(fault("[[operator]]\nname = \"Ada\"\n[[operator]]\nname = \"ADA\"\n"), ":4: there is an operator 'Ada'"));
  CHECK(holds(fault("[[operator]]\nname = \"A\"\nbadge = 480\n[[operator]]\nname = \"B\"\nbadge = 480\n"),
              ":6: badge 480 is 'A''s"));
  CHECK(holds(fault("[[operator]]\nbadge = 480\n"), ":1: [[operator]] no. 1 has no 'name'"));
  CHECK(holds(fault("[[operators]]\nname = \"Ada\"\n"), ":1: 'operators' is not a key"));
  CHECK(holds(fault("[operator]\nname = \"Ada\"\n"), "write a line [[operator]]"));
}
