// What a person does with jobs at the desk.
#include <algorithm>
#include <utility>

#include "app/desk/desk.h"
#include "app/format.h"
#include "app/jobs/job_file.h"
#include "app/names.h"
#include "app/words/words.h"

namespace app {

void Desk::open_job(const std::string& name) {
  opened_job_ = name;
  open(ViewId::job);
}

bool Desk::save_job(const Job& job, const std::string& in_place_of) {
  JobChange change;
  for (const StoredJob& one : jobs_.jobs)
    if (!in_place_of.empty() && same_name(one.job.name, in_place_of)) change.before = one.job;
  if (!in_place_of.empty() && !change.before) {
    say(tr("There is no job of this name."), true);
    return false;
  }
  change.after = job;
  change.after->name = tidy_name(job.name);
  if (!change_job(change)) return false;
  opened_job_ = change.after->name;
  say(format(tr("Saved: %s"), opened_job_));
  return true;
}

bool Desk::remove_job(const std::string& name) {
  for (const StoredJob& one : jobs_.jobs)
    if (same_name(one.job.name, name)) {
      const Job removed = one.job;  // the list is read anew
      if (!change_job({removed, std::nullopt})) return false;
      say(format(tr("Removed: %s"), removed.name));
      return true;
    }
  say(tr("There is no job of this name."), true);
  return false;
}

bool Desk::undo_job() {
  if (job_changes_.empty()) return false;
  const JobChange last = job_changes_.back();
  if (!change_job({last.after, last.before})) return false;
  job_changes_.resize(job_changes_.size() - 2);  // the change, and that it was taken back
  say(format(tr("As it was before: %s"), last.before ? last.before->name : last.after->name));
  return true;
}

bool Desk::change_job(const JobChange& change) {
  const auto badge = change.after && change.after->ticket ? crew_.of_badge(*change.after->ticket) : nullptr;
  if (badge != nullptr) {
    say(format(tr("Card %d is the badge of %s."), *change.after->ticket, badge->name), true);
    return false;
  }
  const bool changed = done([&] {
    if (!change.after) return job_store_.remove(change.before->name);
    if (change.before) {
      job_store_.replace(change.before->name, *change.after);
      return;
    }
    if (job_store_.find(change.after->name))
      throw calib::FileError(format(tr("There is a job of this name already: %s"), change.after->name));
    job_store_.save(*change.after);
  });
  if (!changed) return false;
  job_changes_.push_back(change);
  const bool chosen = change.before && settings_.job_name == change.before->name;
  if (chosen && (!change.after || change.after->name != settings_.job_name)) {
    done([this] { jobs_ = job_store_.list(); });
    choose_job(change.after ? change.after->name : "");
  }
  look_again();
  return true;
}

void Desk::follow_job_file() {
  const std::optional<Job>& running = work_.job();
  if (!running) return;
  const auto stored = std::find_if(jobs_.jobs.begin(), jobs_.jobs.end(),
                                   [&](const StoredJob& one) { return one.job.name == running->name; });
  if (stored == jobs_.jobs.end() || text_of(stored->job) == text_of(*running)) return;
  const bool other_hoop = !stored->job.hoop.empty() && stored->job.hoop != work_.hoop().name;
  if (other_hoop && work_.cycle().held()) return;
  choose_job(std::string(running->name));
}

}  // namespace app
