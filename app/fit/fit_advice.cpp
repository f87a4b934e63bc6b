#include "app/fit/fit_advice.h"

#include <cmath>
#include <optional>

#include "app/fit/room.h"

namespace app {
namespace {

constexpr double kQuarter_rad = vision::kPi / 2.0;

// Square in the middle, as nearly as the cloth lies now; else a quarter turn on.
std::optional<FitAdvice> square_in(const vision::Hoop& hoop, const Design& design, double rotation, bool can_turn,
                                   const FitOptions& options) {
  const Field field = field_of(hoop);
  const double square = std::round(rotation / kQuarter_rad) * kQuarter_rad;
  for (const bool quarter : {false, true}) {
    if (quarter && !can_turn) break;
    FitAdvice advice;
    advice.quarter_turn = quarter;
    advice.gap_mm = gap_mm(design, field, {{0.0, 0.0}, square + (quarter ? kQuarter_rad : 0.0)}, options);
    if (advice.gap_mm >= -kTouch_mm) return advice;
  }
  return std::nullopt;
}

bool within(const Fit& fit, const vision::Pose2& wanted, const Tolerance& tolerance) {
  if (!fit.hoop_from_design_nearest) return false;
  const cv::Point2d slide = fit.hoop_from_design_nearest->origin_mm - wanted.origin_mm;
  const double turn = vision::wrapped_rad(fit.hoop_from_design_nearest->angle_rad - wanted.angle_rad);
  return std::hypot(slide.x, slide.y) <= tolerance.offset_mm &&
         std::abs(turn) * vision::kDegPerRad <= tolerance.rotation_deg;
}

double area(const vision::Hoop& hoop) { return hoop.field_mm.area(); }

}  // namespace

FitAdvice fit_advice(const Fit& fit, const Design& design, const vision::Pose2& wanted, const vision::Hoop& hoop,
                     const FitChoices& choices, const FitOptions& options) {
  FitAdvice advice;
  if (fit.fits) return advice;
  advice.way = FitWay::move;
  if (within(fit, wanted, choices.tolerance)) return advice;
  advice.way = FitWay::no_hoop;
  // As far as any point of the design gets off by the tolerance.
  const double off_mm =
      choices.tolerance.offset_mm + reach_mm(design) * choices.tolerance.rotation_deg * vision::kRadPerDeg;
  if (const auto again = square_in(hoop, design, wanted.angle_rad, choices.can_turn, options)) {
    advice = *again;
    advice.way = FitWay::hoop_again;
    advice.close = advice.gap_mm < off_mm;
    if (!advice.close) return advice;
  }
  double smallest = 0.0;
  for (const vision::Hoop& other : choices.taught) {
    const auto square = square_in(other, design, wanted.angle_rad, choices.can_turn, options);
    if (!square || other.name == hoop.name) continue;
    const bool close = square->gap_mm < off_mm;
    // One with room before one without, then the smaller one.
    const bool first = advice.way != FitWay::other_hoop;
    const bool better = first                   ? (advice.way == FitWay::no_hoop || !close)
                        : close != advice.close ? !close
                                                : area(other) < smallest;
    if (!better) continue;
    advice = *square;
    advice.way = FitWay::other_hoop;
    advice.close = close;
    advice.hoop = other.name;
    smallest = area(other);
  }
  return advice;
}

}  // namespace app
