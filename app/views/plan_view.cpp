#include "app/views/plan_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

#include "app/screen/symbols.h"
#include "app/views/plan_design.h"
#include "app/views/plan_pen.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPaper_mm = 44.0;
constexpr double kArrow_mm = 17.0;         // the sticker's arrow, from its cross
constexpr double kAngleStep_rad = 0.2618;  // 15 degrees: by so much the hoop turns before the scale follows

using Points = std::vector<cv::Point2d>;
using Pen = PlanPen;

Points rectangle(double width, double height, const vision::Pose2& pose) {
  const double x = width / 2.0, y = height / 2.0;
  Points corners{{-x, y}, {x, y}, {x, -y}, {-x, -y}};
  for (cv::Point2d& p : corners) p = vision::apply(pose, p);
  return corners;
}

// Its edge, and as far as the design may go where that can be told apart.
void draw_field(const Pen& pen, const Field& field, double clearance_mm) {
  pen.dashed(field_outline(field), 0.3, theme::kMark);
  if (clearance_mm * pen.map.px_per_mm() >= static_cast<double>(pen.scale.mm(0.9)))
    pen.outline(field_outline(field, 0.0, clearance_mm), 0.15, with_alpha(theme::kMark, 120));
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

void draw_plan(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Plan& plan) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  if (plan.hoop == nullptr) return;
  const double angle = plan.board_from_hoop ? plan.board_from_hoop->angle_rad : 0.0;
  const PlanMap map(*plan.hoop, angle, area, scale.mm(2.5));
  const Pen pen{canvas, text, scale, map};
  canvas.clip(area);
  draw_field(pen, field_of(*plan.hoop), plan.fit != nullptr ? plan.fit->clearance_mm : 0.0);
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
    draw_sticker(pen, *plan.hoop_from_sticker, plan.sticker);
    if (plan.design != nullptr) draw_plan_design(pen, area, plan);
    point_out(pen, area, map.at(plan.hoop_from_sticker->origin_mm));
  }
  canvas.unclip();
}

}  // namespace app
