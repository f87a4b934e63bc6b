#include "app/jobs/job_store.h"

namespace app {

std::filesystem::path job_folder(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "jobs";
}

JobList JobStore::list() const { return {}; }
std::optional<StoredJob> JobStore::find(const std::string&) const { return std::nullopt; }
std::optional<StoredJob> JobStore::of_ticket(int) const { return std::nullopt; }
std::filesystem::path JobStore::save(const Job&) const { return {}; }

}  // namespace app
