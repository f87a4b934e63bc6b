#include <ctime>
#include <iostream>
#include <map>
#include <memory>

#include "app/commands/filter_options.h"
#include "app/commands/options.h"
#include "app/commands/report.h"
#include "app/places.h"
#include "calib/files.h"

namespace app {
namespace {

struct ReportWordsTyped {
  std::optional<std::filesystem::path> station_file;
  FilterWords filter;
  ReportOptions report;
};

// With a file's name, or alone.
void add_output(CLI::App& command, const char* name, bool& wanted, std::optional<std::filesystem::path>& file,
                const char* help) {
  command
      .add_option_function<std::vector<std::string>>(
          name,
          [&wanted, &file](const std::vector<std::string>& words) {
            wanted = true;
            if (!words.empty() && !words.front().empty()) file = words.front();
          },
          help)
      ->expected(0, 1)
      ->option_text("[FILE]");
}

void add_price(CLI::App& command, const char* name, std::optional<double>& price, const char* help) {
  command
      .add_option_function<double>(
          name, [&price](double value) { price = value; }, help)
      ->check(CLI::Range(0.0, 1e6))
      ->option_text("N");
}

int run(ReportWordsTyped words) {
  try {
    words.report.station_file = words.station_file ? *words.station_file : default_station_file();
    words.report.now_s = std::time(nullptr);
    words.report.filter = filter_from(words.filter, words.report.now_s);
  } catch (const calib::FileError& error) {
    std::cerr << "hoopgauge: " << error.what() << '\n';
    return kUsage;
  }
  return run_report(words.report, std::cout, std::cerr);
}

}  // namespace

void add_report_command(CLI::App& program, Chosen& chosen) {
  const auto words = std::make_shared<ReportWordsTyped>();
  words->report.paper = local_paper();
  CLI::App* command = program.add_subcommand(
      "report", "How accurately somebody, or the shop, hoops: as a PDF or a page for the browser");
  optional_value(*command, "--station", words->station_file, "The station file; the records lie beside it")
      ->option_text("FILE");
  add_filter_options(*command, words->filter, false);
  command->add_flag("--shop", words->report.shop, "Everybody's pieces, in the place of --operator");
  command->add_flag("--no-names", words->report.no_names,
                    "People are Operator 1, 2, ... in the order of their first piece");
  add_output(*command, "--pdf", words->report.pdf, words->report.pdf_file,
             "Write a PDF; without a name it is named after the span");
  add_output(*command, "--html", words->report.html, words->report.html_file,
             "Write a page for the browser, one file that needs no network");
  command->add_option("--paper", words->report.paper, "a4 or letter; left out, what the locale's country uses")
      ->transform(CLI::CheckedTransformer(std::map<std::string, Paper>{{"a4", Paper::a4}, {"letter", Paper::letter}},
                                          CLI::ignore_case))
      ->option_text("PAPER");
  const std::map<std::string, Units> units{{"mm", Units::mm}, {"in", Units::inch}};
  command
      ->add_option_function<std::string>(
          "--units", [words, units](const std::string& name) { words->report.units = units.at(name); },
          "mm or in; left out, the station's")
      ->check(CLI::IsMember(std::vector<std::string>{"mm", "in"}))
      ->option_text("UNIT");
  add_price(*command, "--hour-cost", words->report.costs.hour, "What an hour of work costs, for the sum");
  add_price(*command, "--garment-cost", words->report.costs.garment, "What a spoiled garment costs, for the sum");
  command->callback([&chosen, words] { chosen = [words] { return run(*words); }; });
}

}  // namespace app
