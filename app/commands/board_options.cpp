#include <iostream>
#include <memory>

#include "app/commands/board.h"
#include "app/commands/options.h"

namespace app {
namespace {

constexpr const char* kStationHelp = "The station file; without it the station's own";

void add_station_option(CLI::App& command, std::optional<std::filesystem::path>& file) {
  optional_value(command, "--station", file, kStationHelp)->option_text("FILE");
}

void add_show(CLI::App& board, Chosen& chosen, const std::shared_ptr<BoardOptions>& survey) {
  const auto file = std::make_shared<std::optional<std::filesystem::path>>();
  CLI::App* show = board.add_subcommand("show", "List the surveyed marks with their uncertainty");
  add_station_option(*show, *file);
  show->callback([&chosen, file, survey] {
    chosen = [file, survey] { return run_board_show(*file ? *file : survey->station_file, std::cout, std::cerr); };
  });
}

void add_frame(CLI::App& board, Chosen& chosen, const std::shared_ptr<BoardOptions>& survey) {
  const auto options = std::make_shared<BoardFrameOptions>();
  CLI::App* frame = board.add_subcommand("frame", "Move the board frame to where you point");
  add_station_option(*frame, options->station_file);
  frame
      ->add_option("--origin", options->origin,
                   "The new origin: X,Y in mm of the frame now, 'mark 400', or with --in X,Y in pixels")
      ->required()
      ->option_text("PLACE (needed)");
  optional_value(*frame, "--toward", options->toward, "A place on the new x axis; without it the axes keep their way")
      ->option_text("PLACE");
  optional_value(*frame, "--in", options->picture, "The picture whose pixels the places are")->option_text("FRAME");
  frame->callback([&chosen, options, survey] {
    if (!options->station_file) options->station_file = survey->station_file;
    chosen = [options] { return run_board_frame(*options, std::cout, std::cerr); };
  });
}

}  // namespace

void add_board_command(CLI::App& program, Chosen& chosen) {
  const auto options = std::make_shared<BoardOptions>();
  CLI::App* board = program.add_subcommand("board", "Survey the board marks with the calibration sheet");
  add_station_option(*board, options->station_file);
  board->add_flag("--keep-frame", options->keep_frame,
                  "Keep the board frame of the survey before, by the marks that stayed");
  add_live_options(*board, options->live);
  board->add_option("FRAME", options->frames, "Pictures of the sheet lying on the board; without any: live")
      ->option_text("FRAME...");
  board->require_subcommand(0, 1);
  // The subcommands' callbacks run before this one.
  board->callback([&chosen, options, board] {
    if (board->get_subcommands().empty()) chosen = [options] { return run_board(*options, std::cout, std::cerr); };
  });
  add_show(*board, chosen, options);
  add_frame(*board, chosen, options);
}

}  // namespace app
