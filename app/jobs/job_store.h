// The jobs of a station: a folder with a TOML file each.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/jobs/job.h"

namespace app {

struct StoredJob {
  std::filesystem::path file;
  Job job;
};

// A file among the jobs that cannot be used, or not by its ticket; `message` names it and says how to mend it.
struct DamagedJob {
  std::filesystem::path file;
  std::string message;
};

struct JobList {
  std::vector<StoredJob> jobs;  // by name, as people count
  std::vector<DamagedJob> damaged;
};

class Crew;

// Jobs whose ticket is an operator's badge lose it in the list (not in their files), and that is named.
void drop_badges(JobList& list, const Crew& crew);

// Nothing is kept in memory: each call looks at the folder. Throws calib::FileError.
class JobStore {
 public:
  // The folder need not be there yet.
  explicit JobStore(std::filesystem::path folder) : folder_(std::move(folder)) {}
  const std::filesystem::path& folder() const { return folder_; }
  // Files that end in .toml. Of two with one name the second, by file name, counts as damaged. Jobs that share a ticket
  // are listed without it, and that is named: a card must not choose the wrong one.
  JobList list() const;
  std::optional<StoredJob> find(const std::string& name) const;
  std::optional<StoredJob> of_ticket(int ticket) const;
  // The file written; replaces the job of this name. What list() would not take is refused, and nothing has changed.
  std::filesystem::path save(const Job& job) const;
  // The job of this name becomes `job`, which may be called otherwise, in the same file. Throws where there is no such
  // job, or where save() would, or where the new name is another's.
  std::filesystem::path replace(const std::string& name, const Job& job) const;
  // Its file goes into the folder `removed`, with the time in its name. Throws where there is no such job.
  void remove(const std::string& name) const;

 private:
  std::filesystem::path unused_file(const std::string& name) const;

  std::filesystem::path folder_;
};

std::filesystem::path job_folder(const std::filesystem::path& station_file);

}  // namespace app
