#include <functional>
#include <iostream>
#include <map>
#include <memory>

#include "app/commands/job.h"
#include "app/commands/length_words.h"
#include "app/commands/options.h"
#include "app/format.h"
#include "app/jobs/job_file.h"
#include "app/places.h"
#include "app/sheets/number_list.h"
#include "app/sheets/sheet_error.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

struct JobWords {
  std::optional<fs::path> station_file;
  Job job;
  bool replace = false;
  std::string name;                // of a job, or its file
  std::vector<std::string> names;  // likewise
  JobPrintOptions print;
};

using JobRun = std::function<int(const fs::path& station_file, const JobWords& words)>;

CLI::App* add_one(CLI::App& job, Chosen& chosen, const std::shared_ptr<JobWords>& words, const char* name,
                  const char* help, JobRun run) {
  CLI::App* command = job.add_subcommand(name, help);
  optional_value(*command, "--station", words->station_file, "The station file; the jobs lie beside it")
      ->option_text("FILE");
  command->callback([&chosen, words, run = std::move(run)] {
    chosen = [words, run] {
      try {
        return run(words->station_file ? *words->station_file : default_station_file(), *words);
      } catch (const calib::FileError& error) {
        std::cerr << "hoopgauge: " << error.what() << '\n';
        return kUsage;
      }
    };
  });
  return command;
}

// An option whose text `take` reads, or refuses with what to write.
void read_text(CLI::App& command, const char* name, const char* form, const char* help,
               std::function<void(const std::string&)> take) {
  command
      .add_option_function<std::string>(
          name,
          [name, take = std::move(take)](const std::string& text) {
            try {
              take(text);
            } catch (const SheetError& error) {
              throw CLI::ValidationError(name, error.what());
            }
          },
          help)
      ->option_text(form);
}

[[noreturn]] void refuse(const std::string& text, const char* form) {
  throw SheetError(format("'%s' does not do: write it as %s", text, form));
}

void add_length(CLI::App& command, const char* name, const char* help, calib::Range range_mm,
                std::function<void(double)> take) {
  read_text(command, name, "MM|INCHESin", help, [=](const std::string& text) {
    const auto mm = length_mm_from(text);
    if (!mm) refuse(text, "205, 205mm or 8in");
    if (!(*mm >= range_mm.low && *mm <= range_mm.high))
      throw SheetError(format("'%s' must be %g to %g mm", text, range_mm.low, range_mm.high));
    take(*mm);
  });
}

PlacedSticker sticker_from(const std::string& text) {
  constexpr const char* kForm = "14=-50,0 or 14=-50,0,90";
  const std::size_t equals = text.find('=');
  if (equals == std::string::npos) refuse(text, kForm);
  PlacedSticker one;
  one.number = parse_number(text.substr(0, equals), kStickerNumbers);
  std::vector<double> values;
  for (std::size_t at = equals + 1; at <= text.size();) {
    const std::size_t end = std::min(text.find(',', at), text.size());
    const auto value = length_mm_from(text.substr(at, end - at));
    if (!value) refuse(text, kForm);
    values.push_back(*value);
    at = end + 1;
  }
  if (values.size() != 2 && values.size() != 3) refuse(text, kForm);
  one.at_mm = {values[0], values[1]};
  if (values.size() == 3) one.turn_deg = values[2];
  return one;
}

void add_what(CLI::App& command, Job& job) {
  command.add_option("NAME", job.name, "What the job is called")->required()->option_text(" ");
  const auto named = [&](const char* option, std::string& value, const char* help) {
    command.add_option(option, value, help)->option_text("NAME");
  };
  named("--garment", job.garment, "Such as \"polo, adult\"");
  named("--cloth", job.cloth, "Such as knit; proposes stabilizer, topping and way");
  named("--stabilizer", job.stabilizer, "In the place of the one proposed");
  named("--topping", job.topping, "In the place of the one proposed; none for none");
  named("--way", job.way, "Of hooping, in the place of the one proposed");
  named("--place", job.place.name, "Where on the garment, such as \"left chest\"");
  add_length(command, "--down", "From the place's first reference", job_limits::kDown_mm,
             [&job](double mm) { job.place.down_mm = mm; });
  add_length(command, "--across", "From its second one", job_limits::kAcross_mm,
             [&job](double mm) { job.place.across_mm = mm; });
  named("--hoop", job.hoop, "A taught hoop; left out, any");
  named("--machine", job.machine, "Left out, the station's");
  read_text(command, "--design", "WxH", "Width and height of the design", [&job](const std::string& text) {
    job.design_mm = size_mm_from(text);
    if (!job.design_mm) refuse(text, "80x60 or 3.5x2.5in");
    for (const double side : {job.design_mm->width, job.design_mm->height})
      if (!(side >= job_limits::kDesignSide_mm.low && side <= job_limits::kDesignSide_mm.high))
        throw SheetError(format("'%s': a side must be %g to %g mm", text, job_limits::kDesignSide_mm.low,
                                job_limits::kDesignSide_mm.high));
  });
  command.add_option("--design-file", job.design_file, "An SVG drawing, beside the job's file or with its whole path")
      ->option_text("FILE.svg");
}

void add_how(CLI::App& command, Job& job) {
  command
      .add_option_function<int>(
          "--ticket", [&job](int tag) { job.ticket = tag; }, "Tag of the ticket that chooses the job")
      ->check(CLI::Range(kCardNumbers.first, kCardNumbers.last))
      ->option_text("480..586");
  read_text(command, "--stickers", "0-9,14", "Sticker numbers that belong to it, one a piece; left out, any",
            [&job](const std::string& text) { job.stickers = parse_numbers({text}, kStickerNumbers); });
  command
      .add_option_function<std::vector<std::string>>(
          "--sticker",
          [&job](const std::vector<std::string>& texts) {
            try {
              for (const std::string& text : texts) job.placed_stickers.push_back(sticker_from(text));
            } catch (const SheetError& error) {
              throw CLI::ValidationError("--sticker", error.what());
            }
          },
          "A sticker on every piece: mm right of the design's centre and up, degrees counter-clockwise; may be "
          "repeated")
      ->option_text("N=X,Y[,TURN]");
  command.add_option("--tolerance", job.tolerance.offset_mm, "Of the place, mm; left out 3")
      ->check(CLI::Range(job_limits::kTolerance_mm.low, job_limits::kTolerance_mm.high))
      ->option_text("MM");
  command.add_option("--tolerance-deg", job.tolerance.rotation_deg, "Of the turn, degrees; left out 1")
      ->check(CLI::Range(job_limits::kTolerance_deg.low, job_limits::kTolerance_deg.high))
      ->option_text("DEG");
  command
      .add_option_function<double>(
          "--stretch-limit", [&job](double percent) { job.stretch_limit_percent = percent; },
          "Between two stickers; left out, the cloth's")
      ->check(CLI::Range(job_limits::kStretch_percent.low, job_limits::kStretch_percent.high))
      ->option_text("PERCENT");
  command.add_option("--pieces", job.pieces, "How many are wanted")
      ->check(CLI::Range(0, job_limits::kMostPieces))
      ->option_text("N");
  command.add_option("--note", job.note, "One line for the operator")->option_text("TEXT");
}

void add_new(CLI::App& job, Chosen& chosen, const std::shared_ptr<JobWords>& words) {
  CLI::App* command = add_one(job, chosen, words, "new", "Write a job's file, and say what is proposed for it",
                              [](const fs::path& station, const JobWords& w) {
                                return run_job_new(station, w.job, w.replace, std::cout, std::cerr);
                              });
  add_what(*command, words->job);
  add_how(*command, words->job);
  command->add_flag("--replace", words->replace, "Take the place of the job of this name");
}

}  // namespace

void add_job_command(CLI::App& program, Chosen& chosen) {
  CLI::App* job = program.add_subcommand("job", "Make, look at, check and print jobs");
  job->require_subcommand(1);
  const auto words = std::make_shared<JobWords>();
  words->print.paper = local_paper();
  add_new(*job, chosen, words);
  add_one(*job, chosen, words, "list", "List the jobs",
          [](const fs::path& station, const JobWords&) { return run_job_list(station, std::cout, std::cerr); });
  add_one(
      *job, chosen, words, "show", "Show a job with what is proposed for it",
      [](const fs::path& station, const JobWords& w) { return run_job_show(station, w.name, std::cout, std::cerr); })
      ->add_option("JOB", words->name, "Its name or its file")
      ->required()
      ->option_text(" ");
  add_one(
      *job, chosen, words, "check", "Say what speaks against jobs; exit code 1 where something does",
      [](const fs::path& station, const JobWords& w) { return run_job_check(station, w.names, std::cout, std::cerr); })
      ->add_option("JOB", words->names, "Their names or files; all where none is named")
      ->option_text("JOB...");
  CLI::App* print = add_one(
      *job, chosen, words, "print", "Make a job's ticket as PDF",
      [](const fs::path& station, const JobWords& w) { return run_job_print(station, w.print, std::cout, std::cerr); });
  print->add_option("JOB", words->print.job, "Its name or its file")->required()->option_text(" ");
  print->add_option("--paper", words->print.paper, "a4 or letter; left out, what the locale's country uses")
      ->transform(CLI::CheckedTransformer(std::map<std::string, Paper>{{"a4", Paper::a4}, {"letter", Paper::letter}},
                                          CLI::ignore_case))
      ->option_text("a4|letter");
  optional_value(*print, "--out", words->print.out_file,
                 "The file to write; left out, one in this folder named after it")
      ->option_text("FILE.pdf");
  print->add_flag("--replace", words->print.replace, "Replace a file that is there already");
}

}  // namespace app
