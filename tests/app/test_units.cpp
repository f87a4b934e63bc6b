// Lengths as people read and step them.
#include <cmath>

#include "app/units.h"
#include "tests/catch.h"

using app::length_text;
using app::LengthKind;
using app::Units;

// An inch is 25.4 mm exactly (the international yard and pound agreement of 1959).
TEST_CASE("a length is shown as finely as its purpose wants", "[units]") {
  CHECK(length_text(4.52, LengthKind::guide, Units::mm) == "4.5 mm");
  CHECK(length_text(-4.52, LengthKind::guide, Units::mm) == "-4.5 mm");
  CHECK(length_text(9.94, LengthKind::guide, Units::mm) == "9.9 mm");
  CHECK(length_text(9.96, LengthKind::guide, Units::mm) == "10 mm");
  CHECK(length_text(37.6, LengthKind::guide, Units::mm) == "38 mm");
  CHECK(length_text(25.4, LengthKind::guide, Units::inch) == "1.00 in");
  CHECK(length_text(4.5, LengthKind::guide, Units::inch) == "0.18 in");
  CHECK(length_text(0.034, LengthKind::fine, Units::mm) == "0.03 mm");
  CHECK(length_text(0.254, LengthKind::fine, Units::inch) == "0.010 in");
  CHECK(app::size_text(130.0, 180.0, Units::mm) == "130 x 180 mm");
  CHECK(app::size_text(127.0, 177.8, Units::inch) == "5.00 x 7.00 in");
}

TEST_CASE("a length that rounds to nothing has no sign, and no number is no zero", "[units]") {
  CHECK(length_text(-0.04, LengthKind::guide, Units::mm) == "0.0 mm");
  CHECK(length_text(-0.1, LengthKind::guide, Units::inch) == "0.00 in");
  CHECK(app::length_number(std::nan(""), LengthKind::guide, Units::mm) == "-");
}

TEST_CASE("the last digit shown counts what is said", "[units]") {
  CHECK_THAT(app::shown_step_mm(4.5, LengthKind::guide, Units::mm), WithinAbs(0.1, 1e-12));
  CHECK_THAT(app::shown_step_mm(-45.0, LengthKind::guide, Units::mm), WithinAbs(1.0, 1e-12));
  CHECK_THAT(app::shown_step_mm(45.0, LengthKind::guide, Units::inch), WithinAbs(0.254, 1e-12));
}

TEST_CASE("lengths step on their unit's grid and back", "[units]") {
  using app::LengthKind;
  using app::Units;
  CHECK_THAT(app::stepped_mm(10.5, 1, false, LengthKind::height, Units::mm), WithinAbs(10.6, 1e-9));
  CHECK_THAT(app::stepped_mm(10.5, -1, true, LengthKind::height, Units::mm), WithinAbs(9.5, 1e-9));
  CHECK_THAT(app::stepped_mm(10.37, 1, false, LengthKind::height, Units::mm), WithinAbs(10.4, 1e-9));
  CHECK_THAT(app::stepped_mm(10.37, -1, false, LengthKind::height, Units::mm), WithinAbs(10.3, 1e-9));
  CHECK_THAT(app::stepped_mm(130.0, 1, true, LengthKind::field, Units::mm), WithinAbs(140.0, 1e-9));
  CHECK_THAT(app::stepped_mm(127.0, 1, false, LengthKind::field, Units::inch), WithinAbs(5.05 * 25.4, 1e-9));
  CHECK_THAT(app::stepped_mm(130.0, -1, false, LengthKind::field, Units::inch), WithinAbs(5.10 * 25.4, 1e-9));
  double mm = 10.5;
  for (int i = 0; i < 200; ++i) mm = app::stepped_mm(mm, 1, false, LengthKind::height, Units::mm);
  for (int i = 0; i < 200; ++i) mm = app::stepped_mm(mm, -1, false, LengthKind::height, Units::mm);
  CHECK_THAT(mm, WithinAbs(10.5, 1e-9));
  CHECK(app::length_text(10.5, LengthKind::height, Units::mm) == "10.5 mm");
  CHECK(app::length_text(10.5, LengthKind::height, Units::inch) == "0.413 in");
  CHECK(app::length_text(130.0, LengthKind::field, Units::mm) == "130 mm");
  CHECK(app::length_text(127.3, LengthKind::field, Units::mm) == "127.3 mm");
  CHECK(app::length_text(130.0, LengthKind::field, Units::inch) == "5.12 in");
  CHECK(app::step_label(1, true, LengthKind::field, Units::mm) == "+10");
  CHECK(app::step_label(-1, false, LengthKind::height, Units::inch) == "\u22120.005");
}
