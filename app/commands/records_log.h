// What the records' commands share: the log's file, and their end.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <iosfwd>
#include <vector>

#include "app/records/piece_filter.h"

namespace app {

inline constexpr int kNothing = 1;  // exit code: nothing of what was asked for

// Does the work and gives its exit code; what files or the database refuse is said with what to do, and gives 2.
int with_log(const std::filesystem::path& station_file, std::ostream& err, const std::function<int()>& work);
// Beside the station file. Throws calib::FileError where there is none yet.
std::filesystem::path log_that_is_there(const std::filesystem::path& station_file);
// Their `seq`, in the order of time.
std::vector<std::int64_t> chosen_pieces(const std::filesystem::path& log, const PieceFilter& filter);

// How long a command waits for the station's lock.
inline constexpr int kCommandBusy_ms = 5000;

}  // namespace app
