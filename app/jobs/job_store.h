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

// A file among the jobs that cannot be used; `message` names it and says how to mend it.
struct DamagedJob {
  std::filesystem::path file;
  std::string message;
};

struct JobList {
  std::vector<StoredJob> jobs;  // by name, as people count
  std::vector<DamagedJob> damaged;
};

// Nothing is kept in memory: each call looks at the folder. Throws calib::FileError.
class JobStore {
 public:
  // The folder need not be there yet.
  explicit JobStore(std::filesystem::path folder) : folder_(std::move(folder)) {}
  const std::filesystem::path& folder() const { return folder_; }
  JobList list() const;
  std::optional<StoredJob> find(const std::string& name) const;
  std::optional<StoredJob> of_ticket(int ticket) const;
  // The file written; replaces the job of this name.
  std::filesystem::path save(const Job& job) const;

 private:
  std::filesystem::path folder_;
};

std::filesystem::path job_folder(const std::filesystem::path& station_file);

}  // namespace app
