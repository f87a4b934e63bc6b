#include "app/fit/fit_words.h"

#include <array>
#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

// By the direction out of the field, from the right on, counter-clockwise in eighths of a turn.
constexpr std::array kSticksOut{noop("Sticks out %s, right"),  noop("Sticks out %s, top right"),
                                noop("Sticks out %s, top"),    noop("Sticks out %s, top left"),
                                noop("Sticks out %s, left"),   noop("Sticks out %s, bottom left"),
                                noop("Sticks out %s, bottom"), noop("Sticks out %s, bottom right")};

std::size_t eighth_of(cv::Point2d direction) {
  const double eighths = std::atan2(direction.y, direction.x) / (vision::kPi / 4.0);
  return static_cast<std::size_t>(std::lround(eighths) + 8) % 8;
}

// Up to the next number that is shown, so that what is said is enough.
double rounded_up_mm(double mm, Units units) {
  const double step = shown_step_mm(mm, LengthKind::guide, units);
  return std::ceil(std::abs(mm) / step - 1e-6) * step;
}
std::string way_text(double mm, Units units) { return length_text(rounded_up_mm(mm, units), LengthKind::guide, units); }
bool is_nothing(double mm, Units units) {
  return !(std::abs(mm) > 0.01 * shown_step_mm(0.0, LengthKind::guide, units));
}

std::string turn_text(double turn_deg) {
  const double size = std::abs(turn_deg);
  const int decimals = size < 9.95 ? 1 : 0;
  const double tens = std::pow(10.0, decimals);
  return number(std::ceil(size * tens - 1e-6) / tens, decimals);
}

}  // namespace

std::string gap_label(const Fit& fit, Units units) {
  const bool beyond = fit.gap_mm + fit.clearance_mm < 0.0;
  return length_text(std::abs(beyond ? fit.gap_mm + fit.clearance_mm : fit.gap_mm), LengthKind::guide, units);
}

std::string fit_line(const Fit& fit, Units units) {
  if (!std::isfinite(fit.gap_mm)) return tr("Whether it fits cannot be said");
  const std::string gap = gap_label(fit, units);
  if (fit.fits) return format(tr("Fits, %s to spare"), gap);
  if (fit.gap_mm + fit.clearance_mm >= 0.0) return format(tr("Too near the edge by %s"), gap);
  return format(tr(kSticksOut[eighth_of(fit.at_mm - fit.on_edge_mm)]), gap);
}

std::string slide_line(cv::Point2d slide, Units units) {
  const std::string x = way_text(slide.x, units), y = way_text(slide.y, units);
  const bool right = slide.x > 0.0, up = slide.y > 0.0;
  if (is_nothing(slide.y, units)) return format(right ? tr("Fits %s further right") : tr("Fits %s further left"), x);
  if (is_nothing(slide.x, units)) return format(up ? tr("Fits %s further up") : tr("Fits %s further down"), y);
  if (up) return format(right ? tr("Fits %s further right, %s up") : tr("Fits %s further left, %s up"), x, y);
  return format(right ? tr("Fits %s further right, %s down") : tr("Fits %s further left, %s down"), x, y);
}

std::string turn_line(double turn_deg) {
  return format(turn_deg > 0.0 ? tr("Fits turned %s° counter-clockwise") : tr("Fits turned %s° clockwise"),
                turn_text(turn_deg));
}

std::string nearest_line(const vision::Pose2& nearest, const vision::Pose2& wanted, Units units) {
  const cv::Point2d slide = nearest.origin_mm - wanted.origin_mm;
  const double turn = vision::wrapped_rad(nearest.angle_rad - wanted.angle_rad) * vision::kDegPerRad;
  const std::string x = way_text(slide.x, units), y = way_text(slide.y, units), angle = turn_text(turn);
  const bool right = slide.x > 0.0, up = slide.y > 0.0;
  if (turn > 0.0) {
    if (up)
      return format(right ? tr("Nearest: %s right, %s up, %s° counter-clockwise")
                          : tr("Nearest: %s left, %s up, %s° counter-clockwise"),
                    x, y, angle);
    return format(right ? tr("Nearest: %s right, %s down, %s° counter-clockwise")
                        : tr("Nearest: %s left, %s down, %s° counter-clockwise"),
                  x, y, angle);
  }
  if (up)
    return format(right ? tr("Nearest: %s right, %s up, %s° clockwise") : tr("Nearest: %s left, %s up, %s° clockwise"),
                  x, y, angle);
  return format(
      right ? tr("Nearest: %s right, %s down, %s° clockwise") : tr("Nearest: %s left, %s down, %s° clockwise"), x, y,
      angle);
}

std::string advice_line(const FitAdvice& advice, Units units) {
  const std::string gap = length_text(advice.gap_mm, LengthKind::guide, units);
  switch (advice.way) {
    case FitWay::none_needed:
      return {};
    case FitWay::move:
      return tr("Move it so: that is within the tolerance");
    case FitWay::hoop_again:
      if (advice.quarter_turn) return format(tr("Hoop again, a quarter turn on: %s to spare then"), gap);
      if (advice.close) return format(tr("Hoop again, closely: only %s to spare then"), gap);
      return format(tr("Hoop again: %s to spare then"), gap);
    case FitWay::other_hoop:
      return format(tr("Take the hoop %s: %s to spare there"), advice.hoop, gap);
    case FitWay::no_hoop:
      return tr("No taught hoop holds this design");
  }
  return {};
}

}  // namespace app
