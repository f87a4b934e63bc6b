#include <cstdio>

#include "app/commands/options.h"

namespace app {
namespace {

// "1280x800" as cv::Size; empty text when it is one, else what to write.
std::string read_size(const std::string& text, cv::Size& size) {
  int end = 0;
  if (std::sscanf(text.c_str(), "%5dx%5d%n", &size.width, &size.height, &end) == 2 &&
      static_cast<std::size_t>(end) == text.size() && size.width >= 320 && size.height >= 240)
    return {};
  return "write it as WIDTHxHEIGHT in pixels, 320x240 or more, such as 1280x800";
}

}  // namespace

void add_source_options(CLI::App& command, LiveOptions& options) {
  optional_value(command, "--frames", options.frames_dir, "Play the pictures of this folder")->option_text("DIR");
  optional_value(command, "--camera", options.camera, "The camera's name, or a part of it")->option_text("NAME");
  command.add_flag("--rendered", options.rendered, "The rendered station, even where there is a camera");
  command
      .add_option_function<double>(
          "--seconds", [&options](double seconds) { options.seconds = seconds; }, "End by itself after so long")
      ->check(CLI::Range(0.0, 1e9))
      ->option_text("N");
}

void add_live_options(CLI::App& command, LiveOptions& options) {
  command.add_flag("--window", options.window, "In a window instead of full screen");
  add_source_options(command, options);
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

}  // namespace app
