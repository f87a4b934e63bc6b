// Colours and sizes of the screen, in one place. Every pair of text and ground has a contrast of at least 7 : 1
// (WCAG 2, level AAA), which a test computes from this table.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>

namespace app {

// sRGB, 8 bit.
struct Colour {
  std::uint8_t r = 0, g = 0, b = 0, a = 255;
  bool operator==(const Colour&) const = default;
};

constexpr Colour with_alpha(Colour c, std::uint8_t alpha) { return {c.r, c.g, c.b, alpha}; }

namespace theme {

// Grounds.
inline constexpr Colour kGround{11, 16, 21};       // behind everything
inline constexpr Colour kPanel{19, 27, 34};        // what belongs together lies on a panel
inline constexpr Colour kPanelRaised{28, 38, 47};  // a panel that asks for attention
inline constexpr Colour kRule{47, 61, 73};         // thin lines between rows; never text

// Text.
inline constexpr Colour kText{240, 244, 247};
inline constexpr Colour kTextQuiet{174, 188, 200};  // captions, service figures

// Meanings. Each also has a shape and a word of its own: colour alone never tells.
inline constexpr Colour kMove{255, 200, 92};      // the cloth is to be moved; notices
inline constexpr Colour kWithin{126, 226, 168};   // within tolerance
inline constexpr Colour kTrouble{255, 160, 140};  // there is no reading

// Drawn on the live picture.
inline constexpr Colour kRing{96, 214, 236};
inline constexpr Colour kSticker{255, 200, 92};
inline constexpr Colour kMark{174, 188, 200};
inline constexpr Colour kHalo{0, 0, 0, 150};  // a dark edge that carries any line over a light picture

struct Pair {
  std::string_view name;
  Colour text, ground;
};

// Every text colour on every ground it is used on.
inline constexpr std::array kTextPairs{
    Pair{"text on ground", kText, kGround},
    Pair{"text on panel", kText, kPanel},
    Pair{"text on raised panel", kText, kPanelRaised},
    Pair{"quiet text on ground", kTextQuiet, kGround},
    Pair{"quiet text on panel", kTextQuiet, kPanel},
    Pair{"quiet text on raised panel", kTextQuiet, kPanelRaised},
    Pair{"move on ground", kMove, kGround},
    Pair{"move on panel", kMove, kPanel},
    Pair{"move on raised panel", kMove, kPanelRaised},
    Pair{"within on ground", kWithin, kGround},
    Pair{"within on panel", kWithin, kPanel},
    Pair{"within on raised panel", kWithin, kPanelRaised},
    Pair{"trouble on ground", kTrouble, kGround},
    Pair{"trouble on panel", kTrouble, kPanel},
    Pair{"trouble on raised panel", kTrouble, kPanelRaised},
    Pair{"ring on ground", kRing, kGround},
    Pair{"ground on notice", kGround, kMove},
    Pair{"ground on main button", kGround, kText},
    Pair{"ground on main button, pressed", kGround, kTextQuiet},
    Pair{"text on button, pressed", kText, kRule},
};

}  // namespace theme

// Relative luminance and contrast ratio as WCAG 2.2 defines them; alpha is not looked at.
double relative_luminance(Colour colour);
double contrast_ratio(Colour a, Colour b);

// Sizes in px for a screen, from sizes in mm on a screen of 10 inches diagonal. A larger screen stands further off, so
// everything grows with it; a portrait screen is measured by its shorter side.
class Scale {
 public:
  Scale() = default;
  Scale(int width_px, int height_px);
  // px for mm on the 10-inch screen; never less than one.
  float mm(double mm) const;
  int text_mm(double mm) const { return static_cast<int>(this->mm(mm) + 0.5F); }

 private:
  double px_per_mm_ = 6.0;
};

}  // namespace app
