// The taught hoops of a station: kept, listed, renamed, removed, brought back, handed on.
#include <algorithm>
#include <functional>
#include <set>

#include "app/hoops/find_hoop.h"
#include "app/hoops/hoop_store.h"
#include "app/names.h"
#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

namespace fs = std::filesystem;

vision::Hoop hoop(const std::string& name, double rim_height_mm = 11.0) {
  vision::Hoop one = calib::hoop_from_text(samples::kHoop, "sample");
  one.name = name;
  one.rim_height_mm = rim_height_mm;
  return one;
}

struct Shop {
  TemporaryFolder folder;
  app::HoopStore store{folder.path / "hoops"};

  std::vector<std::string> names() const {
    std::vector<std::string> out;
    const app::HoopList all = store.list();
    for (const app::StoredHoop& one : all.hoops) out.push_back(one.hoop.name);
    return out;
  }
  double rim(const std::string& name) const { return store.find(name).hoop.rim_height_mm; }
  std::size_t kept() const {
    std::error_code none;
    const fs::path removed = store.folder() / "removed";
    return static_cast<std::size_t>(std::count_if(fs::directory_iterator(removed, none), {}, [](const auto& entry) {
      return entry.path().filename() != "undo.toml";
    }));
  }
};

std::string error_of(const std::function<void()>& work) {
  try {
    work();
  } catch (const calib::FileError& error) {
    return error.what();
  }
  return "no error";
}

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("names of files hold nothing that surprises", "[hoop][names]") {
  CHECK(app::file_stem("130 x 180") == "130-x-180");
  CHECK(app::file_stem("Größe 5/7") == "groesse-5-7");
  CHECK(app::file_stem("../../etc/passwd") == "etc-passwd");
  CHECK(app::file_stem(".hidden.toml") == "hidden-toml");
  CHECK(app::file_stem("Łódź ÉTÉ 130×180") == "lodz-ete-130x180");
  CHECK(app::file_stem("花の枠") == "hoop");
  CHECK(app::file_stem("") == "hoop");
  CHECK(app::file_stem("\xff\xc3") == "hoop");
  const std::string any = app::file_stem(std::string(300, 'a') + "/\\:*?\"<>|\n\t\0 b");
  CHECK(any == std::string(60, 'a'));
  for (const char* name : {"a/b", "a\\b", "C:x", "con.", "~user", "-rf", "a  b", "ä/ö"}) {
    const std::string stem = app::file_stem(name);
    INFO(name << ": " << stem);
    CHECK(stem.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos);
    CHECK(stem.front() != '-');
    CHECK(stem.back() != '-');
  }
}

TEST_CASE("names that people would take for the same are the same", "[hoop][names]") {
  CHECK(app::tidy_name("  130  x 180 ") == "130 x 180");
  CHECK(app::same_name("Round 120", " round  120"));
  CHECK_FALSE(app::same_name("round 120", "round 12"));
  // Cases of letters after the Unicode Standard, UnicodeData.txt.
  CHECK(app::same_name("GRÖSSE Łódź", "grösse łÓDŹ"));
  CHECK(app::same_name("ЯНА", "яна"));
  CHECK_FALSE(app::same_name("Ola", "Öla"));
  CHECK(app::characters_in("Größe") == 5);
  CHECK(app::fault_of_name("Größe 5/7 ‘A’").empty());
  CHECK(holds(app::fault_of_name(""), "needs a name"));
  CHECK(holds(app::fault_of_name("a\tb"), "control character"));
  CHECK(holds(app::fault_of_name("a\xc2\x85"
                                 "b"),
              "control character"));
  CHECK(holds(app::fault_of_name("\xc0\xaf"), "not UTF-8"));
  CHECK(holds(app::fault_of_name(std::string(101, 'a')), "longer than 100"));
  CHECK(app::name_before("round 90", "Round 120"));
  CHECK_FALSE(app::name_before("round 120", "round 90"));
  CHECK(app::name_before("100 x 100", "130 x 180"));
  CHECK_FALSE(app::name_before("a", "a"));
}

TEST_CASE("hoops are kept under names of their own and listed as people count", "[hoop][store]") {
  Shop shop;
  CHECK(shop.store.list().hoops.empty());
  CHECK(holds(error_of([&] { shop.store.find("x"); }), "teach one with hoopgauge hoop teach"));
  shop.store.save(hoop("round 120"), false);
  shop.store.save(hoop("  Round   90 "), false);
  CHECK(shop.store.save(hoop("a/b"), false).filename() == "a-b.toml");
  CHECK(shop.store.save(hoop("a b"), false).filename() == "a-b-2.toml");
  CHECK(shop.names() == Names{"a b", "a/b", "Round 90", "round 120"});
  CHECK(shop.store.find("ROUND 90").hoop.name == "Round 90");
  CHECK(holds(error_of([&] { shop.store.find("none"); }), "there are 'a b', 'a/b', 'Round 90', 'round 120'"));
  CHECK(holds(error_of([&] { shop.store.save(hoop("\n"), false); }), "control character"));
  // A hoop that could not be read again is not kept.
  vision::Hoop bad = hoop("bad");
  bad.notches[0].at_mm = {500.0, 0.0};
  CHECK(holds(error_of([&] { shop.store.save(bad, false); }), "not saved"));
  CHECK(shop.names().size() == 4);
}

TEST_CASE("a damaged file among the hoops is named and the others are listed", "[hoop][store][errors]") {
  Shop shop;
  shop.store.save(hoop("good"), false);
  shop.folder.put("hoops/broken.toml", "name = \n");
  shop.folder.put("hoops/half.toml", samples::kHoop.substr(0, 200));
  shop.folder.put("hoops/twin.toml", samples::with(samples::kHoop, "130 x 180", "GOOD"));
  shop.folder.put("hoops/notes.txt", "not a hoop");
  fs::create_directory(shop.store.folder() / "folder.toml");
  const app::HoopList all = shop.store.list();
  CHECK(shop.names() == Names{"good"});
  REQUIRE(all.damaged.size() == 3);
  CHECK(holds(all.damaged[0].message, "broken.toml:1: is not TOML here"));
  CHECK(holds(all.damaged[1].message, "half.toml:"));
  CHECK(holds(all.damaged[2].message, "is called 'GOOD' as good.toml is; give it another name"));
  CHECK(holds(error_of([&] { shop.store.find("x"); }), "3 more cannot be read, see hoop list"));
  // It can be removed by its file name, and comes back byte for byte.
  shop.store.remove("broken.toml");
  CHECK_FALSE(fs::exists(shop.store.folder() / "broken.toml"));
  CHECK(shop.store.undo() == "'broken.toml' is back");
  CHECK(TemporaryFolder::content(shop.store.folder() / "broken.toml") == "name = \n");
}

// Guarantees: nothing that a person removes, renames or writes over is lost, and undo goes back step by step.
TEST_CASE("undo brings back what was removed, renamed and written over, the last first", "[hoop][store][undo]") {
  Shop shop;
  CHECK_FALSE(shop.store.undo());
  shop.store.save(hoop("a", 10.0), false);
  shop.store.save(hoop("b", 11.0), false);
  const std::string before = TemporaryFolder::content(shop.store.find("a").file);
  shop.store.rename("A", "c d");
  CHECK(shop.names() == Names{"b", "c d"});
  CHECK(shop.store.find("c d").file.filename() == "c-d.toml");
  shop.store.save(hoop("b", 12.0), true);
  CHECK(shop.rim("b") == 12.0);
  shop.store.remove("c d");
  CHECK(shop.names() == Names{"b"});
  CHECK(shop.kept() == 3);

  CHECK(shop.store.undo() == "'c d' is back");
  CHECK(shop.names() == Names{"b", "c d"});
  CHECK(shop.store.undo() == "'b' is as it was before it was written over");
  CHECK(shop.rim("b") == 11.0);
  CHECK(shop.store.undo() == "'c d' is called 'a' again");
  CHECK(shop.names() == Names{"a", "b"});
  CHECK(TemporaryFolder::content(shop.store.folder() / "a.toml") == before);
  CHECK_FALSE(shop.store.undo());
  // What undo itself put away is kept, too.
  CHECK(shop.kept() == 1);
}

TEST_CASE("undo never writes over another hoop", "[hoop][store][undo]") {
  Shop shop;
  shop.store.save(hoop("a", 10.0), false);
  shop.store.remove("a");
  shop.store.save(hoop("a", 20.0), false);
  CHECK(holds(error_of([&] { shop.store.undo(); }), "there is a hoop 'a' again"));
  CHECK(shop.rim("a") == 20.0);
  shop.store.rename("a", "other");
  CHECK(shop.store.undo() == "'other' is called 'a' again");  // the last step is the renaming
  shop.folder.put("hoops/a.toml", calib::text_of(hoop("elsewhere", 20.0)));
  CHECK(shop.store.undo() == "'a' is back");  // its old file name is taken by another hoop
  CHECK(shop.names() == Names{"a", "elsewhere"});
  CHECK(shop.rim("a") == 10.0);
}

TEST_CASE("a name changed in case only, or edited by hand since, is renamed and undone", "[hoop][store][undo]") {
  Shop shop;
  shop.store.save(hoop("round 90", 10.0), false);
  shop.store.rename("round 90", "Round 90");
  CHECK(shop.names() == Names{"Round 90"});
  shop.folder.put("hoops/round-90.toml", calib::text_of(hoop("Round 90", 13.0)));
  CHECK(shop.store.undo() == "'Round 90' is called 'round 90' again");
  CHECK(shop.rim("round 90") == 10.0);
  CHECK(shop.kept() == 1);  // the edited one
  shop.store.save(hoop("b"), false);
  CHECK(holds(error_of([&] { shop.store.rename("b", "ROUND 90"); }), "there is a hoop 'round 90' already"));
  CHECK(holds(error_of([&] { shop.store.rename("b", " "); }), "needs a name"));
  CHECK(shop.names() == Names{"b", "round 90"});
}

TEST_CASE("a damaged list of steps says where, and leads nowhere outside", "[hoop][store][undo][errors]") {
  Shop shop;
  shop.store.save(hoop("a"), false);
  shop.store.remove("a");
  const fs::path list = shop.store.folder() / "removed" / "undo.toml";
  const std::string good = TemporaryFolder::content(list);
  shop.folder.put("hoops/removed/undo.toml", samples::with(good, "'remove'", "'paint'"));
  CHECK(holds(error_of([&] { shop.store.undo(); }), "undo.toml:4: 'action' is none"));
  shop.folder.put("hoops/removed/undo.toml", samples::with(good, "'a.toml'", "'../a.toml'"));
  CHECK(holds(error_of([&] { shop.store.undo(); }), "is not a plain file name"));
  shop.folder.put("hoops/removed/undo.toml", good);
  CHECK(shop.store.undo() == "'a' is back");
}

TEST_CASE("hoops go from station to station in one file, number for number", "[hoop][store][exchange]") {
  Shop here, there;
  here.store.save(hoop("a/ä", 10.1), false);
  here.store.save(hoop("b", 11.0 / 3.0), false);
  const fs::path file = here.folder.path / "all.toml";
  CHECK(here.store.export_to(file, {}, false) == 2);
  CHECK(holds(error_of([&] { here.store.export_to(file, {}, false); }), "is there already"));
  CHECK(here.store.export_to(file, {"B", "b"}, true) == 1);
  CHECK(here.store.export_to(file, {}, true) == 2);
  CHECK(holds(error_of([&] { here.store.export_to(here.folder.path / "x.toml", {"none"}, false); }), "no hoop 'none'"));
  CHECK_FALSE(fs::exists(here.folder.path / "x.toml"));
  CHECK(holds(error_of([&] { there.store.export_to(there.folder.path / "x.toml", {}, false); }), "no hoop"));

  auto done = there.store.import_from(file, app::OnSameName::refuse);
  REQUIRE(done.size() == 2);
  for (const char* name : {"a/ä", "b"})
    CHECK(calib::text_of(there.store.find(name).hoop) == calib::text_of(here.store.find(name).hoop));
  // Again: nothing changes.
  done = there.store.import_from(file, app::OnSameName::refuse);
  for (const app::ImportedHoop& one : done) CHECK(one.how == app::ImportedHoop::How::same);
  CHECK(there.names().size() == 2);
  // The file of one hoop will do as well.
  there.store.import_from(here.folder.put("one.toml", samples::kHoop), app::OnSameName::refuse);
  CHECK(there.names() == Names{"130 x 180", "a/ä", "b"});
}

TEST_CASE("an import never writes over a hoop unasked", "[hoop][store][exchange]") {
  Shop shop;
  shop.store.save(hoop("a", 10.0), false);
  const fs::path file = shop.folder.put("in.toml", calib::text_of(std::vector{hoop("new", 12.0), hoop("A", 13.0)}));
  const std::string refused = error_of([&] { shop.store.import_from(file, app::OnSameName::refuse); });
  CHECK(holds(refused, "nothing was imported: there are other hoops called 'a' here"));
  CHECK(shop.names() == Names{"a"});

  const auto renamed = shop.store.import_from(file, app::OnSameName::rename);
  CHECK(renamed[1].name == "A (2)");
  CHECK(shop.names() == Names{"a", "A (2)", "new"});
  CHECK(shop.rim("a") == 10.0);
  CHECK(shop.rim("A (2)") == 13.0);

  const auto replaced = shop.store.import_from(file, app::OnSameName::replace);
  CHECK(replaced[0].how == app::ImportedHoop::How::same);
  CHECK(replaced[1].how == app::ImportedHoop::How::replaced);
  CHECK(shop.rim("a") == 13.0);
  CHECK(shop.store.undo());
  CHECK(shop.rim("a") == 10.0);
}

TEST_CASE("a bad file of hoops changes nothing", "[hoop][store][exchange][errors]") {
  Shop shop;
  const std::string two = calib::text_of(std::vector{hoop("a"), hoop("b", 12.5)});
  const std::pair<std::string, std::string> cases[] = {
      {"", "in.toml:1: a file of several hoops has no 'hoopgauge_hoops'"},
      {"hoopgauge_hoops = 1\n", "in.toml: holds no hoop"},
      {samples::with(two, "12.5", "'x'"), "'rim_height_mm' is a text"},
      {samples::with(two, "name = 'b'", "name = ' A '"), "two hoops are called 'A'"},
      {samples::with(two, "name = 'b'", "name = '  '"), "in.toml: hoop 2: a hoop needs a name"},
      {two.substr(0, two.rfind("[[hoop]]")), "in.toml:2: 'count' is not 1"},
  };
  for (const auto& [text, says] : cases) {
    const std::string said = error_of(
        [&, file = shop.folder.put("in.toml", text)] { shop.store.import_from(file, app::OnSameName::replace); });
    INFO(said);
    CHECK(holds(said, says));
    CHECK(shop.names().empty());
  }
  CHECK(
      holds(error_of([&] { shop.store.import_from(shop.folder.path / "none", app::OnSameName::refuse); }), "no such"));
}

TEST_CASE("a hoop is named by its file or by its name", "[hoop][store]") {
  Shop shop;
  const fs::path station = shop.folder.path / "station.toml";
  const fs::path file = shop.store.save(hoop("130 x 180"), false);
  CHECK(app::hoop_file_named("130 X 180", station) == file);
  CHECK(app::hoop_file_named(file.string(), station) == file);
  CHECK(app::hoop_file_named("none.toml", station) == "none.toml");
  CHECK(app::hoop_file_named("/none/x", station) == "/none/x");
  CHECK(holds(error_of([&] { app::hoop_file_named("none", station); }), "there is no hoop 'none'"));
}
