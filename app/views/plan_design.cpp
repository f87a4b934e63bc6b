#include "app/views/plan_design.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "app/fit/fit_words.h"

namespace app {
namespace {

using Points = std::vector<cv::Point2d>;

constexpr double kLabel_mm = 2.2;  // height of its digits

Points placed(const Points& points, const vision::Pose2& hoop_from_design) {
  Points out;
  out.reserve(points.size());
  for (const cv::Point2d& p : points) out.push_back(vision::apply(hoop_from_design, p));
  return out;
}

// What it looks like, else its hull; with a mark at its top.
void draw_shape(const PlanPen& pen, const Design& design, const vision::Pose2& pose, Colour colour) {
  if (design.outlines_mm.empty()) pen.outline(placed(design.hull_mm, pose), 0.45, colour);
  for (const Points& outline : design.outlines_mm) pen.outline(placed(outline, pose), 0.3, colour);
  const double top = design.size_mm.height / 2.0;
  pen.canvas.line(pen.map.at(vision::apply(pose, {0.0, top})), pen.map.at(vision::apply(pose, {0.0, 0.88 * top})),
                  pen.scale.mm(0.45), colour);
}

// A number on a ground of its own, beside a point and inside the area.
void draw_label(const PlanPen& pen, const SDL_FRect& area, SDL_FPoint at, const std::string& words, Colour colour) {
  const TextStyle style{Weight::bold, pen.scale.text_mm(kLabel_mm)};
  const float pad = pen.scale.mm(0.7), beside = pen.scale.mm(1.6);
  const float width = pen.text.width(style, words) + 2.0F * pad;
  const float height = static_cast<float>(style.height_px) + 2.0F * pad;
  const SDL_FPoint middle{area.x + area.w / 2.0F, area.y + area.h / 2.0F};
  // Outwards, over the ring: what lies inside is worth more. Off the mark itself where the area ends.
  const float out_x = at.x > middle.x ? at.x + beside : at.x - beside - width;
  const float x = std::clamp(out_x, area.x + pad, std::max(area.x + pad, area.x + area.w - pad - width));
  const bool aside = std::abs(x - out_x) < 1.0F;
  float y = at.y - height / 2.0F;
  if (!aside) y = at.y > middle.y ? at.y + beside : at.y - beside - height;
  if (y < area.y + pad) y = at.y + beside;
  if (y + height > area.y + area.h - pad) y = at.y - beside - height;
  y = std::clamp(y, area.y + pad, std::max(area.y + pad, area.y + area.h - pad - height));
  pen.canvas.rounded_rect({x, y, width, height}, pad, theme::kPanel);
  pen.text.draw(style, {x + pad, y + pad + static_cast<float>(style.height_px)}, words, colour);
}

void draw_cross(const PlanPen& pen, SDL_FPoint at) {
  const float arm = pen.scale.mm(1.3);
  pen.canvas.line({at.x - arm, at.y - arm}, {at.x + arm, at.y + arm}, pen.scale.mm(0.6), theme::kTrouble);
  pen.canvas.line({at.x - arm, at.y + arm}, {at.x + arm, at.y - arm}, pen.scale.mm(0.6), theme::kTrouble);
}

// The nearest way to make it fit, dashed, and the slide alone as an arrow where that is long enough to be seen.
void draw_way_out(const PlanPen& pen, const Design& design, const vision::Pose2& pose, const Fit& fit) {
  if (fit.hoop_from_design_nearest)
    pen.dashed(placed(design.hull_mm, *fit.hoop_from_design_nearest), 0.35, theme::kWithin);
  if (!fit.slide_mm) return;
  const SDL_FPoint from = pen.map.at(pose.origin_mm), to = pen.map.at(pose.origin_mm + *fit.slide_mm);
  if (std::hypot(to.x - from.x, to.y - from.y) < pen.scale.mm(2.0)) return;
  pen.canvas.arrow(from, to, pen.scale.mm(0.7), pen.scale.mm(2.2), theme::kMove);
}

// Where it is nearest to the edge or furthest beyond it.
void draw_gap(const PlanPen& pen, const SDL_FRect& area, const Fit& fit, Units units) {
  const SDL_FPoint at = pen.map.at(fit.at_mm), edge = pen.map.at(fit.on_edge_mm);
  const Colour colour = fit.fits ? theme::kWithin : theme::kTrouble;
  pen.canvas.line(at, edge, pen.scale.mm(0.5), colour);
  if (!fit.fits) draw_cross(pen, at);
  draw_label(pen, area, fit.fits ? edge : at, gap_label(fit, units), colour);
}

}  // namespace

void draw_plan_design(const PlanPen& pen, const SDL_FRect& area, const Plan& plan) {
  const Design& design = *plan.design;
  const vision::Pose2& wanted = *plan.hoop_from_sticker;
  const vision::Pose2& pose = plan.hoop_from_entered ? *plan.hoop_from_entered : wanted;
  double off_mm = 0.0;
  for (const cv::Point2d& p : design.hull_mm)
    off_mm = std::max(off_mm, cv::norm(vision::apply(pose, p) - vision::apply(wanted, p)));
  if (off_mm * pen.map.px_per_mm() > static_cast<double>(pen.scale.mm(0.6)))
    pen.dashed(placed(design.hull_mm, wanted), 0.25, theme::kTextQuiet);
  // While the cloth is still on its way it says nothing that the design reaches out.
  const bool say = plan.fit != nullptr && !plan.hidden && std::isfinite(plan.fit->gap_mm);
  draw_shape(pen, design, pose, !say || plan.fit->fits ? theme::kText : theme::kTrouble);
  if (!say) return;
  if (!plan.fit->fits) draw_way_out(pen, design, pose, *plan.fit);
  draw_gap(pen, area, *plan.fit, plan.units);
}

}  // namespace app
