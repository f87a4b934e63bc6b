#include "app/screen/canvas.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace app {
namespace {

// Half the width, px, over which an edge fades.
constexpr float kFeather = 0.5F;
constexpr double kRadPerDegree = 3.14159265358979323846 / 180.0;

SDL_FPoint operator+(SDL_FPoint a, SDL_FPoint b) { return {a.x + b.x, a.y + b.y}; }
SDL_FPoint operator-(SDL_FPoint a, SDL_FPoint b) { return {a.x - b.x, a.y - b.y}; }
SDL_FPoint operator*(float s, SDL_FPoint p) { return {s * p.x, s * p.y}; }

SDL_FPoint unit(SDL_FPoint v) {
  const float length = std::hypot(v.x, v.y);
  return length > 1e-6F ? SDL_FPoint{v.x / length, v.y / length} : SDL_FPoint{0.0F, 0.0F};
}

SDL_FPoint left_of(SDL_FPoint direction) { return {-direction.y, direction.x}; }

// The offset of a corner whose two sides are both moved by one px along their normals; long spikes are cut.
SDL_FPoint mitre(SDL_FPoint normal_before, SDL_FPoint normal_after) {
  const SDL_FPoint sum = normal_before + normal_after;
  const float dot = sum.x * normal_after.x + sum.y * normal_after.y;
  if (dot < 0.3F) return normal_after;
  return (1.0F / dot) * sum;
}

int arc_steps(float radius, double sweep_deg) {
  // A chord leaves the arc by less than a tenth of a px.
  const double step = 2.0 * std::acos(1.0 - std::min(0.5, 0.1 / std::max(1.0F, radius)));
  return std::clamp(static_cast<int>(std::ceil(std::abs(sweep_deg) * kRadPerDegree / step)), 3, 400);
}

}  // namespace

Canvas::Canvas(SDL_Renderer* renderer) : renderer_(renderer) {
  SDL_SetRenderDrawBlendMode(renderer_, SDL_BLENDMODE_BLEND);
}

void Canvas::clear(Colour colour) {
  SDL_SetRenderDrawColor(renderer_, colour.r, colour.g, colour.b, 255);
  SDL_RenderClear(renderer_);
}

void Canvas::rect(const SDL_FRect& rect, Colour colour) {
  SDL_SetRenderDrawColor(renderer_, colour.r, colour.g, colour.b, colour.a);
  SDL_RenderFillRectF(renderer_, &rect);
}

int Canvas::vertex(SDL_FPoint at, Colour colour) {
  vertices_.push_back({at, {colour.r, colour.g, colour.b, colour.a}, {0.0F, 0.0F}});
  return static_cast<int>(vertices_.size()) - 1;
}

void Canvas::quad(int a, int b, int c, int d) { indices_.insert(indices_.end(), {a, b, c, a, c, d}); }

void Canvas::flush() {
  if (!indices_.empty()) {
    SDL_RenderGeometry(renderer_, nullptr, vertices_.data(), static_cast<int>(vertices_.size()), indices_.data(),
                       static_cast<int>(indices_.size()));
  }
  vertices_.clear();
  indices_.clear();
}

void Canvas::line(SDL_FPoint from, SDL_FPoint to, float width, Colour colour) {
  const std::array<SDL_FPoint, 2> points{from, to};
  polyline(points, false, width, colour);
}

// A strip with four vertices a point: fading edge, core, core, fading edge.
void Canvas::polyline(std::span<const SDL_FPoint> points, bool closed, float width, Colour colour) {
  const int n = static_cast<int>(points.size());
  if (n < 2) return;
  // A line thinner than a px is drawn one px wide and paler.
  const float core = std::max(0.0F, width / 2.0F - kFeather);
  const float edge = core + 2.0F * kFeather;
  if (width < 2.0F * kFeather) colour.a = static_cast<std::uint8_t>(static_cast<float>(colour.a) * width);
  const Colour clear = with_alpha(colour, 0);
  const auto at = [&](int i) { return points[static_cast<std::size_t>((i + n) % n)]; };
  const auto row = [&](SDL_FPoint p, SDL_FPoint normal, Colour full) {
    vertex(p + edge * normal, clear);
    vertex(p + core * normal, full);
    vertex(p + (-core) * normal, full);
    vertex(p + (-edge) * normal, clear);
  };
  int rows = 0;
  for (int i = 0; i < n; ++i) {
    const bool first = !closed && i == 0;
    const bool last = !closed && i == n - 1;
    const SDL_FPoint before = unit(at(i) - at(i - 1));
    const SDL_FPoint after = unit(at(i + 1) - at(i));
    // Open ends fade out, too.
    if (first) row(at(i) - kFeather * after, left_of(after), clear), ++rows;
    const SDL_FPoint in = first ? kFeather * after : last ? -kFeather * before : SDL_FPoint{0.0F, 0.0F};
    row(at(i) + in, first ? left_of(after) : last ? left_of(before) : mitre(left_of(before), left_of(after)), colour);
    ++rows;
    if (last) row(at(i) + kFeather * before, left_of(before), clear), ++rows;
  }
  for (int i = 0; i < (closed ? rows : rows - 1); ++i) {
    const int from = 4 * i;
    const int to = 4 * ((i + 1) % rows);
    for (int k = 0; k < 3; ++k) quad(from + k, to + k, to + k + 1, from + k + 1);
  }
  flush();
}

void Canvas::dashed_line(SDL_FPoint from, SDL_FPoint to, float width, float dash, Colour colour) {
  const SDL_FPoint along = unit(to - from);
  const float length = std::hypot(to.x - from.x, to.y - from.y);
  for (float at = 0.0F; at < length; at += 2.0F * dash) {
    line(from + at * along, from + std::min(length, at + dash) * along, width, colour);
  }
}

void Canvas::polygon(std::span<const SDL_FPoint> points, Colour colour) {
  const int n = static_cast<int>(points.size());
  if (n < 3) return;
  float area = 0.0F;
  const auto at = [&](int i) { return points[static_cast<std::size_t>((i + n) % n)]; };
  for (int i = 0; i < n; ++i) area += at(i).x * at(i + 1).y - at(i + 1).x * at(i).y;
  const float out = area > 0.0F ? -kFeather : kFeather;
  for (int i = 0; i < n; ++i) {
    const SDL_FPoint normal = mitre(left_of(unit(at(i) - at(i - 1))), left_of(unit(at(i + 1) - at(i))));
    vertex(at(i) + (-out) * normal, colour);
    vertex(at(i) + out * normal, with_alpha(colour, 0));
  }
  for (int i = 1; i + 1 < n; ++i) indices_.insert(indices_.end(), {0, 2 * i, 2 * (i + 1)});
  for (int i = 0; i < n; ++i) {
    const int j = (i + 1) % n;
    quad(2 * i, 2 * j, 2 * j + 1, 2 * i + 1);
  }
  flush();
}

// Straight parts as plain rectangles on whole pixels, which every renderer fills fast; only the corners are shapes.
void Canvas::rounded_rect(const SDL_FRect& area, float radius, Colour colour) {
  const float x0 = std::round(area.x), y0 = std::round(area.y);
  const float x1 = std::round(area.x + area.w), y1 = std::round(area.y + area.h);
  const float r = std::round(std::min({radius, (x1 - x0) / 2.0F, (y1 - y0) / 2.0F}));
  rect({x0 + r, y0, x1 - x0 - 2.0F * r, y1 - y0}, colour);
  rect({x0, y0 + r, r, y1 - y0 - 2.0F * r}, colour);
  rect({x1 - r, y0 + r, r, y1 - y0 - 2.0F * r}, colour);
  sector({x1 - r, y0 + r}, r, 0.0, 90.0, colour);
  sector({x0 + r, y0 + r}, r, 90.0, 180.0, colour);
  sector({x0 + r, y1 - r}, r, 180.0, 270.0, colour);
  sector({x1 - r, y1 - r}, r, 270.0, 360.0, colour);
}

// A fan that fades at its arc only, so that its straight sides meet what lies beside them.
void Canvas::sector(SDL_FPoint centre, float radius, double from_deg, double to_deg, Colour colour) {
  const int steps = std::max(2, arc_steps(radius, to_deg - from_deg));
  const int middle = vertex(centre, colour);
  for (int i = 0; i <= steps; ++i) {
    const double angle = (from_deg + (to_deg - from_deg) * i / steps) * kRadPerDegree;
    const SDL_FPoint way{static_cast<float>(std::cos(angle)), static_cast<float>(-std::sin(angle))};
    const int on = vertex(centre + std::max(0.0F, radius - kFeather) * way, colour);
    const int off = vertex(centre + (radius + kFeather) * way, with_alpha(colour, 0));
    if (i == 0) continue;
    indices_.insert(indices_.end(), {middle, on - 2, on});
    quad(on - 2, on, off, off - 2);
  }
  flush();
}

void Canvas::disc(SDL_FPoint centre, float radius, Colour colour) { sector(centre, radius, 0.0, 360.0, colour); }

void Canvas::arc(SDL_FPoint centre, float radius, double from_deg, double to_deg, float width, Colour colour) {
  const int steps = arc_steps(radius, to_deg - from_deg);
  const bool whole = std::abs(to_deg - from_deg) >= 360.0;
  points_.clear();
  for (int i = 0; i < steps + (whole ? 0 : 1); ++i) {
    const double angle = (from_deg + (to_deg - from_deg) * i / steps) * kRadPerDegree;
    points_.push_back(centre +
                      radius * SDL_FPoint{static_cast<float>(std::cos(angle)), static_cast<float>(-std::sin(angle))});
  }
  polyline(points_, whole, width, colour);
}

void Canvas::circle(SDL_FPoint centre, float radius, float width, Colour colour) {
  arc(centre, radius, 0.0, 360.0, width, colour);
}

void Canvas::arrow(SDL_FPoint from, SDL_FPoint to, float width, float head, Colour colour) {
  const float length = std::hypot(to.x - from.x, to.y - from.y);
  if (length < 1.0F) return;
  const SDL_FPoint along = unit(to - from);
  const SDL_FPoint across = left_of(along);
  const float head_length = std::min(head, 0.7F * length);
  const float half = 0.62F * head_length;
  const SDL_FPoint neck = to - head_length * along;
  line(from, neck + 0.5F * along, std::min(width, 1.2F * half), colour);
  const std::array<SDL_FPoint, 3> triangle{to, neck + half * across, neck - half * across};
  polygon(triangle, colour);
}

void Canvas::clip(const SDL_FRect& rect) {
  const SDL_Rect r{static_cast<int>(rect.x), static_cast<int>(rect.y), static_cast<int>(std::ceil(rect.w)),
                   static_cast<int>(std::ceil(rect.h))};
  SDL_RenderSetClipRect(renderer_, &r);
}

void Canvas::unclip() { SDL_RenderSetClipRect(renderer_, nullptr); }

}  // namespace app
