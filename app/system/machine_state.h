// How the computer is: what the service view shows of it. What cannot be read is missing, never invented.
#pragma once

#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>

namespace app {

// Where the system tells of itself; a test puts folders of its own.
struct SystemFolders {
  std::filesystem::path sys = "/sys", proc = "/proc";
};

struct MachineState {
  std::optional<double> temperature_c;           // of the warmest zone
  std::optional<std::uint64_t> disk_free_bytes;  // for this user, at the station's folder
  std::optional<std::uint64_t> resident_bytes;   // of this program
  std::optional<double> machine_s, program_s;    // since each started
  std::string kernel;                            // "6.1.0-13-amd64"; empty: not told
};

// `folder`: the station's; where it is not there yet, the nearest one above it.
MachineState machine_state(const std::filesystem::path& folder, const SystemFolders& system = {});

}  // namespace app
