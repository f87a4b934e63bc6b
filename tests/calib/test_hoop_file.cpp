#include "calib/file_text.h"
#include "calib/outline_check.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/error_of.h"

namespace {

using samples::kHoop;
using samples::with;

std::string fault_in(const std::string& text) {
  return error_of([&] { calib::hoop_from_text(text, "h.toml"); });
}

void same(const vision::Hoop& a, const vision::Hoop& b) {
  CHECK(a.name == b.name);
  CHECK(a.north_by == b.north_by);
  CHECK(a.north_mark == b.north_mark);
  CHECK(a.rim_height_mm == b.rim_height_mm);
  CHECK(a.cloth_height_mm == b.cloth_height_mm);
  CHECK(a.field_mm == b.field_mm);
  CHECK(a.field_is_round == b.field_is_round);
  CHECK(a.field_corner_mm == b.field_corner_mm);
  CHECK(a.inner_edge_drop_mm == b.inner_edge_drop_mm);
  CHECK(a.outer_edge_drop_mm == b.outer_edge_drop_mm);
  CHECK(a.inner_mm == b.inner_mm);
  CHECK(a.outer_mm == b.outer_mm);
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(a.notches[i].side == b.notches[i].side);
    CHECK(a.notches[i].at_mm == b.notches[i].at_mm);
    CHECK(a.notches[i].teeth == b.notches[i].teeth);
  }
}

}  // namespace

// Guarantees: every value lands in its own field; notches are kept in the order north, east, south, west whatever
// the order of the file; north is doubled unless the file says otherwise.
TEST_CASE("a hoop file is read value by value", "[files]") {
  const std::string swapped =
      with(with(kHoop, "side = \"east\"\nat_mm = [70.0, 0.0]", "side = \"west\"\nat_mm = [-70.0, 1.0]"),
           "side = \"west\"\nat_mm = [-70.0, 0.0]", "teeth = 3\nside = \"east\"\nat_mm = [70.0, 2.0]");
  const vision::Hoop hoop = calib::hoop_from_text(swapped, "");
  CHECK(hoop.name == "130 x 180");
  CHECK(hoop.north_by == vision::NorthBy::taught);
  CHECK(hoop.rim_height_mm == 11.0);
  CHECK(hoop.cloth_height_mm == 1.0);
  CHECK(hoop.field_mm == cv::Size2d(130.0, 180.0));
  CHECK_FALSE(hoop.field_is_round);
  REQUIRE(hoop.inner_mm.size() == 4);
  CHECK(hoop.inner_mm[1] == cv::Point2d(-70.0, 95.0));
  REQUIRE(hoop.outer_mm.size() == 4);
  CHECK(hoop.outer_mm[3] == cv::Point2d(75.0, -100.0));
  CHECK(hoop.notches[0].side == vision::Side::north);
  CHECK(hoop.notches[0].teeth == 2);
  CHECK(hoop.notches[1].at_mm == cv::Point2d(70.0, 2.0));
  CHECK(hoop.notches[1].teeth == 3);
  CHECK(hoop.notches[2].teeth == 1);
  CHECK(hoop.notches[3].side == vision::Side::west);
  CHECK(hoop.notches[3].at_mm == cv::Point2d(-70.0, 1.0));
}

TEST_CASE("the three ways to tell north", "[files]") {
  CHECK(calib::hoop_from_text(with(kHoop, "\"taught\"", "\"fixture\""), "").north_by == vision::NorthBy::fixture);
  const vision::Hoop marked = calib::hoop_from_text(with(kHoop, "\"taught\"", "\"mark 451\""), "");
  CHECK(marked.north_by == vision::NorthBy::mark);
  CHECK(marked.north_mark == 451);
}

TEST_CASE("a round field is given by its diameter", "[files]") {
  const vision::Hoop hoop =
      calib::hoop_from_text(with(kHoop, "field_mm = [130.0, 180.0]", "field_diameter_mm = 120"), "");
  CHECK(hoop.field_is_round);
  CHECK(hoop.field_mm == cv::Size2d(120.0, 120.0));
}

TEST_CASE("a field may be oval, or have rounded corners", "[files]") {
  const vision::Hoop oval =
      calib::hoop_from_text(with(kHoop, "field_mm = [130.0, 180.0]", "field_oval_mm = [120.0, 170]"), "");
  CHECK(oval.field_is_round);
  CHECK(oval.field_mm == cv::Size2d(120.0, 170.0));
  same(oval, calib::hoop_from_text(calib::text_of(oval), "again"));
  const vision::Hoop rounded = calib::hoop_from_text(
      with(kHoop, "field_mm = [130.0, 180.0]", "field_mm = [130.0, 180.0]\nfield_corner_mm = 12.5"), "");
  CHECK_FALSE(rounded.field_is_round);
  CHECK(rounded.field_corner_mm == 12.5);
  same(rounded, calib::hoop_from_text(calib::text_of(rounded), "again"));
}

// Guarantees: the height at which each edge shows is its own, and the usual bevel's where the file does not say.
TEST_CASE("a hoop file may say how far below the rim its edges show", "[files]") {
  const vision::Hoop plain = calib::hoop_from_text(kHoop, "");
  CHECK(plain.inner_edge_drop_mm == vision::kInnerEdgeDropMm);
  CHECK(plain.outer_edge_drop_mm == vision::kOuterEdgeDropMm);
  CHECK(calib::text_of(plain).find("drop") == std::string::npos);
  const vision::Hoop hoop = calib::hoop_from_text(
      with(kHoop, "rim_height_mm = 11.0", "rim_height_mm = 11.0\ninner_edge_drop_mm = 0\nouter_edge_drop_mm = 1.5"),
      "");
  CHECK(hoop.inner_edge_drop_mm == 0.0);
  CHECK(hoop.outer_edge_drop_mm == 1.5);
}

TEST_CASE("a hoop survives text and back bit by bit", "[files][roundtrip]") {
  vision::Hoop hoop = calib::hoop_from_text(kHoop, "");
  same(hoop, calib::hoop_from_text(calib::text_of(hoop), "again"));

  hoop.name = "round \"120\" \\ \n\t\xc3\xa9";
  hoop.north_by = vision::NorthBy::mark;
  hoop.north_mark = 479;
  hoop.field_is_round = true;
  hoop.field_mm = {120.0 + 1.0 / 3.0, 120.0 + 1.0 / 3.0};
  hoop.rim_height_mm = 10.87;
  hoop.inner_edge_drop_mm = 0.0;
  hoop.outer_edge_drop_mm = 1.0 / 3.0;
  hoop.inner_mm[0] += cv::Point2d(1.0 / 7.0, 1e-13);
  hoop.notches[0].teeth = 1;
  hoop.notches[2].teeth = 3;
  same(hoop, calib::hoop_from_text(calib::text_of(hoop), "again"));

  hoop.north_by = vision::NorthBy::fixture;
  hoop.north_mark = 0;
  same(hoop, calib::hoop_from_text(calib::text_of(hoop), "again"));
}

// Guarantees and example failure as for the station file; lines counted by hand in samples.h.
TEST_CASE("each fault of a hoop file names its line and the mend", "[files][errors]") {
  struct Case {
    const char *from, *to, *says;
  };
  const Case cases[] = {
      {"name = \"130 x 180\"", "name = 130", "h.toml:1: 'name' is a whole number; write a text in quotes"},
      {"name = \"130 x 180\"", "name = \"\"", "h.toml:1: 'name' is empty or very long; write what"},
      {"name = \"130 x 180\"\n", "", "h.toml:1: a hoop file has no 'name'; add a line such as name = "},
      {"\"taught\"", "\"up\"", "h.toml:2: 'north' is none of the three forms; write north = \"taught\", "},
      {"\"taught\"", "\"mark\"", "h.toml:2: 'north' is none of the three forms"},
      {"\"taught\"", "\"mark x51\"", "h.toml:2: 'north' is none of the three forms"},
      {"\"taught\"", "\"mark 449\"", "h.toml:2: north mark 449 is none; north marks are tags 450 to 479: write north"},
      {"\"taught\"", "\"mark 480\"", "h.toml:2: north mark 480 is none"},
      {"\"taught\"", "\"mark 99999999999\"", "h.toml:2: 'north' is none of the three forms"},
      {"rim_height_mm = 11.0", "rim_height_mm = nan", "h.toml:3: 'rim_height_mm' is nan; write a number from 0 to 100"},
      {"rim_height_mm = 11.0", "rim_height = 11.0", "h.toml:3: 'rim_height' is not a key of a hoop file; leave it out"},
      {"rim_height_mm", "rim_heigth_mm",
       "h.toml:3: 'rim_heigth_mm' is not a key of a hoop file; write 'rim_height_mm'"},
      {"cloth_height_mm = 1.0", "cloth_height_mm = 1.0\ninner_edge_drop_mm = -0.1",
       "h.toml:5: 'inner_edge_drop_mm' is -0.1; write a number from 0 to 5"},
      {"cloth_height_mm = 1.0", "cloth_height_mm = 1.0\nouter_edge_drop_mm = 5.1",
       "h.toml:5: 'outer_edge_drop_mm' is 5.1; write a number from 0 to 5"},
      {"cloth_height_mm = 1.0", "cloth_height_mm = -1.0", "h.toml:4: 'cloth_height_mm' is -1; write a number from 0"},
      {"[130.0, 180.0]", "130.0", "h.toml:5: 'field_mm' is a number; write a list such as field_mm = [130.0, 180.0]"},
      {"[130.0, 180.0]", "[130.0]", "h.toml:5: 'field_mm' has 1 numbers; write 2"},
      {"[130.0, 180.0]", "[140.5, 180.0]", "h.toml:5: 'field_mm' is larger than the opening 'inner_mm', 140.0 x 190"},
      {"[130.0, 180.0]", "[130.0, 180.0]\nfield_diameter_mm = 120.0", "h.toml:6: both 'field_mm' and 'field_diam"},
      {"field_mm = [130.0, 180.0]", "field_oval_mm = [130.0, 180.0]\nfield_diameter_mm = 120.0",
       "h.toml:5: both 'field_diameter_mm' and 'field_oval_mm' are there; leave out"},
      {"field_mm = [130.0, 180.0]", "field_oval_mm = [141.0, 180.0]",
       "h.toml:5: 'field_oval_mm' is larger than the opening 'inner_mm', 140.0 x 190"},
      {"field_mm = [130.0, 180.0]", "field_oval_mm = 130", "h.toml:5: 'field_oval_mm' is a whole number; write a list"},
      {"[130.0, 180.0]", "[130.0, 180.0]\nfield_corner_mm = 65.5",
       "h.toml:6: 'field_corner_mm' is more than half of 'field_mm'; write the radius"},
      {"[130.0, 180.0]", "[130.0, 180.0]\nfield_corner_mm = -1.0",
       "h.toml:6: 'field_corner_mm' is -1; write a number from 0"},
      {"field_mm = [130.0, 180.0]", "field_diameter_mm = 120.0\nfield_corner_mm = 5.0",
       "h.toml:6: 'field_corner_mm' is of a rectangle, and 'field_diameter_mm' has no corners; leave"},
      {"field_mm = [130.0, 180.0]\n", "", "h.toml:1: a hoop file has no 'field_mm'; add a line such as field_mm = "},
      {"[70.0, 95.0], [-70.0, 95.0], ", "", "h.toml:6: 'inner_mm' has 2 points; write three or more"},
      {"[-70.0, 95.0], [-70", "[-70.0], [-70", "h.toml:6: point 2 of 'inner_mm' is not a pair; write [x, y], such as "},
      {"[-70.0, 95.0], [-70", "[-70.0, 'a'], [-70", "h.toml:6: 'inner_mm' is a text; write a number"},
      {"  [-75.0, 100.0],", "  [-75.0, nan],", "h.toml:9: 'outer_mm' is nan; write a number from -2000 to 2000"},
      {"  [-75.0, 100.0],", "  7,", "h.toml:9: point 2 of 'outer_mm' is not a pair"},
      {"  [75.0, -100.0]", "  [75.0, -100.0], [75.0, 100.0]",
       "h.toml:11: 'outer_mm' has the same point twice in a row"},
      {"  [-75.0, 100.0],\n  [-75.0, -100.0],", "  [-75.0, -100.0],\n  [-75.0, 100.0],",
       "h.toml:10: 'outer_mm' crosses"},
      {"  [-75.0, 100.0],", "  [-69.0, 94.0],", "h.toml:6: 'inner_mm' does not lie inside 'outer_mm'; write the open"},
      {"side = \"north\"", "side = \"up\"", "h.toml:13: 'side' is no side; write \"north\", \"east\", \"south\" or"},
      {"side = \"north\"", "side = \"east\"", "h.toml:14: the east notch does not lie to the east; mend its side or"},
      {"side = \"north\"", "side = \"north\"\nteeth = 4", "h.toml:14: 'teeth' is 4; write a whole number from 1 to 3"},
      {"side = \"north\"", "side = \"north\"\ntooth = 2",
       "h.toml:14: 'tooth' is not a key of [[notch]] no. 1; write 'teeth'"},
      {"[0.0, 95.0]", "[0.0, 60.0]", "h.toml:14: the north notch lies 35.0 mm from 'inner_mm'; write where it meets"},
      {"[[notch]]\nside = \"east\"\nat_mm = [70.0, 0.0]\n", "", "h.toml:1: there is no notch at east; add a [[notch]]"},
      {"side = \"west\"\nat_mm = [-70.0, 0.0]", "side = \"east\"\nat_mm = [70.0, 1.0]",
       "h.toml:22: the east notch is there twice, first in line 16; write each side once"},
  };
  for (const Case& one : cases) {
    INFO(one.from << "  ->  " << one.to);
    const std::string error = fault_in(with(kHoop, one.from, one.to));
    INFO(error);
    CHECK(error.starts_with(one.says));
  }
}

TEST_CASE("a clockwise outline and exchanged outlines are errors", "[files][errors]") {
  const std::string clockwise = with(kHoop, "[[70.0, 95.0], [-70.0, 95.0], [-70.0, -95.0], [70.0, -95.0]]",
                                     "[[70.0, -95.0], [-70.0, -95.0], [-70.0, 95.0], [70.0, 95.0]]");
  CHECK(fault_in(clockwise).starts_with("h.toml:6: 'inner_mm' runs clockwise; write its points in the opposite order"));
  const std::string exchanged =
      with(with(with(kHoop, "inner_mm", "other_mm"), "outer_mm", "inner_mm"), "other_mm", "outer_mm");
  CHECK(fault_in(exchanged).starts_with("h.toml:8: 'inner_mm' does not lie inside 'outer_mm'"));
  const std::string aside = with(kHoop, "[[70.0, 95.0], [-70.0, 95.0], [-70.0, -95.0], [70.0, -95.0]]",
                                 "[[70.0, 95.0], [10.0, 95.0], [10.0, -95.0], [70.0, -95.0]]");
  CHECK(fault_in(aside).starts_with("h.toml:6: 'inner_mm' does not surround (0, 0)"));
}

// By hand: the unit square, and an L whose notch must not count as inside.
TEST_CASE("inside and area of an outline", "[files][outline]") {
  const std::vector<cv::Point2d> square{{0, 0}, {1, 0}, {1, 1}, {0, 1}};
  CHECK(calib::signed_area(square) == 1.0);
  CHECK(calib::signed_area({square.rbegin(), square.rend()}) == -1.0);
  CHECK(calib::is_inside({0.5, 0.5}, square));
  CHECK_FALSE(calib::is_inside({1.5, 0.5}, square));
  CHECK_FALSE(calib::is_inside({-0.5, 0.0}, square));
  CHECK_FALSE(calib::is_inside({0.5, 0.0}, square));
  CHECK_FALSE(calib::is_inside({0.0, 0.0}, square));
  const std::vector<cv::Point2d> ell{{0, 0}, {2, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 2}};
  CHECK(calib::signed_area(ell) == 3.0);
  CHECK(calib::is_inside({0.5, 1.5}, ell));
  CHECK(calib::is_inside({0.5, 1.0}, ell));
  CHECK_FALSE(calib::is_inside({1.5, 1.5}, ell));
  CHECK(calib::fault_of_outline(ell).message.empty());
}

// Guarantees: what one station exports another imports, number for number. Example failure: the second hoop's notches
// land in the first.
TEST_CASE("several hoops in one text read back as they were", "[hoop][files]") {
  vision::Hoop a = calib::hoop_from_text(samples::kHoop, "a");
  vision::Hoop b = a;
  b.name = "round \"A\"\\ä";
  b.north_by = vision::NorthBy::mark;
  b.north_mark = 451;
  b.field_is_round = true;
  b.field_mm = {120.0, 120.0};
  b.outer_edge_drop_mm = 0.3;
  b.notches[2].at_mm.x = 0.1 + 0.2;
  const std::string text = calib::text_of(std::vector<vision::Hoop>{a, b});
  CHECK(text.starts_with("hoopgauge_hoops = 1\n"));
  const std::vector<vision::Hoop> back = calib::hoops_from_text(text, "all.toml");
  REQUIRE(back.size() == 2);
  CHECK(calib::text_of(back[0]) == calib::text_of(a));
  CHECK(calib::text_of(back[1]) == calib::text_of(b));
  CHECK(calib::hoops_from_text("hoopgauge_hoops = 1\n", "none.toml").empty());
}

TEST_CASE("a file of several hoops says what is wrong and where", "[hoop][files][errors]") {
  const std::string good = calib::text_of(std::vector{calib::hoop_from_text(samples::kHoop, "a")});
  const std::pair<std::string, std::string> cases[] = {
      {"", "all.toml:1: a file of several hoops has no 'hoopgauge_hoops'; add a line such as hoopgauge_hoops = 1"},
      {samples::kHoop, "all.toml:1: this is the file of one hoop"},
      {samples::with(good, "hoopgauge_hoops = 1", "hoopgauge_hoops = 2"), "all.toml:1: 'hoopgauge_hoops' is 2"},
      {samples::with(good, "count = 1", "count = 2"), "all.toml:2: 'count' is not 1"},
      {samples::with(good, "[[hoop]]", "[[hoops]]"), "all.toml:4: 'hoops' is not a key"},
      {samples::with(good, "rim_height_mm = 11.0", "rim_height_mm = 'x'"), "all.toml:7: 'rim_height_mm' is a text"},
  };
  for (const auto& [text, says] : cases) {
    INFO(text);
    try {
      calib::hoops_from_text(text, "all.toml");
      FAIL("taken");
    } catch (const calib::FileError& error) {
      INFO(error.what());
      CHECK(std::string(error.what()).starts_with(says));
    }
  }
}
