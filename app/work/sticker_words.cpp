#include "app/work/sticker_words.h"

#include <algorithm>
#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

std::string percent(double value) { return number(std::abs(value), 1); }
// Never rounded to nothing.
std::string sure(double u) { return number(std::max(u, 0.05), 1); }

// Eighths of a half turn from the design's right.
const char* direction(double direction_deg) {
  if (std::abs(direction_deg) <= 22.5) return noop("across the design");
  if (std::abs(direction_deg) >= 67.5) return noop("up the design");
  return direction_deg > 0.0 ? noop("towards its upper right") : noop("towards its upper left");
}

StickerWords off(const Stretch& s, double limit_percent, bool stretched) {
  const std::string value = percent(s.percent), u = sure(s.u_percent), limit = number(limit_percent, 1);
  if (s.across_percent) {
    const char* words = stretched
                            ? noop(
                                  "The cloth is stretched by %s %% ± %s %% %s; the limit is %s %%. Hoop it again, "
                                  "without pulling.")
                            : noop(
                                  "The cloth is gathered by %s %% ± %s %% %s; the limit is %s %%. Hoop it again, "
                                  "smoothed flat.");
    return {format(tr(words), value.c_str(), u.c_str(), tr(direction(s.direction_deg)), limit.c_str()), true};
  }
  const char* words = stretched
                          ? noop(
                                "The cloth is stretched by %s %% ± %s %% between stickers %d and %d; the limit is "
                                "%s %%. Hoop it again, without pulling.")
                          : noop(
                                "The cloth is gathered by %s %% ± %s %% between stickers %d and %d; the limit is "
                                "%s %%. Hoop it again, smoothed flat.");
  return {format(tr(words), value.c_str(), u.c_str(), s.first, s.second, limit.c_str()), true};
}

StickerWords within(const Stretch& s, double limit_percent) {
  const std::string value = percent(s.percent), u = sure(s.u_percent), limit = number(limit_percent, 1);
  const char* words = s.percent >= 0.0 ? noop("Stretched by %s %% ± %s %%, the limit is %s %%")
                                       : noop("Gathered by %s %% ± %s %%, the limit is %s %%");
  return {format(tr(words), value.c_str(), u.c_str(), limit.c_str()), false};
}

std::string off_words(const vision::StickerCheck& check, Units units) {
  const std::string right = length_text(std::abs(check.off_mm.x), LengthKind::guide, units);
  const std::string up = length_text(std::abs(check.off_mm.y), LengthKind::guide, units);
  const char* words =
      check.off_mm.x >= 0.0
          ? (check.off_mm.y >= 0.0 ? noop("Sticker %d: %s too far right, %s too far up, turned %s° %s.")
                                   : noop("Sticker %d: %s too far right, %s too far down, turned %s° %s."))
          : (check.off_mm.y >= 0.0 ? noop("Sticker %d: %s too far left, %s too far up, turned %s° %s.")
                                   : noop("Sticker %d: %s too far left, %s too far down, turned %s° %s."));
  return format(tr(words), check.number, right.c_str(), up.c_str(), number(std::abs(check.turn_off_deg), 1).c_str(),
                check.turn_off_deg >= 0.0 ? tr("counter-clockwise") : tr("clockwise"));
}

}  // namespace

std::optional<StickerWords> stretch_words(const Work& work, Units units) {
  if (!work.wants_stretch() || !work.cycle().held()) return std::nullopt;
  if (!work.stretch())
    return StickerWords{tr("The stretch was not measured: the stickers did not lie still before the ring was pressed."),
                        true};
  const Stretch& s = *work.stretch();
  const double limit_percent = work.stretch_limit_percent();
  switch (verdict(s, limit_percent)) {
    case StretchVerdict::within:
      return within(s, limit_percent);
    case StretchVerdict::stretched:
      return off(s, limit_percent, true);
    case StretchVerdict::gathered:
      return off(s, limit_percent, false);
    case StretchVerdict::not_told:
      break;
  }
  return StickerWords{format(tr("Too close for the stretch: over %s it is known to ± %s %% only, the limit is %s %%."),
                             length_text(s.base_mm, LengthKind::guide, units).c_str(), sure(s.u_percent).c_str(),
                             number(limit_percent, 1).c_str()),
                      true};
}

std::string disagreeing_words(const Work& work, Units units) {
  std::string said;
  if (!work.seen() || work.seen()->status != vision::Status::stickers_disagree) return said;
  for (const vision::StickerCheck& check : work.seen()->design.stickers)
    if (check.used && !check.agrees) said += (said.empty() ? "" : "  ") + off_words(check, units);
  return said;
}

}  // namespace app
