// What of a job is typed as numbers.
#include "app/format.h"
#include "app/jobs/job_file.h"
#include "app/sheets/number_list.h"
#include "app/views/job_fields.h"
#include "app/words/words.h"

namespace app {
namespace {

std::string usual_words(const std::optional<LengthRange>& range, const Place* place, Units units) {
  return range ? format(tr("usual: %s (%s)"), range_text(*range, units), tr(place->source)) : "";
}

std::vector<Quantity> measures(const Job& job, const Desk& desk) {
  const Place* place = desk.place_guide().find(job.garment, job.place.name);
  const Units units = desk.settings().units;
  const auto caption = [&](const std::string& words, const char* otherwise) {
    return words.empty() ? tr(otherwise) : with_length(tr(words), "…");
  };
  Quantity down{caption(place != nullptr ? place->down_words : "", noop("Down")),
                Quantity::Of::length,
                job_limits::kDown_mm,
                job.place.down_mm,
                true,
                ""};
  Quantity across{caption(place != nullptr ? place->across_words : "", noop("Across")),
                  Quantity::Of::length,
                  job_limits::kAcross_mm,
                  job.place.across_mm,
                  true,
                  ""};
  if (place != nullptr) {
    down.hint = usual_words(place->down_mm, place, units);
    across.hint = usual_words(place->across_mm, place, units);
  }
  return {down, across};
}

}  // namespace

bool typed_as_numbers(JobField field) {
  switch (field) {
    case JobField::measures:
    case JobField::design:
    case JobField::tolerance:
    case JobField::stretch:
    case JobField::pieces:
    case JobField::ticket:
      return true;
    default:
      return false;
  }
}

Quantities job_quantities(JobField field, const JobDraft& draft, const Desk& desk, Quantities::Keep keep) {
  const Job& job = draft.job();
  using Of = Quantity::Of;
  std::vector<Quantity> all;
  const auto some = [](int value) { return value > 0 ? std::optional<double>(value) : std::nullopt; };
  switch (field) {
    case JobField::measures:
      all = measures(job, desk);
      break;
    case JobField::design: {
      std::optional<double> width, height;
      if (job.design_mm) width = job.design_mm->width, height = job.design_mm->height;
      all = {{tr("Width"), Of::length, job_limits::kDesignSide_mm, width, true, ""},
             {tr("Height"), Of::length, job_limits::kDesignSide_mm, height, true, ""}};
      break;
    }
    case JobField::tolerance:
      all = {{tr("Place"), Of::length, job_limits::kTolerance_mm, job.tolerance.offset_mm, false, ""},
             {tr("Turn"), Of::degrees, job_limits::kTolerance_deg, job.tolerance.rotation_deg, false, ""}};
      break;
    case JobField::stretch:
      all = {{tr("Stretch"), Of::percent, job_limits::kStretch_percent, job.stretch_limit_percent, true,
              tr("left out: as proposed for the cloth")}};
      break;
    case JobField::pieces:
      all = {{tr("Pieces"), Of::count, {0.0, job_limits::kMostPieces}, some(job.pieces), true, ""}};
      break;
    default:
      all = {{tr("Ticket"),
              Of::count,
              {static_cast<double>(kCardNumbers.first), static_cast<double>(kCardNumbers.last)},
              some(job.ticket.value_or(0)),
              true,
              tr("480 to 586, as printed on the card")}};
  }
  return {job_field_name(field), std::move(all), desk.settings().units, std::move(keep)};
}

void set_job_values(JobField field, Job& job, const std::vector<std::optional<double>>& values) {
  const auto whole = [&] { return values[0] ? std::optional(static_cast<int>(*values[0] + 0.5)) : std::nullopt; };
  switch (field) {
    case JobField::measures:
      job.place.down_mm = values[0];
      job.place.across_mm = values[1];
      return;
    case JobField::design:
      job.design_mm = values[0] && values[1] ? std::optional(cv::Size2d(*values[0], *values[1])) : std::nullopt;
      return;
    case JobField::tolerance:
      job.tolerance = {values[0].value_or(Tolerance{}.offset_mm), values[1].value_or(Tolerance{}.rotation_deg)};
      return;
    case JobField::stretch:
      job.stretch_limit_percent = values[0];
      return;
    case JobField::pieces:
      job.pieces = whole().value_or(0);
      return;
    default:
      job.ticket = whole();
  }
}

}  // namespace app
