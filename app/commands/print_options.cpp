#include <iostream>
#include <map>
#include <memory>
#include <utility>

#include "app/commands/options.h"
#include "app/commands/print.h"
#include "app/commands/print_template.h"
#include "app/places.h"
#include "calib/files.h"

namespace app {
namespace {

// What the command line says of labels, before it is known whether all of it is there.
struct LabelWords {
  std::pair<int, int> grid{0, 0};
  std::pair<double, double> size{0.0, 0.0}, margin{0.0, 0.0}, pitch{0.0, 0.0};
  int skip = 0;
  bool wanted = false, has_pitch = false;

  std::optional<LabelGrid> labels() const {
    if (!wanted) return std::nullopt;
    const std::pair<double, double> step = has_pitch ? pitch : size;  // labels that touch
    return LabelGrid{
        grid.first, grid.second, {size.first, size.second}, {margin.first, margin.second}, {step.first, step.second},
        skip};
  }
};

void add_label_options(CLI::App& command, LabelWords& words) {
  CLI::Option* labels = command.add_option("--labels", words.grid, "On a sheet of labels: columns and rows, as in 3 6")
                            ->option_text("COLUMNS ROWS");
  CLI::Option* size =
      command.add_option("--label-size", words.size, "Width and height of a label, mm")->option_text("W H");
  CLI::Option* margin =
      command.add_option("--label-margin", words.margin, "From the paper's left and upper edge to the first label, mm")
          ->option_text("LEFT TOP");
  CLI::Option* pitch = command
                           .add_option("--label-pitch", words.pitch,
                                       "From one label's edge to the next one's same edge, mm; left out, they touch")
                           ->option_text("X Y");
  CLI::Option* skip =
      command.add_option("--label-skip", words.skip, "Labels of the first sheet that are used up")->option_text("N");
  labels->needs(size)->needs(margin);
  for (CLI::Option* one : {size, margin, pitch, skip}) one->needs(labels);
}

template <class Options>
void add_file_options(CLI::App& command, Options& options) {
  command.add_option("--paper", options.paper, "a4 or letter; left out, what the locale's country uses")
      ->transform(CLI::CheckedTransformer(std::map<std::string, Paper>{{"a4", Paper::a4}, {"letter", Paper::letter}},
                                          CLI::ignore_case))
      ->option_text("a4|letter");
  optional_value(command, "--out", options.out_file, "The file to write; left out, one in this folder named after it")
      ->option_text("FILE.pdf");
  command.add_flag("--replace", options.replace, "Replace a file that is there already");
}

// One of the sheets as a command of its own.
CLI::App* add_sheet(CLI::App& print, Chosen& chosen, Sheet sheet, const char* name, const char* help,
                    const char* what_is_chosen) {
  const auto options = std::make_shared<PrintOptions>();
  const auto words = std::make_shared<LabelWords>();
  options->sheet = sheet;
  options->paper = local_paper();
  CLI::App* command = print.add_subcommand(name, help);
  add_file_options(*command, *options);
  if (what_is_chosen != nullptr) command->add_option("which", options->chosen, what_is_chosen)->option_text(" ");
  if (sheet == Sheet::stickers) {
    command->add_option("--dpi", options->dpi, "Of a PNG, 72 to 2400; left out, 600")->option_text("N");
    add_label_options(*command, *words);
  }
  command->callback([&chosen, options, words, command, sheet] {
    words->wanted = sheet == Sheet::stickers && command->count("--labels") > 0;
    words->has_pitch = words->wanted && command->count("--label-pitch") > 0;
    options->labels = words->labels();
    chosen = [options] { return run_print(*options, std::cout, std::cerr); };
  });
  return command;
}

void add_scale(CLI::App& print, Chosen& chosen) {
  const auto options = std::make_shared<ScaleOptions>();
  CLI::App* command = print.add_subcommand("scale", "Tell the station at which scale the printer printed the sheets");
  command->add_option("--bar", options->bar_mm, "What the 100 mm bar measures, outer edge to outer edge")
      ->required()
      ->option_text("MM (needed)");
  command->add_option("--station", options->station_file, "The station file; left out, this computer's own")
      ->option_text("FILE");
  command->callback([&chosen, options] {
    chosen = [options] {
      try {
        if (options->station_file.empty()) options->station_file = default_station_file();
      } catch (const calib::FileError& error) {
        std::cerr << "hoopgauge: " << error.what() << '\n';
        return kUsage;
      }
      return run_print_scale(*options, std::cout, std::cerr);
    };
  });
}

void add_template(CLI::App& print, Chosen& chosen) {
  const auto options = std::make_shared<TemplateOptions>();
  const auto size = std::make_shared<std::pair<double, double>>(0.0, 0.0);
  options->paper = local_paper();
  CLI::App* command = print.add_subcommand("template", "A design at its true size, to be laid on the garment");
  add_file_options(*command, *options);
  optional_value(*command, "drawing", options->drawing, "An SVG drawing")->option_text("FILE.svg");
  optional_value(*command, "--job", options->job, "The design of this job, with its stickers' places")
      ->option_text("NAME");
  command->add_option("--station", options->station_file, "The station file; left out, this computer's own")
      ->option_text("FILE");
  CLI::Option* width =
      command->add_option("--width", size->first, "The design's true width, mm; left out, as the drawing says it")
          ->option_text("MM");
  command->add_option("--height", size->second, "Its true height, mm, to check")->option_text("MM")->needs(width);
  command->callback([&chosen, options, size, command] {
    if (command->count("--width") > 0) options->size = TrueSize{size->first, {}};
    if (command->count("--height") > 0) options->size->height_mm = size->second;
    chosen = [options] {
      try {
        if (options->job && options->station_file.empty()) options->station_file = default_station_file();
      } catch (const calib::FileError& error) {
        std::cerr << "hoopgauge: " << error.what() << '\n';
        return kUsage;
      }
      return run_print_template(*options, std::cout, std::cerr);
    };
  });
}

}  // namespace

void add_print_command(CLI::App& program, Chosen& chosen) {
  CLI::App* print =
      program.add_subcommand("print", "Make the sheets as PDF: stickers, marks, cards, calibration, proof");
  print->require_subcommand(1);
  add_sheet(*print, chosen, Sheet::setup, "setup", "All that a new station needs, in one file", nullptr);
  add_sheet(*print, chosen, Sheet::stickers, "stickers", "Target stickers",
            "Numbers 0 to 99, as in 0-9,14; left out, 0-19");
  add_sheet(*print, chosen, Sheet::board, "board", "Board marks", "Tags 400 to 449; left out, 400-407");
  add_sheet(*print, chosen, Sheet::north, "north", "North marks for rims", "Tags 450 to 479; left out, 450-459");
  add_sheet(*print, chosen, Sheet::badges, "badges", "Operators' badges", "Tags 480 to 586 with names, as in 480=Name");
  add_sheet(*print, chosen, Sheet::tickets, "tickets", "Job tickets", "Tags 480 to 586 with jobs, as in 500=\"Apron\"");
  add_sheet(*print, chosen, Sheet::calibration, "calibration", "The calibration sheet", nullptr);
  add_sheet(*print, chosen, Sheet::proof, "proof", "The proof sheet", nullptr);
  add_template(*print, chosen);
  add_scale(*print, chosen);
}

}  // namespace app
