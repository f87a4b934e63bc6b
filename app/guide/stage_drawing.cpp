#include "app/guide/stage_drawing.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "app/screen/symbols.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr Colour kLine = theme::kTextQuiet;
constexpr Colour kPaper{225, 230, 234};
constexpr Colour kInk = theme::kGround;

// A drawing in its own coordinates: 0..100 across, 0..80 up, y up.
struct Sketch {
  Canvas& canvas;
  Text& text;
  SDL_FPoint origin;  // of (0, 0), px
  float unit;         // px
  float width;        // px of a line

  SDL_FPoint at(float x, float y) const { return {origin.x + unit * x, origin.y - unit * y}; }
  void line(float x0, float y0, float x1, float y1, Colour c = kLine) const {
    canvas.line(at(x0, y0), at(x1, y1), width, c);
  }
  void dashed(float x0, float y0, float x1, float y1, Colour c) const {
    canvas.dashed_line(at(x0, y0), at(x1, y1), width, 1.6F * unit, c);
  }
  void arrow(float x0, float y0, float x1, float y1, Colour c) const {
    canvas.arrow(at(x0, y0), at(x1, y1), 1.2F * width, 4.0F * unit, c);
  }
  void both_ways(float x0, float y0, float x1, float y1, Colour c) const {
    const float mx = (x0 + x1) / 2.0F, my = (y0 + y1) / 2.0F;
    arrow(mx, my, x0, y0, c);
    arrow(mx, my, x1, y1, c);
  }
  void fill(float x, float y, float w, float h, Colour c) const {
    canvas.rect({origin.x + unit * x, origin.y - unit * (y + h), unit * w, unit * h}, c);
  }
  void box(float x, float y, float w, float h, Colour c = kLine) const {
    const std::array<SDL_FPoint, 4> p{at(x, y), at(x + w, y), at(x + w, y + h), at(x, y + h)};
    canvas.polyline(p, true, width, c);
  }
  // A rounded rectangle as a line.
  void ring(float cx, float cy, float half_w, float half_h, float r, float line_width, Colour c) const {
    std::vector<SDL_FPoint> p;
    for (int corner = 0; corner < 4; ++corner) {
      const float sx = corner == 0 || corner == 3 ? 1.0F : -1.0F, sy = corner < 2 ? 1.0F : -1.0F;
      for (int i = 0; i <= 8; ++i) {
        const double angle = (90.0 * corner + 90.0 * i / 8.0) * 3.14159265358979323846 / 180.0;
        p.push_back(at(cx + sx * (half_w - r) + r * static_cast<float>(std::cos(angle)),
                       cy + sy * (half_h - r) + r * static_cast<float>(std::sin(angle))));
      }
    }
    canvas.polyline(p, true, line_width, c);
  }
  void words(float x, float y, std::string_view utf8, Colour c = theme::kText, float size = 3.6F) const {
    text.draw({Weight::regular, std::max(6, static_cast<int>(size * unit))}, at(x, y), utf8, c);
  }
  void words_centred(float x, float y, std::string_view utf8, Colour c = theme::kText, float size = 3.6F) const {
    text.draw_centred({Weight::regular, std::max(6, static_cast<int>(size * unit))}, at(x, y), utf8, c);
  }
  // Tagged paper: a white square with a black one and some modules in it.
  void mark(float cx, float cy, float half) const {
    fill(cx - half, cy - half, 2.0F * half, 2.0F * half, kPaper);
    const float black = 0.78F * half;
    fill(cx - black, cy - black, 2.0F * black, 2.0F * black, kInk);
    const float m = black / 4.0F;
    for (const auto& [x, y] : {std::pair{-2, -1}, {0, 1}, {1, -2}, {-1, 0}, {1, 1}})
      fill(cx + m * static_cast<float>(x), cy + m * static_cast<float>(y), m, m, kPaper);
  }
  void chart(float x, float y, float w, float h) const {
    fill(x, y, w, h, kPaper);
    const float sx = w / 10.0F, sy = h / 8.0F;
    for (int row = 0; row < 7; ++row)
      for (int column = row % 2; column < 9; column += 2)
        fill(x + sx * (0.5F + static_cast<float>(column)), y + sy * (0.5F + static_cast<float>(row)), sx, sy, kInk);
  }
  void tick(float x, float y, float r) const { draw_tick(canvas, at(x, y), r * unit, theme::kWithin, theme::kPanel); }
  void cross(float x, float y, float r) const {
    line(x - r, y - r, x + r, y + r, theme::kTrouble);
    line(x - r, y + r, x + r, y - r, theme::kTrouble);
  }
};

// The post and the board from the side; the camera's foot is at x 45.
void post(const Sketch& s) {
  s.fill(5.0F, 8.0F, 80.0F, 3.0F, kLine);          // the board
  s.fill(86.0F, 8.0F, 3.0F, 66.0F, kLine);         // the post
  s.fill(45.0F, 71.0F, 44.0F, 3.0F, kLine);        // its arm
  s.fill(41.0F, 62.0F, 8.0F, 9.0F, theme::kText);  // the camera
  s.fill(42.5F, 59.0F, 5.0F, 3.0F, theme::kText);
}

void draw_mount(const Sketch& s) {
  post(s);
  s.dashed(45.0F, 58.0F, 6.0F, 12.0F, theme::kRing);
  s.dashed(45.0F, 58.0F, 84.0F, 12.0F, theme::kRing);
  s.both_ways(45.0F, 58.5F, 45.0F, 11.5F, theme::kMove);
  s.words(47.5F, 19.0F, "650 mm", theme::kMove, 4.2F);
  s.words_centred(45.0F, 1.5F, tr("the board fills the picture"));
}

void lamp(const Sketch& s, float x, float aim) {
  s.canvas.disc(s.at(x, 48.0F), 4.0F * s.unit, theme::kMove);
  for (const float spread : {-9.0F, 0.0F, 9.0F})
    s.dashed(x + aim * 4.0F, 45.0F, x + aim * 26.0F + spread, 14.0F, theme::kMove);
}

void draw_light(const Sketch& s) {
  s.fill(5.0F, 8.0F, 90.0F, 3.0F, kLine);
  s.fill(46.0F, 66.0F, 8.0F, 9.0F, theme::kText);
  s.fill(47.5F, 63.0F, 5.0F, 3.0F, theme::kText);
  lamp(s, 14.0F, 1.0F);
  lamp(s, 86.0F, -1.0F);
  s.words_centred(50.0F, 1.5F, tr("two lamps from the sides, frosted"));
  s.words_centred(50.0F, 54.0F, tr("camera"));
}

void draw_focus(const Sketch& s) {
  const SDL_FPoint middle = s.at(30.0F, 45.0F);
  s.canvas.circle(middle, 22.0F * s.unit, s.width, kLine);
  s.canvas.circle(middle, 14.0F * s.unit, s.width, theme::kText);
  for (int i = 0; i < 36; ++i) {
    const double a = i * 3.14159265358979323846 / 18.0;
    const auto c = static_cast<float>(std::cos(a)), n = static_cast<float>(std::sin(a));
    s.line(30.0F + 19.5F * c, 45.0F + 19.5F * n, 30.0F + 22.0F * c, 45.0F + 22.0F * n);
  }
  s.fill(28.5F, 65.5F, 3.0F, 6.0F, theme::kMove);  // the screw
  s.words(34.0F, 70.0F, tr("lock its screw"), theme::kMove);
  s.words_centred(30.0F, 14.0F, tr("turn until sharp"));
  s.chart(62.0F, 34.0F, 28.0F, 22.0F);
  s.tick(76.0F, 24.0F, 4.0F);
  s.words_centred(76.0F, 12.0F, tr("sharp edges"));
}

void draw_print(const Sketch& s) {
  s.fill(8.0F, 6.0F, 50.0F, 70.0F, kPaper);
  s.chart(13.0F, 34.0F, 40.0F, 34.0F);
  s.fill(13.0F, 20.0F, 40.0F, 1.2F, kInk);
  for (const float x : {13.0F, 52.2F}) s.fill(x, 17.5F, 0.8F, 6.2F, kInk);
  s.words_centred(33.0F, 24.5F, "100 mm", kInk, 3.2F);
  s.fill(10.0F, 8.0F, 62.0F, 8.0F, theme::kMove);  // the ruler
  for (int i = 0; i <= 20; ++i)
    s.fill(13.0F + 1.98F * static_cast<float>(i), i % 10 == 0 ? 11.5F : 13.2F, 0.4F, i % 10 == 0 ? 4.5F : 2.8F, kInk);
  s.both_ways(13.0F, 29.0F, 53.0F, 29.0F, kInk);
  s.words(63.0F, 60.0F, tr("print at"));
  s.words(63.0F, 52.0F, "100 %", theme::kMove, 6.0F);
  s.words(63.0F, 36.0F, tr("measure"));
  s.words(63.0F, 30.0F, tr("the bar"));
}

void board_from_above(const Sketch& s) {
  s.box(6.0F, 10.0F, 88.0F, 66.0F);
  for (const auto& [x, y] :
       {std::pair{13.0F, 69.0F}, {50.0F, 69.0F}, {87.0F, 69.0F}, {87.0F, 17.0F}, {50.0F, 17.0F}, {13.0F, 17.0F}})
    s.mark(x, y, 5.0F);
}

void draw_stick(const Sketch& s) {
  board_from_above(s);
  s.ring(50.0F, 43.0F, 17.0F, 19.0F, 6.0F, 2.2F * s.unit, theme::kRing);
  s.words_centred(50.0F, 42.0F, tr("hoop"));
  s.words_centred(50.0F, 2.5F, tr("flat, near the rim, all around"));
}

void draw_lens(const Sketch& s) {
  s.fill(46.0F, 70.0F, 8.0F, 8.0F, theme::kText);
  s.fill(47.5F, 67.0F, 5.0F, 3.0F, theme::kText);
  s.dashed(50.0F, 66.0F, 12.0F, 12.0F, theme::kRing);
  s.dashed(50.0F, 66.0F, 88.0F, 12.0F, theme::kRing);
  const auto sheet = [&](float x, float y, float half, double angle_deg) {
    const double a = angle_deg * 3.14159265358979323846 / 180.0;
    const float dx = half * static_cast<float>(std::cos(a)), dy = half * static_cast<float>(std::sin(a));
    s.canvas.line(s.at(x - dx, y - dy), s.at(x + dx, y + dy), 2.4F * s.unit, kPaper);
  };
  sheet(34.0F, 32.0F, 11.0F, 24.0);
  sheet(64.0F, 30.0F, 11.0F, -24.0);
  sheet(49.0F, 19.0F, 11.0F, 0.0);
  s.words_centred(50.0F, 3.0F, tr("near, far, to all sides, tilted"));
}

void draw_board(const Sketch& s) {
  board_from_above(s);
  s.chart(36.0F, 32.0F, 28.0F, 22.0F);
  s.arrow(33.0F, 43.0F, 20.0F, 43.0F, theme::kMove);
  s.arrow(67.0F, 43.0F, 80.0F, 43.0F, theme::kMove);
  s.arrow(50.0F, 56.0F, 50.0F, 63.0F, theme::kMove);
  s.arrow(50.0F, 30.0F, 50.0F, 23.0F, theme::kMove);
  s.words_centred(50.0F, 2.5F, tr("flat, then moved toward every mark"));
}

void draw_hoop(const Sketch& s) {
  s.ring(30.0F, 45.0F, 20.0F, 26.0F, 8.0F, 3.0F * s.unit, theme::kRing);
  for (const auto& [x, y, name] :
       {std::tuple{30.0F, 75.0F, "N"}, {55.0F, 43.5F, "E"}, {30.0F, 11.5F, "S"}, {5.0F, 43.5F, "W"}})
    s.words_centred(x, y, name, theme::kText, 4.0F);
  for (const auto& [x, y] : {std::pair{30.0F, 69.5F}, {48.5F, 45.0F}, {30.0F, 20.5F}, {11.5F, 45.0F}})
    s.canvas.disc(s.at(x, y), 1.3F * s.unit, theme::kText);
  // From the side: the rim's height over the board.
  s.fill(62.0F, 26.0F, 34.0F, 2.5F, kLine);
  s.fill(66.0F, 28.5F, 6.0F, 14.0F, theme::kRing);
  s.fill(84.0F, 28.5F, 7.0F, 34.0F, theme::kMove);
  for (int i = 0; i < 9; ++i) s.fill(84.0F, 28.5F + 3.5F * static_cast<float>(i), i % 2 == 0 ? 4.0F : 2.5F, 0.5F, kInk);
  s.dashed(66.0F, 42.5F, 84.0F, 42.5F, theme::kText);
  s.words_centred(79.0F, 17.0F, tr("rim height"));
  s.words_centred(79.0F, 11.0F, tr("by ruler"));
}

void draw_proof(const Sketch& s) {
  const auto sheet = [&](float cx, bool turned) {
    s.fill(cx - 17.0F, 22.0F, 34.0F, 48.0F, kPaper);
    s.ring(cx, 46.0F, 13.5F, 18.0F, 4.0F, 1.6F * s.unit, kInk);
    for (const auto& [x, y] : {std::pair{-7.0F, 9.0F}, {7.0F, 9.0F}, {0.0F, 0.0F}, {-7.0F, -9.0F}, {7.0F, -9.0F}})
      s.mark(cx + x, 46.0F + y, 2.6F);
    s.words_centred(cx, turned ? 23.2F : 66.0F, "N", kInk, 3.0F);
  };
  sheet(24.0F, false);
  sheet(76.0F, true);
  s.canvas.arc(s.at(50.0F, 46.0F), 7.0F * s.unit, 200.0, -20.0, 1.2F * s.width, theme::kMove);
  s.arrow(56.2F, 44.5F, 56.8F, 42.0F, theme::kMove);
  s.words_centred(50.0F, 33.0F, tr("half"), theme::kMove);
  s.words_centred(50.0F, 28.0F, tr("a turn"), theme::kMove);
  s.words_centred(50.0F, 8.0F, tr("at five places on the board"));
}

}  // namespace

void draw_stage(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, StageId stage) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float unit = std::min(area.w / 104.0F, area.h / 84.0F);
  const Sketch sketch{canvas,
                      text,
                      {area.x + (area.w - 100.0F * unit) / 2.0F, area.y + (area.h + 80.0F * unit) / 2.0F},
                      unit,
                      std::max(1.5F, 0.7F * unit)};
  canvas.clip(area);
  switch (stage) {
    case StageId::mount:
      draw_mount(sketch);
      break;
    case StageId::light:
      draw_light(sketch);
      break;
    case StageId::focus:
      draw_focus(sketch);
      break;
    case StageId::print:
      draw_print(sketch);
      break;
    case StageId::stick:
      draw_stick(sketch);
      break;
    case StageId::lens:
      draw_lens(sketch);
      break;
    case StageId::board:
      draw_board(sketch);
      break;
    case StageId::hoop:
      draw_hoop(sketch);
      break;
    case StageId::proof:
      draw_proof(sketch);
      break;
  }
  canvas.unclip();
}

}  // namespace app
