#include "app/jobs/job_advice.h"

#include <algorithm>

#include "app/format.h"
#include "app/jobs/hoop_proposal.h"
#include "app/jobs/preparation.h"
#include "app/names.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

using Sentences = std::vector<std::string>;

constexpr double kStickerSide_mm = 44.0;  // nearer than that two of them overlap, however they are turned

std::string length(double mm, Units units) { return length_text(mm, LengthKind::field, units); }

void about_cloth(const Job& job, const ClothGuide& guide, JobAdvice& out) {
  if (job.cloth.empty()) return;
  const std::string named = tr(job.cloth);
  const ClothType* cloth = guide.find(job.cloth);
  if (cloth == nullptr) {
    out.warnings.push_back(format(
        tr("The cloth guide does not know %s: choose stabilizer, topping and the way of hooping yourself."), named));
    return;
  }
  const Preparation made = preparation(job, guide);
  const auto is_stabilizer = [&](const std::string& one) { return same_name(one, made.stabilizer.value); };
  if (std::any_of(cloth->avoid.begin(), cloth->avoid.end(), is_stabilizer))
    out.warnings.push_back(format(tr("The stabilizer %s does not suit %s: take %s (%s)."), tr(made.stabilizer.value),
                                  named, tr(cloth->stabilizers.front()), tr(cloth->stabilizer_source)));
  if (cloth->napped && same_name(made.topping.value, kNoTopping))
    out.warnings.push_back(same_name(cloth->topping, kNoTopping)
                               ? format(tr("Without topping the stitches sink into %s."), named)
                               : format(tr("Without topping the stitches sink into %s: lay %s topping on it (%s)."),
                                        named, tr(cloth->topping), tr(cloth->topping_source)));
}

void about_place(const Job& job, const PlaceGuide& guide, Units units, Sentences& warnings) {
  if (job.place.name.empty()) return;
  const Place* place = guide.find(job.garment, job.place.name);
  if (place == nullptr) {
    warnings.push_back(
        format(tr("The place guide has no place %s for this garment: measure where it belongs."), tr(job.place.name)));
    return;
  }
  const auto look_at = [&](const std::optional<double>& said, const std::optional<LengthRange>& usual,
                           const std::string& words) {
    const bool on_middle = usual && usual->low_mm == 0.0 && usual->high_mm == 0.0;
    if (!usual || (on_middle && !said)) return;
    const std::string range = range_text(*usual, units), source = tr(place->source);
    if (!said)
      warnings.push_back(
          format(tr("Not said: how far %s. Usual: %s (%s)."), with_length(tr(words), "…"), range, source));
    else if (!usual->holds(*said))
      warnings.push_back(
          format(tr("%s is not the usual: %s (%s)."), with_length(tr(words), length(*said, units)), range, source));
  };
  look_at(job.place.down_mm, place->down_mm, place->down_words);
  look_at(job.place.across_mm, place->across_mm, place->across_words);
}

const vision::Hoop* taught(const std::vector<vision::Hoop>& hoops, const std::string& name) {
  for (const vision::Hoop& one : hoops)
    if (same_name(one.name, name)) return &one;
  return nullptr;
}

void about_this_hoop(const Job& job, const Design& design, const vision::Hoop& hoop, Units units, Sentences& warnings) {
  const auto held = held_by(design, hoop, true);
  if (!held) {
    warnings.push_back(format(tr("The design does not fit the field of %s, with %s to its edge."), hoop.name,
                              length(FitOptions{}.clearance_mm, units)));
  } else if (held->turned) {
    warnings.push_back(format(tr("The design fits the field of %s only turned by 90°."), hoop.name));
  } else if (held->gap_mm < job.tolerance.offset_mm) {
    warnings.push_back(
        format(tr("Only %s is left round the design in %s: there is hardly room to turn or shift it, so the cloth must "
                  "be hooped right."),
               length_text(held->gap_mm, LengthKind::guide, units), hoop.name));
  }
}

void propose_hoop(const Design& design, const std::vector<vision::Hoop>& hoops, JobAdvice& out) {
  const auto upright = smallest_hoop(design, hoops, false), either = smallest_hoop(design, hoops, true);
  if (!either) {
    out.warnings.emplace_back(hoops.empty() ? tr("No hoop is taught yet, so none is proposed.")
                                            : tr("No taught hoop holds the design."));
    return;
  }
  if (upright)
    out.proposals.push_back(format(tr("Hoop: %s, the smallest taught one that holds the design."), upright->hoop));
  if (either->turned) out.proposals.push_back(format(tr("Hoop: %s holds it turned by 90°."), either->hoop));
}

void about_hoop(const Job& job, const std::optional<Design>& design, const std::vector<vision::Hoop>& hoops,
                Units units, JobAdvice& out) {
  if (job.hoop.empty()) {
    if (design) propose_hoop(*design, hoops, out);
    return;
  }
  const vision::Hoop* hoop = taught(hoops, job.hoop);
  if (hoop == nullptr)
    out.warnings.push_back(format(tr("The hoop %s is not taught yet."), job.hoop));
  else if (design)
    about_this_hoop(job, *design, *hoop, units, out.warnings);
  if (design && (hoop == nullptr || !held_by(*design, *hoop, true))) propose_hoop(*design, hoops, out);
}

void about_stickers(const Job& job, Sentences& warnings) {
  for (std::size_t i = 0; i < job.placed_stickers.size(); ++i)
    for (std::size_t k = 0; k < i; ++k) {
      const PlacedSticker &a = job.placed_stickers[k], &b = job.placed_stickers[i];
      if (!(cv::norm(a.at_mm - b.at_mm) >= kStickerSide_mm))
        warnings.push_back(
            format(tr("Stickers %d and %d would lie over each other: put them further apart."), a.number, b.number));
    }
}

void propose_layers(const Job& job, const ClothGuide& guide, Sentences& proposals) {
  const Preparation made = preparation(job, guide);
  const auto propose = [&](const char* pattern, const Prepared& one) {
    if (one.of_job || one.value.empty()) return;
    proposals.push_back(format(tr(pattern), tr(one.value), tr(one.source)));
    if (!one.note.empty()) proposals.back() += format(tr(" Note: %s."), tr(one.note));
  };
  propose(noop("Stabilizer: %s (%s)."), made.stabilizer);
  propose(noop("Topping: %s (%s)."), made.topping);
  propose(noop("Hooping: %s (%s)."), made.way);
  if (made.stretch_limit_percent && !made.stretch_source.empty())
    proposals.push_back(format(tr("Stretch between two stickers: up to %s %% (%s)."),
                               number(*made.stretch_limit_percent, 1), tr(made.stretch_source)));
}

}  // namespace

std::string range_text(const LengthRange& range, Units units) {
  if (!(range.high_mm > range.low_mm)) return length(range.low_mm, units);
  return format(tr("%s to %s"), length_number(range.low_mm, LengthKind::field, units), length(range.high_mm, units));
}

std::vector<std::string> place_sentences(const Job& job, const PlaceGuide& guide,
                                         const std::optional<cv::Size2d>& design_mm, Units units) {
  Sentences out;
  const Place* place = guide.find(job.garment, job.place.name);
  if (place == nullptr) return out;
  if (job.place.down_mm && place->down_mm) {
    const std::string said = with_length(tr(place->down_words), length(*job.place.down_mm, units));
    const char* pattern = place->to == Place::To::top      ? noop("The design's upper edge: %s.")
                          : place->to == Place::To::bottom ? noop("The design's lower edge: %s.")
                                                           : noop("The design's centre: %s.");
    out.push_back(format(tr(pattern), said));
    const auto centre = down_to_centre_mm(*place, *job.place.down_mm, design_mm);
    if (place->to != Place::To::centre && centre)
      out.push_back(format(tr("So its centre: %s."), with_length(tr(place->down_words), length(*centre, units))));
  }
  if (job.place.across_mm && place->across_mm) {
    const bool middle = *job.place.across_mm == 0.0 && place->across_mm->holds(0.0);
    out.push_back(
        middle ? tr("Across: on the middle line.")
               : format(tr("Across: %s."), with_length(tr(place->across_words), length(*job.place.across_mm, units))));
  }
  return out;
}

JobAdvice job_advice(const Job& job, const std::optional<Design>& design, const JobSurroundings& surroundings,
                     Units units) {
  JobAdvice out;
  about_cloth(job, surroundings.cloths, out);
  about_hoop(job, design, surroundings.hoops, units, out);
  about_place(job, surroundings.places, units, out.warnings);
  about_stickers(job, out.warnings);
  const auto is_job_machine = [&](const std::string& one) { return same_name(one, job.machine); };
  const auto& machines = surroundings.machines;
  if (!job.machine.empty() && machines && std::none_of(machines->begin(), machines->end(), is_job_machine))
    out.warnings.push_back(format(tr("No machine %s is described yet."), job.machine));
  propose_layers(job, surroundings.cloths, out.proposals);
  return out;
}

}  // namespace app
