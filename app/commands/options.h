// What the commands' options share, and the list of all commands.
#pragma once

#include <CLI/CLI.hpp>
#include <functional>
#include <optional>
#include <string>

#include "app/live_options.h"

namespace app {

// What the command line chose; returns the process's exit code.
using Chosen = std::function<int()>;

inline constexpr int kUsage = 2;  // exit code: options or files that cannot be used

// Each adds one command with its options. Where the command line names it, `chosen` is set.
void add_station_command(CLI::App& program, Chosen& chosen);
void add_guide_command(CLI::App& program, Chosen& chosen);
void add_measure_command(CLI::App& program, Chosen& chosen);
void add_render_command(CLI::App& program, Chosen& chosen);
void add_screens_command(CLI::App& program, Chosen& chosen);
void add_prove_command(CLI::App& program, Chosen& chosen);
void add_watch_command(CLI::App& program, Chosen& chosen);
void add_cameras_command(CLI::App& program, Chosen& chosen);
void add_hoop_command(CLI::App& program, Chosen& chosen);
void add_job_command(CLI::App& program, Chosen& chosen);
void add_print_command(CLI::App& program, Chosen& chosen);
void add_machine_command(CLI::App& program, Chosen& chosen);
void add_entry_command(CLI::App& program, Chosen& chosen);
void add_records_command(CLI::App& program, Chosen& chosen);
void add_report_command(CLI::App& program, Chosen& chosen);
void add_lens_command(CLI::App& program, Chosen& chosen);
void add_board_command(CLI::App& program, Chosen& chosen);

// --frames, --camera, --rendered, --seconds.
void add_source_options(CLI::App& command, LiveOptions& options);
// The same, and --window, --picture, --size.
void add_live_options(CLI::App& command, LiveOptions& options);

// CLI11 knows optional numbers and texts of the library only by their plain values.
template <class Value>
CLI::Option* optional_value(CLI::App& command, const char* name, std::optional<Value>& value, const char* help) {
  return command.add_option_function<std::string>(
      name, [&value](const std::string& text) { value.emplace(text); }, help);
}

}  // namespace app
