#include "app/commands.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cstdio>
#include <exception>
#include <iostream>
#include <string>

#include "app/commands/measure.h"
#include "app/commands/render.h"
#include "app/station.h"

namespace app {
namespace {

constexpr int kUsage = 2;

// "1280x800" as cv::Size; empty text when it is one, else what to write.
std::string read_size(const std::string& text, cv::Size& size) {
  int end = 0;
  if (std::sscanf(text.c_str(), "%5dx%5d%n", &size.width, &size.height, &end) == 2 &&
      static_cast<std::size_t>(end) == text.size() && size.width >= 320 && size.height >= 240)
    return {};
  return "write it as WIDTHxHEIGHT in pixels, 320x240 or more, such as 1280x800";
}

// CLI11 knows optional numbers and texts of the library only by their plain values.
template <class Value>
CLI::Option* optional_value(CLI::App& command, const char* name, std::optional<Value>& value, const char* help) {
  return command.add_option_function<std::string>(
      name, [&value](const std::string& text) { value.emplace(text); }, help);
}

void add_station_options(CLI::App& command, StationOptions& options) {
  command.add_flag("--window", options.window, "In a window instead of full screen");
  optional_value(command, "--station", options.station_file, "The station file (station.toml)")->option_text("FILE");
  optional_value(command, "--hoop", options.hoop_file, "The hoop file")->option_text("FILE");
  optional_value(command, "--frames", options.frames_dir, "Play the pictures of this folder")->option_text("DIR");
  optional_value(command, "--camera", options.camera, "The camera's name, or a part of it")->option_text("NAME");
  command.add_flag("--rendered", options.rendered, "The rendered station, even where there is a camera");
  command
      .add_option_function<double>(
          "--seconds", [&options](double seconds) { options.seconds = seconds; }, "End by itself after so long")
      ->check(CLI::Range(0.0, 1e9))
      ->option_text("N");
  optional_value(command, "--picture", options.picture, "Write the screen's picture at the end")
      ->option_text("FILE.png");
  command
      .add_option_function<std::string>(
          "--size",
          [&options](const std::string& text) {
            const std::string fault = read_size(text, options.size);
            if (!fault.empty()) throw CLI::ValidationError("--size", fault);
          },
          "The window's or picture's size")
      ->option_text("WxH");
}

void add_measure_options(CLI::App& command, MeasureOptions& options) {
  command.add_option("--station", options.station_file, "The station file (station.toml)")
      ->required()
      ->option_text("FILE (needed)");
  command.add_option("--hoop", options.hoop_file, "The hoop file")->required()->option_text("FILE (needed)");
  optional_value(command, "--overlay", options.overlay_dir, "Write each frame there with what was found drawn on it")
      ->option_text("DIR");
  command.add_flag("--fresh", options.fresh, "Forget the last frame before each one");
  command
      .add_option_function<int>(
          "--sticker", [&options](int number) { options.sticker = number; }, "The sticker that counts, 0 to 99")
      ->check(CLI::Range(0, 99))
      ->option_text("N");
  command.add_option("FRAME", options.frames, "JPEGs and PNGs, folders of them, patterns such as 'day/*.jpg'")
      ->required()
      ->option_text("FRAME...");
}

void add_render_options(CLI::App& command, RenderOptions& options) {
  command.add_option("--out", options.out_dir, "The folder to write to")->required()->option_text("DIR (needed)");
  command.add_option("--count", options.count, "How many frames")->check(CLI::Range(1, 100000))->option_text("N");
  command.add_option("--seed", options.seed, "The same seed gives the same frames")->option_text("S");
  optional_value(command, "--kind", options.kind, "Scenes of one kind only, such as hand")->option_text("KIND");
  optional_value(command, "--station", options.station_file, "A station file instead of the demo station")
      ->option_text("FILE");
  command.add_option("--hoop", options.hoops, "A demo hoop's name or a hoop file; may be repeated")
      ->option_text("NAME or FILE");
}

// The first word must be a command. Without one, or with an option first, it is the station.
bool names_a_command(const CLI::App& program, const std::string& word) {
  const auto commands = program.get_subcommands([](const CLI::App*) { return true; });
  return std::any_of(commands.begin(), commands.end(), [&](const CLI::App* one) { return one->get_name() == word; });
}

int unknown_command(const CLI::App& program, const std::string& word) {
  std::cerr << "hoopgauge: '" << word << "' is no command; write one of";
  for (const CLI::App* one : program.get_subcommands([](const CLI::App*) { return true; }))
    std::cerr << ' ' << one->get_name();
  std::cerr << ", or hoopgauge --help\n";
  return kUsage;
}

int parsed_run(int argc, char** argv) {
  CLI::App program(
      "A hooping station: sees the target sticker and the hoop, says how far to slide and turn the cloth.\n"
      "Without a command it is the station.",
      "hoopgauge");
  program.set_version_flag("--version", "hoopgauge " HOOPGAUGE_VERSION);
  StationOptions station;
  MeasureOptions measure;
  add_station_options(program, station);
  CLI::App* on_station = program.add_subcommand("station", "Run the station: camera to screen");
  add_station_options(*on_station, station);
  CLI::App* on_measure = program.add_subcommand("measure", "Measure pictures, one JSON line each");
  add_measure_options(*on_measure, measure);
  CLI::App* on_render = program.add_subcommand("render", "Render random frames with their truth");
  RenderOptions render;
  add_render_options(*on_render, render);
  CLI::App* on_cameras = program.add_subcommand("cameras", "List the cameras found");
  program.require_subcommand(0, 1);

  if (argc > 1 && argv[1][0] != '-' && !names_a_command(program, argv[1])) return unknown_command(program, argv[1]);
  try {
    program.parse(argc, argv);
  } catch (const CLI::ParseError& error) {
    if (error.get_exit_code() == 0) return program.exit(error, std::cout, std::cerr);  // --help, --version
    std::cerr << "hoopgauge: " << error.what() << "; see hoopgauge --help\n";
    return kUsage;
  }
  if (on_measure->parsed()) return run_measure(measure, std::cout, std::cerr);
  if (on_render->parsed()) return run_render(render, std::cout, std::cerr);
  if (on_cameras->parsed()) return run_cameras();
  return run_station(station);
}

}  // namespace

int run(int argc, char** argv) {
  try {
    return parsed_run(argc, argv);
  } catch (const std::exception& error) {
    std::cerr << "hoopgauge: stopped by a fault of its own: " << error.what() << '\n';
    return 3;
  }
}

}  // namespace app
