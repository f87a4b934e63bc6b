// The catalogue of common sizes. Its figures are those that the trade calls common practice (no single source): the
// project's notes on the trade list them so, and the machine's manual has the last word.
#include <algorithm>

#include "app/hoops/catalogue.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

bool holds(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

// Common practice: 100 x 100, 130 x 180 (sold as 5 x 7 in), 150 x 240, 200 x 200, 200 x 300 mm; round 90, 120, 150,
// 180.
TEST_CASE("the catalogue holds the common sizes, each marked common practice", "[hoop][catalogue]") {
  const TemporaryFolder folder;
  const app::Catalogue catalogue = app::Catalogue::of_station(folder.path / "station.toml");
  const std::pair<double, double> fields[] = {{100, 100}, {130, 180}, {150, 240}, {200, 200}, {200, 300}};
  const double diameters[] = {90, 120, 150, 180};
  CHECK(catalogue.sizes().size() == std::size(fields) + std::size(diameters));
  const auto has = [&](cv::Size2d field, bool round) {
    return std::count_if(catalogue.sizes().begin(), catalogue.sizes().end(), [&](const app::CommonSize& size) {
      return size.field_mm == field && size.field_is_round == round && size.source == "common practice";
    });
  };
  for (const auto& [w, h] : fields) CHECK(has({w, h}, false) == 1);
  for (const double d : diameters) CHECK(has({d, d}, true) == 1);
  CHECK(catalogue.find("5 X 7 in").field_mm == cv::Size2d(130.0, 180.0));
  CHECK(catalogue.find("130x180").field_mm == cv::Size2d(130.0, 180.0));
  CHECK(catalogue.find("Round 120").field_is_round);
  REQUIRE(catalogue.by_opening({140.6, 189.5}) != nullptr);
  CHECK(catalogue.by_opening({140.6, 189.5})->name == "130 x 180");
  CHECK(catalogue.by_opening({190.0, 140.0}) == nullptr);
  // The field that can be sewn is smaller than the ring's opening (common practice).
  for (const app::CommonSize& size : catalogue.sizes())
    if (!size.opening_mm.empty()) {
      CHECK(size.opening_mm.width > size.field_mm.width);
      CHECK(size.opening_mm.height > size.field_mm.height);
    }
}

TEST_CASE("a station's own sizes add to the built-in ones and stand in their place", "[hoop][catalogue]") {
  const TemporaryFolder folder;
  folder.put("hoop_sizes.toml",
             "[[size]]\nname = \"130 X 180\"\nfield_mm = [127.0, 178.0]\nsource = \"the machine's manual\"\n"
             "[[size]]\nname = \"cap\"\nfield_mm = [360, 70]\nsource = \"ours\"\n");
  const app::Catalogue catalogue = app::Catalogue::of_station(folder.path / "station.toml");
  CHECK(catalogue.sizes().size() == 10);
  CHECK(catalogue.find("130 x 180").field_mm == cv::Size2d(127.0, 178.0));
  CHECK(catalogue.find("cap").source == "ours");
  try {
    catalogue.find("none");
    FAIL("found");
  } catch (const calib::FileError& error) {
    CHECK(holds(error.what(), "no size 'none'"));
    CHECK(holds(error.what(), "'round 180', 'cap', or give the field with --field"));
  }
}

TEST_CASE("a bad file of sizes says what and where", "[hoop][catalogue][errors]") {
  const std::pair<const char*, const char*> cases[] = {
      {"[[size]]\nname = \"a\"\nfield = [1, 2]\n", "own.toml:3: 'field' is not a key"},
      {"[[size]]\nname = \"a\"\nsource = \"x\"\n", "own.toml:1: [[size]] no. 1 has no 'field_mm'"},
      {"[[size]]\nname = \"\"\n", "own.toml:2: 'name' is empty"},
      {"[[size]]\nname = \"a\"\nfield_mm = [100, 100]\n", "has no 'source'"},
      {"[[size]]\nname = \"a\"\nfield_mm = [100, 100]\nfield_diameter_mm = 3\n", "both 'field_mm' and"},
      {"[[size]]\nname = \"a\"\nfield_mm = [100, 100]\nopening_mm = [90, 110]\nsource = \"x\"\n",
       "own.toml:4: 'opening_mm' is smaller"},
      {"[[size]]\nname = \"a\"\nfield_diameter_mm = nan\nsource = \"x\"\n", "own.toml:3: 'field_diameter_mm' is nan"},
  };
  for (const auto& [text, says] : cases) {
    INFO(text);
    app::Catalogue catalogue;
    try {
      catalogue.add(text, "own.toml");
      FAIL("taken");
    } catch (const calib::FileError& error) {
      INFO(error.what());
      CHECK(holds(error.what(), says));
    }
  }
}

TEST_CASE("a field that does not go with the opening is doubted", "[hoop][catalogue]") {
  CHECK(app::doubt_of_field({130, 180}, false, {140, 190}).empty());
  CHECK(app::doubt_of_field({120, 120}, true, {150, 150}).empty());
  CHECK(holds(app::doubt_of_field({180, 130}, false, {140, 190}), "larger than the ring's opening"));
  CHECK(holds(app::doubt_of_field({100, 100}, false, {200, 300}), "much smaller"));
  CHECK(app::field_text({130, 180}, false) == "130 x 180 mm");
  CHECK(app::field_text({120, 120}, true) == "round, 120 mm");
}
