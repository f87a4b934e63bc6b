// Contrast of the theme. The formula and its worked examples are the W3C's: WCAG 2.2, definitions of relative luminance
// and contrast ratio; examples printed in ACT rule afw4f7, Understanding 1.4.11 and technique G207.
#include <cmath>
#include <string>

#include "app/screen/theme.h"
#include "tests/catch.h"

namespace {

app::Colour hex(const std::string& text) {
  const auto byte = [&](std::size_t at) {
    return static_cast<std::uint8_t>(std::stoi(text.substr(at, 2), nullptr, 16));
  };
  return {byte(0), byte(2), byte(4)};
}

}  // namespace

TEST_CASE("contrast ratios agree with the W3C's worked examples", "[screen][theme][reference]") {
  struct Example {
    const char *a, *b;
    double ratio;
  };
  // Printed with one or two decimals, truncated as often as rounded: hence 0.1.
  for (const Example& e :
       {Example{"000000", "FFFFFF", 21.0}, Example{"333333", "FFFFFF", 12.6}, Example{"0000EE", "FFFFFF", 9.39},
        Example{"CA0000", "FFFFFF", 6.0}, Example{"E5E5E5", "6221EA", 5.6}, Example{"FFFFFF", "6E747B", 4.7},
        Example{"777777", "EEEEEE", 3.85}, Example{"000000", "666666", 3.6}, Example{"FF3838", "FFFFFF", 3.6},
        Example{"E3660E", "FFFFFF", 3.4}, Example{"949494", "FFFFFF", 3.0}, Example{"9D9D9D", "FFFFFF", 2.7},
        Example{"AAAAAA", "FFFFFF", 2.3}, Example{"CCCCCC", "FFFFFF", 1.6}, Example{"FFF000", "FFFFFF", 1.2}}) {
    INFO(e.a << " on " << e.b);
    CHECK_THAT(app::contrast_ratio(hex(e.a), hex(e.b)), WithinAbs(e.ratio, 0.1));
    CHECK_THAT(app::contrast_ratio(hex(e.b), hex(e.a)), WithinAbs(e.ratio, 0.1));
  }
}

// WCAG 2.2, success criterion 1.4.6 (level AAA): at least 7 : 1 for text of any size, not rounded up.
TEST_CASE("every text of the theme stands out by 7 to 1 at least", "[screen][theme]") {
  for (const auto& pair : app::theme::kTextPairs) {
    INFO(std::string(pair.name));
    CHECK(pair.text.a == 255);
    CHECK(pair.ground.a == 255);
    CHECK(app::contrast_ratio(pair.text, pair.ground) >= 7.0);
  }
}

// WCAG 2.2, success criterion 1.4.11: at least 3 : 1 for shapes that mean something. The picture is never brighter than
// its dimming, so the halo is what carries a line there.
TEST_CASE("lines on the picture stand out from the halo around them", "[screen][theme]") {
  for (app::Colour line : {app::theme::kRing, app::theme::kSticker, app::theme::kWithin, app::theme::kTrouble}) {
    CHECK(app::contrast_ratio(line, {0, 0, 0}) >= 3.0);
  }
}
