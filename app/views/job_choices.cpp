// What a job's fields are chosen from.
#include <algorithm>
#include <filesystem>

#include "app/format.h"
#include "app/jobs/hoop_proposal.h"
#include "app/names.h"
#include "app/views/job_fields.h"
#include "app/words/words.h"

namespace app {
namespace {

using Choices = std::vector<JobChoice>;

void add_once(Choices& all, JobChoice one) {
  if (std::none_of(all.begin(), all.end(), [&](const JobChoice& o) { return same_name(o.value, one.value); }))
    all.push_back(std::move(one));
}

std::string joined(const std::vector<std::string>& texts) {
  std::string out;
  for (const std::string& one : texts) out += (out.empty() ? "" : ", ") + tr(one);
  return out;
}

void add_hoops(Choices& all, const JobDraft& draft, const Desk& desk) {
  all.front().label = tr("Any hoop");
  const auto& design = draft.design();
  const auto best = design ? smallest_hoop(*design, desk.hoops(), false) : std::nullopt;
  for (const vision::Hoop& hoop : desk.hoops()) {
    JobChoice one{hoop.name, hoop.name, "", ""};
    if (design) {
      const auto held = held_by(*design, hoop, true);
      one.detail = !held          ? tr("does not hold the design")
                   : held->turned ? tr("holds the design turned by 90°")
                                  : tr("holds the design");
    }
    if (best && best->hoop == hoop.name) one.note = tr("proposed");
    all.push_back(std::move(one));
  }
}

void add_layers(Choices& all, JobField field, const JobDraft& draft, const Desk& desk) {
  const ClothGuide& guide = desk.cloth_guide();
  const ClothType* cloth = guide.find(draft.job().cloth);
  all.front().label = tr("As proposed for the cloth");
  if (field == JobField::topping) all.push_back({kNoTopping, tr("none"), "", ""});
  const auto& known = field == JobField::stabilizer ? guide.stabilizers()
                      : field == JobField::topping  ? guide.toppings()
                                                    : guide.ways();
  for (const Procedure& one : known) add_once(all, {one.name, tr(one.name), "", ""});
  if (cloth == nullptr) return;
  for (JobChoice& one : all) {
    const auto is = [&](const std::string& name) { return same_name(name, one.value); };
    const auto& usual = field == JobField::stabilizer ? cloth->stabilizers : cloth->ways;
    const bool proposed = field == JobField::topping ? is(cloth->topping) : std::any_of(usual.begin(), usual.end(), is);
    if (proposed) one.note = tr("usual");
    if (field == JobField::stabilizer && std::any_of(cloth->avoid.begin(), cloth->avoid.end(), is))
      one.detail = format(tr("does not suit %s"), tr(cloth->name));
  }
}

void add_drawings(Choices& all, const Desk& desk) {
  std::error_code error;
  std::vector<std::string> names;
  for (std::filesystem::directory_iterator entry(job_folder(desk.station_file()), error), end; !error && entry != end;
       entry.increment(error))
    if (entry->path().extension() == ".svg") names.push_back(entry->path().filename().string());
  std::sort(names.begin(), names.end(), name_before);
  for (const std::string& one : names) all.push_back({one, one, "", ""});
}

}  // namespace

bool chosen_from_list(JobField field) {
  switch (field) {
    case JobField::garment:
    case JobField::place:
    case JobField::cloth:
    case JobField::stabilizer:
    case JobField::topping:
    case JobField::way:
    case JobField::drawing:
    case JobField::hoop:
    case JobField::machine:
      return true;
    default:
      return false;
  }
}

bool may_be_typed(JobField field) { return chosen_from_list(field) && field != JobField::hoop; }

std::vector<JobChoice> job_choices(JobField field, const JobDraft& draft, const Desk& desk) {
  Choices all{{"", tr("Not said"), "", ""}};
  switch (field) {
    case JobField::garment:
      for (const Garment& one : desk.place_guide().garments()) all.push_back({one.name, tr(one.name), "", ""});
      break;
    case JobField::place:
      for (const Place* one : desk.place_guide().places_of(draft.job().garment))
        all.push_back(
            {one->name, tr(one->name),
             one->down_mm ? with_length(tr(one->down_words), range_text(*one->down_mm, desk.settings().units)) : "",
             tr(one->source)});
      break;
    case JobField::cloth:
      for (const ClothType& one : desk.cloth_guide().cloths())
        all.push_back({one.name, tr(one.name), joined(one.also), ""});
      break;
    case JobField::stabilizer:
    case JobField::topping:
    case JobField::way:
      add_layers(all, field, draft, desk);
      break;
    case JobField::drawing:
      add_drawings(all, desk);
      break;
    case JobField::hoop:
      add_hoops(all, draft, desk);
      break;
    case JobField::machine:
      all.front().label = tr("The station's");
      for (const StoredMachine& one : desk.machines().machines)
        all.push_back({one.machine.name, one.machine.name, "", ""});
      break;
    default:
      break;
  }
  const std::string now = job_text(field, draft.job());
  if (!now.empty()) add_once(all, {now, tr(now), "", ""});
  return all;
}

std::string job_text(JobField field, const Job& job) {
  switch (field) {
    case JobField::name:
      return job.name;
    case JobField::garment:
      return job.garment;
    case JobField::place:
      return job.place.name;
    case JobField::cloth:
      return job.cloth;
    case JobField::stabilizer:
      return job.stabilizer;
    case JobField::topping:
      return job.topping;
    case JobField::way:
      return job.way;
    case JobField::drawing:
      return job.design_file;
    case JobField::hoop:
      return job.hoop;
    case JobField::machine:
      return job.machine;
    case JobField::note:
      return job.note;
    default:
      return "";
  }
}

void set_job_text(JobField field, Job& job, const std::string& value, const PlaceGuide& guide) {
  switch (field) {
    case JobField::name:
      job.name = value;
      return;
    case JobField::garment:
      return take_garment(job, value, guide);
    case JobField::place:
      return take_place(job, value, guide);
    case JobField::cloth:
      job.cloth = value;
      return;
    case JobField::stabilizer:
      job.stabilizer = value;
      return;
    case JobField::topping:
      job.topping = value;
      return;
    case JobField::way:
      job.way = value;
      return;
    case JobField::drawing:
      job.design_file = value;
      return;
    case JobField::hoop:
      job.hoop = value;
      return;
    case JobField::machine:
      job.machine = value;
      return;
    case JobField::note:
      job.note = value;
      return;
    default:
      return;
  }
}

}  // namespace app
