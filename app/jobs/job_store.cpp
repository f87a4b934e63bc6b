#include "app/jobs/job_store.h"

#include <algorithm>
#include <map>
#include <utility>

#include "app/crew/crew.h"
#include "app/in_quotes.h"
#include "app/jobs/job_file.h"
#include "app/names.h"
#include "app/places.h"
#include "app/toml_files.h"
#include "calib/atomic_write.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

void take_in(JobList& list, const fs::path& file) {
  Job job;
  try {
    job = job_from_text(calib::text_of_file(file), file.string());
  } catch (const calib::FileError& error) {
    list.damaged.push_back({file, error.what()});
    return;
  }
  const auto twin = std::find_if(list.jobs.begin(), list.jobs.end(),
                                 [&](const StoredJob& one) { return same_name(one.job.name, job.name); });
  if (twin == list.jobs.end())
    list.jobs.push_back({file, std::move(job)});
  else
    list.damaged.push_back({file, file.string() + ": is called " + in_quotes(job.name) + " as " +
                                      twin->file.filename().string() + " is; give it another name in the file"});
}

// By name, with the tickets as they stand in the files.
JobList read_all(const fs::path& folder) {
  JobList out;
  for (const fs::path& file : toml_files(folder)) take_in(out, file);
  std::sort(out.jobs.begin(), out.jobs.end(),
            [](const StoredJob& a, const StoredJob& b) { return name_before(a.job.name, b.job.name); });
  return out;
}

void drop_shared_tickets(JobList& list) {
  std::map<int, std::vector<StoredJob*>> by_ticket;
  for (StoredJob& one : list.jobs)
    if (one.job.ticket) by_ticket[*one.job.ticket].push_back(&one);
  for (const auto& [ticket, jobs] : by_ticket) {
    if (jobs.size() < 2) continue;
    for (StoredJob* one : jobs) {
      const StoredJob& other = *(one == jobs.front() ? jobs[1] : jobs.front());
      list.damaged.push_back({one->file, one->file.string() + ": has ticket " + std::to_string(ticket) + " as " +
                                             other.file.filename().string() + " has; give one of them another"});
      one->job.ticket.reset();
    }
  }
}

const StoredJob* called(const JobList& list, const std::string& name) {
  for (const StoredJob& one : list.jobs)
    if (same_name(one.job.name, name)) return &one;
  return nullptr;
}

// As its file would be read: what list() would not take is refused.
Job checked_job(const Job& job) { return job_from_text(text_of(job), in_quotes(job.name) + " (not saved)"); }

void refuse_shared_ticket(const JobList& all, const Job& job, const std::string& name) {
  for (const StoredJob& one : all.jobs)
    if (job.ticket && one.job.ticket == job.ticket && !same_name(one.job.name, name))
      throw calib::FileError("ticket " + std::to_string(*job.ticket) + " is that of " + in_quotes(one.job.name) +
                             "; choose another ticket");
}

fs::path write(const fs::path& file, const Job& job) {
  make_room_for(file);
  calib::write_atomically(file, text_of(job));
  return file;
}

}  // namespace

fs::path job_folder(const fs::path& station_file) { return station_file.parent_path() / "jobs"; }

void drop_badges(JobList& list, const Crew& crew) {
  for (StoredJob& one : list.jobs) {
    const Operator* owner = one.job.ticket ? crew.of_badge(*one.job.ticket) : nullptr;
    if (!owner) continue;
    list.damaged.push_back({one.file, one.file.string() + ": its ticket " + std::to_string(*one.job.ticket) +
                                          " is the badge of " + in_quotes(owner->name) +
                                          "; give the job another ticket, or the operator another badge"});
    one.job.ticket.reset();
  }
}

JobList JobStore::list() const {
  JobList out = read_all(folder_);
  drop_shared_tickets(out);
  return out;
}

std::optional<StoredJob> JobStore::find(const std::string& name) const {
  const JobList all = list();
  for (const StoredJob& one : all.jobs)
    if (same_name(one.job.name, name)) return one;
  return std::nullopt;
}

std::optional<StoredJob> JobStore::of_ticket(int ticket) const {
  const JobList all = list();
  for (const StoredJob& one : all.jobs)
    if (one.job.ticket == ticket) return one;
  return std::nullopt;
}

fs::path JobStore::unused_file(const std::string& name) const {
  const std::string stem = file_stem(name, "job");
  fs::path file = folder_ / (stem + ".toml");
  for (int number = 2; fs::exists(file); ++number) file = folder_ / (stem + "-" + std::to_string(number) + ".toml");
  return file;
}

fs::path JobStore::save(const Job& job) const {
  const Job checked = checked_job(job);
  const JobList all = read_all(folder_);
  refuse_shared_ticket(all, checked, checked.name);
  const StoredJob* before = called(all, checked.name);
  return write(before != nullptr ? before->file : unused_file(checked.name), checked);
}

fs::path JobStore::replace(const std::string& name, const Job& job) const {
  const Job checked = checked_job(job);
  const JobList all = read_all(folder_);
  const StoredJob* before = called(all, name);
  if (before == nullptr)
    throw calib::FileError("there is no job " + in_quotes(name) + " any more; save it as a new one");
  const StoredJob* twin = called(all, checked.name);
  if (twin != nullptr && twin != before)
    throw calib::FileError("there is a job " + in_quotes(twin->job.name) + " already; choose another name");
  refuse_shared_ticket(all, checked, name);
  return write(before->file, checked);
}

void JobStore::remove(const std::string& name) const {
  const JobList all = read_all(folder_);
  const StoredJob* one = called(all, name);
  if (one == nullptr) throw calib::FileError("there is no job " + in_quotes(name) + " any more");
  const fs::path kept = dated_name((folder_ / "removed" / one->file.filename()).string() + ".");
  make_room_for(kept);
  std::error_code error;
  fs::rename(one->file, kept, error);
  if (error)
    throw calib::FileError(one->file.string() + ": cannot be removed (" + error.message() + "); check its permissions");
}

}  // namespace app
