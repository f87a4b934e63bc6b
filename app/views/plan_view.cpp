#include "app/views/plan_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "app/screen/symbols.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPaper_mm = 44.0;
constexpr double kArrow_mm = 17.0;         // the sticker's arrow, from its cross
constexpr double kAngleStep_rad = 0.2618;  // 15 degrees: by so much the hoop turns before the scale follows

using Points = std::vector<cv::Point2d>;

Points rectangle(double width, double height, const vision::Pose2& pose) {
  const double x = width / 2.0, y = height / 2.0;
  Points corners{{-x, y}, {x, y}, {x, -y}, {-x, -y}};
  for (cv::Point2d& p : corners) p = vision::apply(pose, p);
  return corners;
}

struct Pen {
  Canvas& canvas;
  Text& text;
  const Scale& scale;
  const PlanMap& map;

  std::vector<SDL_FPoint> on_screen(const Points& points) const {
    std::vector<SDL_FPoint> out;
    out.reserve(points.size());
    // Points closer than this cannot be told apart, and each costs a stretch of line.
    constexpr float kClose_px = 2.0F;
    for (const cv::Point2d& p : points) {
      const SDL_FPoint at = map.at(p);
      if (out.empty() || std::hypot(at.x - out.back().x, at.y - out.back().y) >= kClose_px) out.push_back(at);
    }
    return out;
  }
  void outline(const Points& points, double width_mm, Colour colour) const {
    canvas.polyline(on_screen(points), true, scale.mm(width_mm), colour);
  }
  // Every other stretch of the outline; for outlines of many short sides as for a rectangle.
  void dashed(const Points& points, double width_mm, Colour colour) const {
    const std::vector<SDL_FPoint> p = on_screen(points);
    const float dash = scale.mm(1.4);
    float gone = 0.0F;
    for (std::size_t i = 0; i < p.size(); ++i) {
      const SDL_FPoint a = p[i], b = p[(i + 1) % p.size()];
      const float length = std::hypot(b.x - a.x, b.y - a.y);
      if (length > 2.0F * dash) {
        canvas.dashed_line(a, b, scale.mm(width_mm), dash, colour);
      } else if (std::fmod(gone, 2.0F * dash) < dash) {
        canvas.line(a, b, scale.mm(width_mm), colour);
      }
      gone += length;
    }
  }
};

void draw_field(const Pen& pen, const vision::Hoop& hoop) {
  if (!hoop.field_is_round)
    return pen.dashed(rectangle(hoop.field_mm.width, hoop.field_mm.height, {}), 0.3, theme::kMark);
  Points circle;
  for (int i = 0; i < 120; ++i) {
    const double a = i * vision::kPi / 60.0;
    circle.emplace_back(hoop.field_mm.width / 2.0 * std::cos(a), hoop.field_mm.width / 2.0 * std::sin(a));
  }
  pen.dashed(circle, 0.3, theme::kMark);
}

// A pointer at each notch, inside the ring; north is named.
void draw_notches(const Pen& pen, const vision::Hoop& hoop, Colour colour) {
  const SDL_FPoint centre = pen.map.at({0.0, 0.0});
  const float size = pen.scale.mm(1.5);
  for (const vision::Notch& notch : hoop.notches) {
    const SDL_FPoint at = pen.map.at(notch.at_mm);
    const float length = std::hypot(at.x - centre.x, at.y - centre.y);
    if (!(length > 1.0F)) continue;
    const SDL_FPoint out{(at.x - centre.x) / length, (at.y - centre.y) / length};
    const std::array<SDL_FPoint, 3> pointer{
        at, SDL_FPoint{at.x - size * out.x - 0.6F * size * out.y, at.y - size * out.y + 0.6F * size * out.x},
        SDL_FPoint{at.x - size * out.x + 0.6F * size * out.y, at.y - size * out.y - 0.6F * size * out.x}};
    pen.canvas.polygon(pointer, colour);
    if (notch.side != vision::Side::north) continue;
    const TextStyle letter{Weight::bold, pen.scale.text_mm(2.4)};
    const float in = size + pen.scale.mm(2.4);
    pen.text.draw_centred(letter, {at.x - in * out.x, at.y - in * out.y + static_cast<float>(letter.height_px) / 2.0F},
                          tr("N"), theme::kRing);
  }
}

void draw_target(const Pen& pen, const Tolerance& tolerance) {
  const SDL_FPoint centre = pen.map.at({0.0, 0.0});
  const float arm = pen.scale.mm(3.5);
  pen.canvas.line({centre.x - arm, centre.y}, {centre.x + arm, centre.y}, pen.scale.mm(0.3), theme::kWithin);
  pen.canvas.line({centre.x, centre.y - arm}, {centre.x, centre.y + arm}, pen.scale.mm(0.3), theme::kWithin);
  pen.canvas.circle(centre, static_cast<float>(tolerance.offset_mm * pen.map.px_per_mm()), pen.scale.mm(0.35),
                    theme::kWithin);
}

void draw_sticker(const Pen& pen, const vision::Pose2& hoop_from_sticker, int number) {
  const auto at = [&](double x, double y) { return pen.map.at(vision::apply(hoop_from_sticker, {x, y})); };
  const double h = kPaper_mm / 2.0;
  pen.outline(rectangle(kPaper_mm, kPaper_mm, hoop_from_sticker), 0.4, theme::kSticker);
  pen.canvas.line(at(-h, 0.0), at(h, 0.0), pen.scale.mm(0.25), theme::kSticker);
  pen.canvas.line(at(0.0, -h), at(0.0, 0.0), pen.scale.mm(0.25), theme::kSticker);
  pen.canvas.arrow(at(0.0, 0.0), at(0.0, kArrow_mm), pen.scale.mm(0.5), pen.scale.mm(2.0), theme::kSticker);
  if (number < 0) return;
  const TextStyle style{Weight::bold, pen.scale.text_mm(2.2)};
  const std::string words = std::to_string(number);
  const SDL_FPoint corner = at(0.0, 0.0);
  // Beside the paper, on the side where there is most likely room.
  const float reach = static_cast<float>(0.75 * kPaper_mm * pen.map.px_per_mm());
  const float width = pen.text.width(style, words);
  const float pad = pen.scale.mm(0.7);
  const SDL_FPoint base{corner.x + reach, corner.y + reach};
  pen.canvas.rounded_rect({base.x - pad, base.y - static_cast<float>(style.height_px) - pad, width + 2.0F * pad,
                           static_cast<float>(style.height_px) + 2.0F * pad},
                          pad, theme::kPanel);
  pen.text.draw(style, base, words, theme::kSticker);
}

void draw_design(const Pen& pen, const Plan& plan) {
  const Points corners = design_corners(*plan.design_mm, *plan.hoop_from_sticker);
  // While the cloth is still on its way it says nothing that the design reaches out.
  const bool fits = plan.hidden || design_fits(*plan.hoop, corners);
  pen.outline(corners, 0.45, fits ? theme::kText : theme::kTrouble);
  // Its top, by a mark in the middle of the side.
  const cv::Point2d top = 0.5 * (corners[0] + corners[1]), middle = plan.hoop_from_sticker->origin_mm;
  pen.canvas.line(pen.map.at(top), pen.map.at(top + 0.06 * (middle - top)), pen.scale.mm(0.45),
                  fits ? theme::kText : theme::kTrouble);
  const float arm = pen.scale.mm(1.3);
  for (const cv::Point2d& corner : corners) {
    if (fits || in_field(*plan.hoop, corner)) continue;
    const SDL_FPoint at = pen.map.at(corner);
    pen.canvas.line({at.x - arm, at.y - arm}, {at.x + arm, at.y + arm}, pen.scale.mm(0.6), theme::kTrouble);
    pen.canvas.line({at.x - arm, at.y + arm}, {at.x + arm, at.y - arm}, pen.scale.mm(0.6), theme::kTrouble);
  }
}

// A sticker that lies beyond the plan's edge: an arrow at the edge says where.
void point_out(const Pen& pen, const SDL_FRect& area, SDL_FPoint to) {
  const SDL_FPoint middle{area.x + area.w / 2.0F, area.y + area.h / 2.0F};
  const float inset = pen.scale.mm(1.5);
  const float dx = to.x - middle.x, dy = to.y - middle.y;
  const float share = std::min((area.w / 2.0F - inset) / std::max(1.0F, std::abs(dx)),
                               (area.h / 2.0F - inset) / std::max(1.0F, std::abs(dy)));
  if (share >= 1.0F) return;
  const float length = std::hypot(dx, dy), size = pen.scale.mm(5.0);
  const SDL_FPoint tip{middle.x + share * dx, middle.y + share * dy};
  pen.canvas.arrow({tip.x - size * dx / length, tip.y - size * dy / length}, tip, pen.scale.mm(1.2), pen.scale.mm(3.0),
                   theme::kSticker);
}

}  // namespace

PlanMap::PlanMap(const vision::Hoop& hoop, double hoop_angle_rad, const SDL_FRect& area, float pad_px)
    : middle_{area.x + area.w / 2.0F, area.y + area.h / 2.0F},
      px_per_mm_(1.0),
      cos_(std::cos(hoop_angle_rad)),
      sin_(std::sin(hoop_angle_rad)) {
  const double steady = std::round(hoop_angle_rad / kAngleStep_rad) * kAngleStep_rad;
  double half_w = 1.0, half_h = 1.0;
  for (const cv::Point2d& p : hoop.outer_mm) {
    const cv::Point2d turned = vision::apply({{0.0, 0.0}, steady}, p);
    half_w = std::max(half_w, std::abs(turned.x));
    half_h = std::max(half_h, std::abs(turned.y));
  }
  px_per_mm_ = std::max(0.01, std::min(static_cast<double>(area.w / 2.0F - pad_px) / half_w,
                                       static_cast<double>(area.h / 2.0F - pad_px) / half_h));
}

SDL_FPoint PlanMap::at(cv::Point2d p) const {
  const double x = cos_ * p.x - sin_ * p.y, y = sin_ * p.x + cos_ * p.y;
  return {middle_.x + static_cast<float>(px_per_mm_ * x), middle_.y - static_cast<float>(px_per_mm_ * y)};
}

std::vector<cv::Point2d> design_corners(cv::Size2d design_mm, const vision::Pose2& hoop_from_sticker) {
  return rectangle(design_mm.width, design_mm.height, hoop_from_sticker);
}

bool in_field(const vision::Hoop& hoop, cv::Point2d p) {
  if (hoop.field_is_round) return std::hypot(p.x, p.y) <= hoop.field_mm.width / 2.0;
  return std::abs(p.x) <= hoop.field_mm.width / 2.0 && std::abs(p.y) <= hoop.field_mm.height / 2.0;
}

bool design_fits(const vision::Hoop& hoop, const std::vector<cv::Point2d>& corners) {
  return std::all_of(corners.begin(), corners.end(), [&](cv::Point2d p) { return in_field(hoop, p); });
}

void draw_plan(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Plan& plan) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  if (plan.hoop == nullptr) return;
  const double angle = plan.board_from_hoop ? plan.board_from_hoop->angle_rad : 0.0;
  const PlanMap map(*plan.hoop, angle, area, scale.mm(2.5));
  const Pen pen{canvas, text, scale, map};
  canvas.clip(area);
  draw_field(pen, *plan.hoop);
  const Colour ring = plan.hidden ? with_alpha(theme::kRing, 170) : theme::kRing;
  if (plan.board_from_hoop) {
    const double width = plan.hidden ? 0.3 : 0.45;
    pen.outline(plan.hoop->outer_mm, width, ring);
    pen.outline(plan.hoop->inner_mm, width, ring);
  } else {
    pen.dashed(plan.hoop->inner_mm, 0.35, ring);
  }
  draw_notches(pen, *plan.hoop, ring);
  draw_target(pen, plan.tolerance);
  if (plan.hoop_from_sticker) {
    if (plan.design_mm) draw_design(pen, plan);
    draw_sticker(pen, *plan.hoop_from_sticker, plan.sticker);
    point_out(pen, area, map.at(plan.hoop_from_sticker->origin_mm));
  }
  canvas.unclip();
}

}  // namespace app
