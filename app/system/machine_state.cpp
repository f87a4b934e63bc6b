#include "app/system/machine_state.h"

#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <sstream>

namespace app {
namespace {

namespace fs = std::filesystem;

std::string first_line(const fs::path& file) {
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  return line;
}

// The number at place `index` (from 0) of a line of words.
std::optional<double> number_at(const std::string& line, int index) {
  std::istringstream words(line);
  std::string word;
  for (int i = 0; i <= index; ++i)
    if (!(words >> word)) return std::nullopt;
  std::istringstream digits(word);
  digits.imbue(std::locale::classic());
  double value = 0.0;
  if (!(digits >> value) || !digits.eof()) return std::nullopt;
  return value;
}

// Thousandths of a degree; a zone without a sensor behind it tells nonsense, which is left out.
std::optional<double> warmest_zone(const fs::path& sys) {
  constexpr double kColdest_c = -40.0, kHottest_c = 150.0;
  std::optional<double> warmest;
  std::error_code ignored;
  for (const auto& entry : fs::directory_iterator(sys / "class" / "thermal", ignored)) {
    if (entry.path().filename().string().rfind("thermal_zone", 0) != 0) continue;
    const auto told = number_at(first_line(entry.path() / "temp"), 0);
    if (!told) continue;
    const double celsius = *told / 1000.0;
    if (!(celsius > kColdest_c && celsius < kHottest_c)) continue;
    warmest = std::max(warmest.value_or(celsius), celsius);
  }
  return warmest;
}

std::optional<std::uint64_t> disk_free(fs::path folder) {
  std::error_code error;
  folder = fs::absolute(folder, error);
  while (!fs::is_directory(folder, error) && folder.has_relative_path()) folder = folder.parent_path();
  const fs::space_info space = fs::space(folder, error);
  if (error || space.available == static_cast<std::uintmax_t>(-1)) return std::nullopt;
  return space.available;
}

std::optional<double> started_s(const fs::path& proc) {
  const std::string line = first_line(proc / "self" / "stat");
  const std::size_t name_end = line.rfind(')');  // the program's name may hold spaces
  if (name_end == std::string::npos) return std::nullopt;
  constexpr int kStartTime = 19;  // the 22nd field (proc(5)), the third being the first after the name
  const auto ticks = number_at(line.substr(name_end + 1), kStartTime);
  const long per_s = ::sysconf(_SC_CLK_TCK);
  if (!ticks || per_s <= 0) return std::nullopt;
  return *ticks / static_cast<double>(per_s);
}

}  // namespace

MachineState machine_state(const fs::path& folder, const SystemFolders& system) {
  MachineState state;
  state.temperature_c = warmest_zone(system.sys);
  state.disk_free_bytes = disk_free(folder);
  const long page = ::sysconf(_SC_PAGESIZE);
  if (const auto pages = number_at(first_line(system.proc / "self" / "statm"), 1); pages && *pages > 0.0 && page > 0)
    state.resident_bytes = static_cast<std::uint64_t>(*pages) * static_cast<std::uint64_t>(page);
  state.machine_s = number_at(first_line(system.proc / "uptime"), 0);
  if (const auto start = started_s(system.proc); start && state.machine_s && *state.machine_s >= *start)
    state.program_s = *state.machine_s - *start;
  state.kernel = first_line(system.proc / "sys" / "kernel" / "osrelease");
  return state;
}

}  // namespace app
