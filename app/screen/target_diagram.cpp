#include "app/screen/target_diagram.h"

#include <array>
#include <cmath>
#include <string>

#include "app/units.h"

namespace app {
namespace {

constexpr std::array kRanges_mm{6.0, 15.0, 40.0, 100.0, 250.0};
// A bar for each range, in the units.
constexpr std::array kBars_mm{5.0, 10.0, 20.0, 50.0, 100.0};
constexpr std::array kBars_inch{0.2, 0.5, 1.0, 2.0, 5.0};

}  // namespace

// The next larger range as soon as it is needed; back only with room to spare, so that it does not jump to and fro.
void TargetDiagram::choose_range(double needed_mm) {
  for (double range : kRanges_mm) {
    if (needed_mm <= (range < range_mm_ ? 0.7 : 0.88) * range) {
      range_mm_ = range;
      return;
    }
  }
  range_mm_ = kRanges_mm.back();
}

void TargetDiagram::draw(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area,
                         const Tolerance& tolerance, const vision::Reading* reading,
                         const vision::Pose2* board_from_hoop, Units units) {
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  canvas.clip(area);
  const vision::Pose2 hoop = board_from_hoop != nullptr ? *board_from_hoop : vision::Pose2{};
  const SDL_FPoint middle{area.x + area.w / 2.0F, area.y + area.h / 2.0F};
  double needed = 1.2 * tolerance.offset_mm;
  if (reading != nullptr) needed = std::max(needed, std::hypot(reading->offset_x_mm, reading->offset_y_mm));
  choose_range(needed);
  const double px_per_mm = 0.5 * static_cast<double>(area.w) / range_mm_;
  // Of a point in the hoop frame; board up is screen up.
  const auto at = [&](double x_mm, double y_mm) {
    const cv::Point2d p = vision::apply({{0.0, 0.0}, hoop.angle_rad}, {x_mm, y_mm});
    return SDL_FPoint{middle.x + static_cast<float>(p.x * px_per_mm), middle.y - static_cast<float>(p.y * px_per_mm)};
  };
  const double reach = 1.6 * range_mm_;
  canvas.line(at(-reach, 0.0), at(reach, 0.0), scale.mm(0.25), theme::kRing);
  canvas.line(at(0.0, -reach), at(0.0, reach), scale.mm(0.25), theme::kRing);
  canvas.circle(middle, static_cast<float>(tolerance.offset_mm * px_per_mm), scale.mm(0.45), theme::kWithin);

  if (reading != nullptr) {
    const double a = reading->rotation_deg * vision::kRadPerDeg;
    const cv::Point2d o(reading->offset_x_mm, reading->offset_y_mm);
    const cv::Point2d up(-std::sin(a), std::cos(a)), right(std::cos(a), std::sin(a));
    const double arm = 0.62 * range_mm_;
    const auto end = [&](cv::Point2d way) { return at(o.x + arm * way.x, o.y + arm * way.y); };
    const SDL_FPoint cross = at(o.x, o.y);
    canvas.line(end(-right), end(right), scale.mm(0.5), theme::kSticker);
    canvas.line(end(-up), cross, scale.mm(0.5), theme::kSticker);
    canvas.arrow(cross, end(up), scale.mm(0.5), scale.mm(2.6), theme::kSticker);
    const float head = scale.mm(3.2);
    if (std::hypot(middle.x - cross.x, middle.y - cross.y) > 1.3F * head) {
      canvas.arrow(cross, middle, scale.mm(1.1), head, theme::kText);
    }
  }
  canvas.unclip();

  std::size_t i = 0;
  while (i + 1 < kRanges_mm.size() && kRanges_mm[i] < range_mm_) ++i;
  const double length_mm = units == Units::inch ? mm_from(kBars_inch[i], units) : kBars_mm[i];
  const float bar = static_cast<float>(length_mm * px_per_mm);
  const TextStyle small{Weight::regular, scale.text_mm(1.9)};
  const std::string label = length_text(length_mm, LengthKind::field, units);
  const float inset = scale.mm(1.8);
  const float y = area.y + area.h - inset;
  const float label_width = text.width(small, label);
  canvas.rounded_rect({area.x + inset / 2.0F, y - static_cast<float>(small.height_px) - inset / 2.0F,
                       bar + label_width + 2.2F * inset, static_cast<float>(small.height_px) + inset},
                      inset / 2.0F, with_alpha(theme::kGround, 225));
  const float line_y = y - static_cast<float>(small.height_px) / 2.0F;
  canvas.line({area.x + inset, line_y}, {area.x + inset + bar, line_y}, scale.mm(0.5), theme::kText);
  for (float x : {area.x + inset, area.x + inset + bar}) {
    canvas.line({x, line_y - scale.mm(0.8)}, {x, line_y + scale.mm(0.8)}, scale.mm(0.5), theme::kText);
  }
  text.draw(small, {area.x + 1.6F * inset + bar, y}, label, theme::kText);
}

}  // namespace app
