#include "app/views/job_draft.h"

#include <cmath>

#include "app/jobs/job_file.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr std::size_t kMostSteps = 50;  // back
constexpr double kUsualStep_mm = 5.0;   // to which the middle of a usual range is rounded

double usual_mm(const LengthRange& range) {
  const double rounded = kUsualStep_mm * std::round(range.middle_mm() / kUsualStep_mm);
  return range.holds(rounded) ? rounded : range.middle_mm();
}

}  // namespace

JobDraft::JobDraft(const std::string& name, const Desk& desk) {
  for (const StoredJob& one : desk.jobs().jobs)
    if (one.job.name == name) {
      job_ = one.job;
      stored_name_ = name;
    }
  stored_text_ = text_of(job_);
  look_again(desk);
}

bool JobDraft::unsaved() const { return text_of(job_) != stored_text_; }

void JobDraft::change(const Desk& desk, const std::function<void(Job&)>& change) {
  Job changed = job_;
  change(changed);
  if (text_of(changed) == text_of(job_)) return;
  before_.push_back(job_);
  if (before_.size() > kMostSteps) before_.erase(before_.begin());
  job_ = std::move(changed);
  look_again(desk);
}

void JobDraft::undo(const Desk& desk) {
  if (before_.empty()) return;
  job_ = before_.back();
  before_.pop_back();
  look_again(desk);
}

void JobDraft::saved() {
  stored_name_ = job_.name;
  stored_text_ = text_of(job_);
}

void JobDraft::look_again(const Desk& desk) {
  std::string fault;
  design_.reset();
  try {
    design_ = design_of(job_, job_folder(desk.station_file()));
  } catch (const calib::FileError& error) {
    fault = error.what();
  }
  std::vector<std::string> machines;
  for (const StoredMachine& one : desk.machines().machines) machines.push_back(one.machine.name);
  advice_ = job_advice(job_, design_, {desk.cloth_guide(), desk.place_guide(), desk.hoops(), machines},
                       desk.settings().units);
  if (!fault.empty()) advice_.warnings.push_back(fault);
}

void take_garment(Job& job, const std::string& garment, const PlaceGuide& guide) {
  job.garment = garment;
  const Garment* known = guide.find_garment(garment);
  if (job.cloth.empty() && known != nullptr) job.cloth = known->cloth;
  if (guide.find(garment, job.place.name) == nullptr) job.place = {};
}

void take_place(Job& job, const std::string& place, const PlaceGuide& guide) {
  if (place == job.place.name) return;
  job.place = {};
  job.place.name = place;
  const Place* known = guide.find(job.garment, place);
  if (known == nullptr) return;
  if (known->down_mm) job.place.down_mm = usual_mm(*known->down_mm);
  if (known->across_mm) job.place.across_mm = usual_mm(*known->across_mm);
}

}  // namespace app
