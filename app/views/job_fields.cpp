#include "app/views/job_fields.h"

#include <array>
#include <cmath>

#include "app/format.h"
#include "app/jobs/preparation.h"
#include "app/units.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr std::array<const char*, kJobFieldCount> kNames{
    noop("Name"),    noop("Garment"),   noop("Place"),   noop("Measured"), noop("Cloth"),  noop("Stabilizer"),
    noop("Topping"), noop("Hooping"),   noop("Design"),  noop("Drawing"),  noop("Hoop"),   noop("Machine"),
    noop("Sticker"), noop("Tolerance"), noop("Stretch"), noop("Pieces"),   noop("Ticket"), noop("Note")};

std::string said(const std::string& value) { return value.empty() ? std::string(tr("not said")) : tr(value); }

std::string layer_words(const Prepared& one) {
  if (one.value.empty()) return tr("not said");
  return one.of_job ? tr(one.value) : format(tr("%s, as proposed (%s)"), tr(one.value), tr(one.source));
}

std::string measures_words(const Job& job, const Desk& desk) {
  const Place* place = desk.place_guide().find(job.garment, job.place.name);
  const Units units = desk.settings().units;
  std::string out;
  const auto add = [&](const std::optional<double>& mm, const std::string& words) {
    if (!mm) return;
    const std::string length = length_text(*mm, LengthKind::field, units);
    out += (out.empty() ? "" : "; ") + (words.empty() ? length : with_length(tr(words), length));
  };
  add(job.place.down_mm, place != nullptr ? place->down_words : "");
  add(job.place.across_mm, place != nullptr ? place->across_words : "");
  return out.empty() ? tr("not said") : out;
}

std::string design_words(const JobDraft& draft, Units units) {
  if (!draft.design()) return tr("not said");
  const cv::Size2d size = draft.design()->size_mm;
  return size_text(size.width, size.height, units);
}

std::string sticker_words(const Job& job, Units units) {
  if (job.placed_stickers.empty())
    return job.stickers.empty() ? std::string(tr("any, one a piece"))
                                : format(tr("%s, one a piece"), number_ranges(job.stickers));
  std::string all;
  for (const PlacedSticker& one : job.placed_stickers)
    all += (all.empty() ? "" : "; ") + placed_sticker_words(one, units);
  return all;
}

std::string stretch_words(const Job& job, const Desk& desk) {
  const Preparation made = preparation(job, desk.cloth_guide());
  if (!made.stretch_limit_percent) return tr("not said");
  const std::string percent = number(*made.stretch_limit_percent, 1);
  return made.stretch_source.empty() ? format(tr("up to %s %%"), percent)
                                     : format(tr("up to %s %%, as proposed (%s)"), percent, tr(made.stretch_source));
}

}  // namespace

std::string job_field_name(JobField field) { return tr(kNames[static_cast<std::size_t>(field)]); }

std::string placed_sticker_words(const PlacedSticker& s, Units units) {
  // By left, down.
  constexpr const char* kPlaces[2][2] = {
      {noop("%d: %s right, %s up, turned %s°"), noop("%d: %s right, %s down, turned %s°")},
      {noop("%d: %s left, %s up, turned %s°"), noop("%d: %s left, %s down, turned %s°")}};
  return format(tr(kPlaces[s.at_mm.x < 0.0][s.at_mm.y < 0.0]), s.number,
                length_text(std::abs(s.at_mm.x), LengthKind::field, units),
                length_text(std::abs(s.at_mm.y), LengthKind::field, units), number(s.turn_deg, 1));
}

std::string job_field_value(JobField field, const JobDraft& draft, const Desk& desk) {
  const Job& job = draft.job();
  const Units units = desk.settings().units;
  const Preparation made = preparation(job, desk.cloth_guide());
  switch (field) {
    case JobField::measures:
      return measures_words(job, desk);
    case JobField::stabilizer:
      return layer_words(made.stabilizer);
    case JobField::topping:
      return layer_words(made.topping);
    case JobField::way:
      return layer_words(made.way);
    case JobField::design:
      return design_words(draft, units);
    case JobField::hoop:
      return job.hoop.empty() ? tr("any hoop") : job.hoop;
    case JobField::machine:
      return job.machine.empty() ? tr("the station's") : job.machine;
    case JobField::stickers:
      return sticker_words(job, units);
    case JobField::tolerance:
      return format(tr("within %s and %s°"), length_text(job.tolerance.offset_mm, LengthKind::guide, units),
                    number(job.tolerance.rotation_deg, 1));
    case JobField::stretch:
      return stretch_words(job, desk);
    case JobField::pieces:
      return job.pieces > 0 ? std::to_string(job.pieces) : std::string(tr("not said"));
    case JobField::ticket:
      return job.ticket ? format(tr("ticket %d"), *job.ticket) : std::string(tr("no ticket"));
    case JobField::name:
    case JobField::note:
    case JobField::drawing: {
      const std::string text = job_text(field, job);
      return text.empty() ? tr("not said") : text;
    }
    default:
      return said(job_text(field, job));
  }
}

}  // namespace app
