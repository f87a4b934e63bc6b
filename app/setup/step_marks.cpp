#include "app/setup/step_marks.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "app/screen/symbols.h"
#include "app/words/words.h"

namespace app {
namespace {

using Kind = StepMark::Kind;

constexpr std::array kKinds{Kind::found, Kind::doubt, Kind::aim, Kind::done};

Colour colour_of(Kind kind) {
  switch (kind) {
    case Kind::found:
      return theme::kRing;
    case Kind::doubt:
      return theme::kTrouble;
    case Kind::aim:
      return theme::kMove;
    case Kind::done:
      return theme::kWithin;
  }
  return theme::kText;
}

struct Pen {
  Canvas& canvas;
  Text& text;
  const Scale& scale;

  // Dark behind, so that it is seen on paper and on black.
  void line(SDL_FPoint a, SDL_FPoint b, float width, Colour c) const {
    canvas.line(a, b, width + 2.0F, theme::kHalo);
    canvas.line(a, b, width, c);
  }
  void dashes(SDL_FPoint a, SDL_FPoint b, float width, float dash, Colour c) const {
    canvas.line(a, b, width + 2.0F, theme::kHalo);
    canvas.dashed_line(a, b, width, dash, c);
  }

  // found: a dot; doubt: a cross; aim: a ring with cross hairs; done: a tick.
  void sign(Kind kind, SDL_FPoint at) const {
    const Colour c = colour_of(kind);
    const float r = scale.mm(kind == Kind::found ? 0.6 : 1.5);
    const float w = scale.mm(0.5);
    switch (kind) {
      case Kind::found:
        canvas.disc(at, r + 1.0F, theme::kHalo);
        canvas.disc(at, r, c);
        break;
      case Kind::doubt:
        line({at.x - r, at.y - r}, {at.x + r, at.y + r}, w, c);
        line({at.x - r, at.y + r}, {at.x + r, at.y - r}, w, c);
        break;
      case Kind::aim:
        canvas.circle(at, r, w + 2.0F, theme::kHalo);
        canvas.circle(at, r, w, c);
        for (const auto& [dx, dy] : {std::pair{1.0F, 0.0F}, {-1.0F, 0.0F}, {0.0F, 1.0F}, {0.0F, -1.0F}})
          line({at.x + 0.5F * r * dx, at.y + 0.5F * r * dy}, {at.x + 1.8F * r * dx, at.y + 1.8F * r * dy}, w, c);
        break;
      case Kind::done:
        draw_tick(canvas, at, r, c, theme::kPanel);
        break;
    }
  }

  void side(Kind kind, SDL_FPoint a, SDL_FPoint b) const {
    const Colour c = colour_of(kind);
    switch (kind) {
      case Kind::found:
        return line(a, b, scale.mm(0.5), c);
      case Kind::doubt:
        return dashes(a, b, scale.mm(0.5), scale.mm(0.9), c);
      case Kind::aim:
        return dashes(a, b, scale.mm(0.9), scale.mm(3.0), c);
      case Kind::done:
        return line(a, b, scale.mm(0.3), c);
    }
  }

  void plate(const SDL_FRect& around) const {
    canvas.rounded_rect(around, scale.mm(0.8), with_alpha(theme::kGround, 225));
  }
};

SDL_FPoint middle_of(const std::vector<SDL_FPoint>& points) {
  SDL_FPoint sum{};
  for (const SDL_FPoint& p : points) sum = {sum.x + p.x, sum.y + p.y};
  const auto n = static_cast<float>(points.size());
  return {sum.x / n, sum.y / n};
}

void draw_shape(const Pen& pen, Kind kind, const std::vector<SDL_FPoint>& points, bool closed) {
  if (points.size() == 1) return pen.sign(kind, points.front());
  for (std::size_t i = 0; i + 1 < points.size(); ++i) pen.side(kind, points[i], points[i + 1]);
  if (!closed || points.size() < 3) return;
  pen.side(kind, points.back(), points.front());
  if (kind == Kind::done || kind == Kind::doubt) pen.sign(kind, middle_of(points));
}

// Beside the point, inside the picture.
void draw_label(const Pen& pen, const SDL_FRect& picture, Kind kind, SDL_FPoint at, const std::string& label) {
  const TextStyle style{Weight::bold, pen.scale.text_mm(2.3)};
  const float pad = pen.scale.mm(0.9);
  const float w = pen.text.width(style, label) + 2.0F * pad;
  const float h = static_cast<float>(style.height_px) + 2.0F * pad;
  const float x = std::clamp(at.x + pen.scale.mm(2.0), picture.x, std::max(picture.x, picture.x + picture.w - w));
  const float y = std::clamp(at.y - h - pen.scale.mm(0.8), picture.y, std::max(picture.y, picture.y + picture.h - h));
  pen.plate({x, y, w, h});
  pen.text.draw(style, {x + pad, y + h - pad}, label, colour_of(kind));
}

void draw_words(const Pen& pen, const SDL_FRect& picture, const std::vector<StepMark>& marks) {
  const TextStyle style{Weight::regular, pen.scale.text_mm(2.2)};
  const float pad = pen.scale.mm(1.2);
  const float line = pen.scale.mm(7.0);
  const float height = static_cast<float>(style.height_px) + 2.0F * pad;
  float x = picture.x + pad;
  const float top = picture.y + picture.h - height - pad;
  for (const Kind kind : kKinds) {
    if (std::none_of(marks.begin(), marks.end(), [&](const StepMark& m) { return m.kind == kind; })) continue;
    const std::string said = tr(std::string(word(kind)));
    const float w = line + pen.text.width(style, said) + 3.0F * pad;
    pen.plate({x, top, w, height});
    const float y = top + height / 2.0F;
    pen.side(kind, {x + pad, y}, {x + pad + line, y});
    if (kind != Kind::aim) pen.sign(kind, {x + pad + line / 2.0F, y});
    pen.text.draw(style, {x + 2.0F * pad + line, top + height - pad}, said, colour_of(kind));
    x += w + pad;
  }
}

}  // namespace

std::string_view word(Kind kind) {
  switch (kind) {
    case Kind::found:
      return noop("found");
    case Kind::doubt:
      return noop("in doubt");
    case Kind::aim:
      return noop("bring here");
    case Kind::done:
      return noop("done");
  }
  return "";
}

void draw_step_marks(Canvas& canvas, Text& text, const Scale& scale, const PictureRegion& region,
                     const std::vector<StepMark>& marks) {
  const Pen pen{canvas, text, scale};
  const SDL_FRect picture{static_cast<float>(region.screen.x), static_cast<float>(region.screen.y),
                          static_cast<float>(region.screen.w), static_cast<float>(region.screen.h)};
  canvas.clip(picture);
  std::vector<SDL_FPoint> points;
  for (const StepMark& mark : marks) {
    points.clear();
    for (const cv::Point2d& p : mark.points_px) {
      if (std::isfinite(p.x) && std::isfinite(p.y)) points.push_back(region.to_screen(p));
    }
    if (!points.empty()) draw_shape(pen, mark.kind, points, mark.closed);
  }
  for (const StepMark& mark : marks) {
    if (mark.label.empty() || mark.points_px.empty()) continue;
    const cv::Point2d p = mark.points_px.front();
    if (std::isfinite(p.x) && std::isfinite(p.y)) draw_label(pen, picture, mark.kind, region.to_screen(p), mark.label);
  }
  draw_words(pen, picture, marks);
  canvas.unclip();
}

}  // namespace app
