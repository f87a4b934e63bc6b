#include "app/screen/symbols.h"

#include <array>
#include <cmath>

namespace app {
namespace {

// A symbol is drawn in its own coordinates: -1..1, y up.
struct Sketch {
  Canvas& canvas;
  SDL_FPoint centre;
  float radius;
  float width;  // px of a line

  SDL_FPoint at(float x, float y) const { return {centre.x + radius * x, centre.y - radius * y}; }
  void line(float x0, float y0, float x1, float y1, Colour c) const { canvas.line(at(x0, y0), at(x1, y1), width, c); }
  void dashed(float x0, float y0, float x1, float y1, Colour c) const {
    canvas.dashed_line(at(x0, y0), at(x1, y1), width, 0.13F * radius, c);
  }
  void box(float x, float y, float half_w, float half_h, bool dashes, Colour c) const {
    const std::array<SDL_FPoint, 4> corners{at(x - half_w, y - half_h), at(x + half_w, y - half_h),
                                            at(x + half_w, y + half_h), at(x - half_w, y + half_h)};
    if (!dashes) return canvas.polyline(corners, true, width, c);
    for (std::size_t i = 0; i < 4; ++i) {
      canvas.dashed_line(corners[i], corners[(i + 1) % 4], width, 0.13F * radius, c);
    }
  }
  void block(float x, float y, float half, Colour c) const {
    canvas.rect(
        {centre.x + radius * (x - half), centre.y - radius * (y + half), 2.0F * half * radius, 2.0F * half * radius},
        c);
  }
  void circle(float x, float y, float r, Colour c) const { canvas.circle(at(x, y), r * radius, width, c); }
  void disc(float x, float y, float r, Colour c) const { canvas.disc(at(x, y), r * radius, c); }
  void arrow(float x0, float y0, float x1, float y1, Colour c) const {
    canvas.arrow(at(x0, y0), at(x1, y1), 1.2F * width, 0.3F * radius, c);
  }
  void cross_out(Colour c) const {
    line(-0.8F, -0.8F, 0.8F, 0.8F, c);
    line(-0.8F, 0.8F, 0.8F, -0.8F, c);
  }
};

void sketch_board(const Sketch& s, bool moved, Colour line, Colour accent) {
  const float tilt = moved ? 0.1F : 0.0F;
  s.box(0.0F, 0.0F, 0.95F, 0.7F, !moved, line);
  for (const auto& [x, y] : {std::pair{-0.65F, 0.42F}, {0.65F, 0.42F}, {0.65F, -0.42F}, {-0.65F, -0.42F}}) {
    s.block(x, y, 0.14F, line);
    if (moved) s.box(x + tilt, y - tilt, 0.14F, 0.14F, false, accent);
  }
  if (moved) s.arrow(-0.3F, 0.0F, 0.35F, 0.0F, accent);
}

void sketch_ring(const Sketch& s, bool dashes, Colour line) {
  s.box(0.0F, 0.0F, 0.66F, 0.9F, dashes, line);
  s.box(0.0F, 0.0F, 0.5F, 0.74F, dashes, line);
}

void sketch_sticker(const Sketch& s, float x, float y, float half, bool dashes, Colour line) {
  s.box(x, y, half, half, dashes, line);
  if (dashes) {
    s.dashed(x - half, y, x + half, y, line);
    s.dashed(x, y - half, x, y + half, line);
  } else {
    s.line(x - half, y, x + half, y, line);
    s.line(x, y - half, x, y + half, line);
    for (const auto& [sx, sy] : {std::pair{-1.0F, 1.0F}, {1.0F, 1.0F}, {1.0F, -1.0F}, {-1.0F, -1.0F}}) {
      s.block(x + 0.5F * half * sx, y + 0.5F * half * sy, 0.22F * half, line);
    }
  }
}

// Something laid over the lower right: a hand, a fold.
void sketch_cover(const Sketch& s, Colour accent) {
  s.disc(0.55F, -0.5F, 0.45F, theme::kPanel);
  s.disc(0.55F, -0.5F, 0.4F, accent);
}

void sketch_lamp(const Sketch& s, bool bright, Colour line, Colour accent) {
  if (!bright) {
    s.circle(0.0F, 0.0F, 0.5F, line);
    s.line(-0.75F, -0.75F, 0.75F, 0.75F, accent);
    return;
  }
  s.disc(0.0F, 0.0F, 0.45F, accent);
  for (int i = 0; i < 12; ++i) {
    const double angle = i * 3.14159265358979323846 / 6.0;
    const auto c = static_cast<float>(std::cos(angle)), n = static_cast<float>(std::sin(angle));
    s.line(0.62F * c, 0.62F * n, 0.95F * c, 0.95F * n, line);
  }
}

}  // namespace

void draw_tick(Canvas& canvas, SDL_FPoint centre, float radius, Colour disc, Colour tick) {
  canvas.disc(centre, radius, disc);
  const std::array<SDL_FPoint, 3> points{SDL_FPoint{centre.x - 0.48F * radius, centre.y + 0.02F * radius},
                                         SDL_FPoint{centre.x - 0.12F * radius, centre.y + 0.40F * radius},
                                         SDL_FPoint{centre.x + 0.52F * radius, centre.y - 0.36F * radius}};
  canvas.polyline(points, false, 0.24F * radius, tick);
}

void draw_notice_sign(Canvas& canvas, SDL_FPoint centre, float radius, Colour triangle, Colour mark) {
  const std::array<SDL_FPoint, 3> corners{SDL_FPoint{centre.x, centre.y - radius},
                                          SDL_FPoint{centre.x + radius, centre.y + 0.8F * radius},
                                          SDL_FPoint{centre.x - radius, centre.y + 0.8F * radius}};
  canvas.polygon(corners, triangle);
  canvas.line({centre.x, centre.y - 0.4F * radius}, {centre.x, centre.y + 0.28F * radius}, 0.22F * radius, mark);
  canvas.disc({centre.x, centre.y + 0.55F * radius}, 0.13F * radius, mark);
}

void draw_slide_sign(Canvas& canvas, SDL_FPoint centre, float radius, float dx, float dy, Colour colour) {
  canvas.arrow({centre.x - radius * dx, centre.y - radius * dy}, {centre.x + radius * dx, centre.y + radius * dy},
               0.34F * radius, 0.95F * radius, colour);
}

void draw_turn_sign(Canvas& canvas, SDL_FPoint centre, float radius, bool counter_clockwise, Colour colour) {
  const float r = 0.72F * radius;
  // The arc leaves a gap at the top right (clockwise) or its mirror image, where the head points into.
  const double end_deg = counter_clockwise ? 115.0 : 65.0;
  const double sweep_deg = counter_clockwise ? -265.0 : 265.0;
  canvas.arc(centre, r, end_deg + sweep_deg, end_deg, 0.26F * radius, colour);
  const double a = end_deg * 3.14159265358979323846 / 180.0;
  const SDL_FPoint at{centre.x + r * static_cast<float>(std::cos(a)), centre.y - r * static_cast<float>(std::sin(a))};
  const float sense = counter_clockwise ? 1.0F : -1.0F;
  // Along the arc, screen axes.
  const SDL_FPoint along{-sense * static_cast<float>(std::sin(a)), -sense * static_cast<float>(std::cos(a))};
  const SDL_FPoint across{-along.y, along.x};
  const float half = 0.42F * radius, length = 0.62F * radius;
  const std::array<SDL_FPoint, 3> head{SDL_FPoint{at.x + length * along.x, at.y + length * along.y},
                                       SDL_FPoint{at.x + half * across.x, at.y + half * across.y},
                                       SDL_FPoint{at.x - half * across.x, at.y - half * across.y}};
  canvas.polygon(head, colour);
}

void draw_reason(Canvas& canvas, SDL_FPoint centre, float radius, vision::Status status, Colour line, Colour accent) {
  using vision::Status;
  const Sketch s{canvas, centre, radius, std::max(2.0F, 0.055F * radius)};
  switch (status) {
    case Status::ok:
      return draw_tick(canvas, centre, radius, line, accent);
    case Status::no_board:
      return sketch_board(s, false, line, accent);
    case Status::board_moved:
      return sketch_board(s, true, line, accent);
    case Status::no_ring:
      return sketch_ring(s, true, line);
    case Status::ring_covered:
      sketch_ring(s, false, line);
      return sketch_cover(s, accent);
    case Status::which_way_up:
      sketch_ring(s, false, line);
      s.arrow(-0.16F, -0.4F, -0.16F, 0.45F, accent);
      return s.arrow(0.16F, 0.4F, 0.16F, -0.45F, accent);
    case Status::no_sticker:
      return sketch_sticker(s, 0.0F, 0.0F, 0.75F, true, line);
    case Status::sticker_covered:
      sketch_sticker(s, 0.0F, 0.0F, 0.75F, false, line);
      return sketch_cover(s, accent);
    case Status::several_stickers:
      sketch_sticker(s, -0.45F, 0.4F, 0.42F, false, line);
      return sketch_sticker(s, 0.45F, -0.4F, 0.42F, false, accent);
    case Status::sticker_missing:
      sketch_sticker(s, -0.45F, 0.4F, 0.42F, false, line);
      return sketch_sticker(s, 0.45F, -0.4F, 0.42F, true, accent);
    case Status::stickers_disagree:
      sketch_sticker(s, -0.45F, 0.4F, 0.42F, false, line);
      sketch_sticker(s, 0.45F, -0.4F, 0.42F, false, line);
      return s.cross_out(accent);
    case Status::wrong_sticker:
      sketch_sticker(s, 0.0F, 0.0F, 0.75F, false, line);
      return s.cross_out(accent);
    case Status::blurred:
      for (float r : {0.3F, 0.5F, 0.7F, 0.9F}) {
        s.circle(0.0F, 0.0F, r, with_alpha(line, static_cast<std::uint8_t>(270.0F - 240.0F * r)));
      }
      return s.disc(0.0F, 0.0F, 0.12F, accent);
    case Status::too_dark:
      return sketch_lamp(s, false, line, accent);
    case Status::too_bright:
      return sketch_lamp(s, true, line, accent);
    case Status::moving:
      sketch_sticker(s, 0.3F, 0.0F, 0.55F, false, line);
      for (float y : {-0.35F, 0.0F, 0.35F}) s.line(-0.95F, y, -0.42F, y, accent);
      return;
  }
}

}  // namespace app
