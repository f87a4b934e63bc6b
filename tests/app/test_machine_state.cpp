// How the computer is, read from folders made up after proc(5) and the kernel's thermal sysfs (Documentation/
// driver-api/thermal/sysfs-api.rst: temp in thousandths of a degree Celsius).
#include <unistd.h>

#include "app/system/machine_state.h"
#include "app/system/versions.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

namespace fs = std::filesystem;

void put(const fs::path& file, const std::string& content) {
  fs::create_directories(file.parent_path());
  std::ofstream(file) << content;
}

}  // namespace

TEST_CASE("the machine's figures are what the system tells", "[views][machine]") {
  const TemporaryFolder folder;
  const fs::path sys = folder.path / "sys", proc = folder.path / "proc";
  put(sys / "class/thermal/thermal_zone0/temp", "48312\n");
  put(sys / "class/thermal/thermal_zone1/temp", "61500\n");
  put(sys / "class/thermal/thermal_zone2/temp", "-274000\n");  // no sensor behind it
  put(sys / "class/thermal/cooling_device0/temp", "99000\n");
  put(proc / "self/statm", "50000 1234 900 10 0 3000 0\n");
  put(proc / "uptime", "10000.50 20000.00\n");
  const long ticks = 400 * ::sysconf(_SC_CLK_TCK);
  put(proc / "self/stat",
      "17 (a program) S 1 17 17 0 -1 4194560 100 0 0 0 5 2 0 0 20 0 4 0 " + std::to_string(ticks) + " 1000000 1234\n");
  put(proc / "sys/kernel/osrelease", "6.1.0-test\n");
  const app::MachineState state = app::machine_state(folder.path / "not/there/yet", {sys, proc});
  REQUIRE(state.temperature_c.has_value());
  CHECK_THAT(*state.temperature_c, WithinAbs(61.5, 1e-9));
  CHECK(state.resident_bytes == 1234U * static_cast<std::uint64_t>(::sysconf(_SC_PAGESIZE)));
  CHECK_THAT(state.machine_s.value_or(0.0), WithinAbs(10000.5, 1e-9));
  CHECK_THAT(state.program_s.value_or(0.0), WithinAbs(9600.5, 1e-9));
  CHECK(state.kernel == "6.1.0-test");
  CHECK(state.disk_free_bytes.has_value());  // of the folder above
}

// Guarantees: nothing is invented. Example failure: no sensor reads as 0 degrees.
TEST_CASE("what the system does not tell is missing", "[views][machine]") {
  const TemporaryFolder folder;
  const app::MachineState nothing = app::machine_state(folder.path, {folder.path / "sys", folder.path / "proc"});
  CHECK_FALSE(nothing.temperature_c);
  CHECK_FALSE(nothing.resident_bytes);
  CHECK_FALSE(nothing.machine_s);
  CHECK_FALSE(nothing.program_s);
  CHECK(nothing.kernel.empty());
  put(folder.path / "proc/self/statm", "many few\n");
  put(folder.path / "proc/uptime", "\n");
  put(folder.path / "proc/self/stat", "17 (cut off");
  put(folder.path / "sys/class/thermal/thermal_zone0/temp", "warm\n");
  const app::MachineState nonsense = app::machine_state(folder.path, {folder.path / "sys", folder.path / "proc"});
  CHECK_FALSE(nonsense.temperature_c);
  CHECK_FALSE(nonsense.resident_bytes);
  CHECK_FALSE(nonsense.machine_s);
  CHECK_FALSE(nonsense.program_s);
}

TEST_CASE("this machine tells memory and times, and every library its version", "[views][machine]") {
  const app::MachineState state = app::machine_state(fs::temp_directory_path());
  CHECK(state.resident_bytes.value_or(0) > 1'000'000U);
  CHECK(state.program_s.value_or(-1.0) >= 0.0);
  CHECK(state.program_s.value_or(0.0) <= state.machine_s.value_or(0.0));
  CHECK_FALSE(state.kernel.empty());
  for (const auto& [name, version] : app::library_versions()) {
    INFO(name);
    CHECK(version.find_first_of("0123456789") != std::string::npos);
  }
}
