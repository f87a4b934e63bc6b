#include <ctime>
#include <iostream>
#include <map>
#include <memory>

#include "app/commands/filter_options.h"
#include "app/commands/options.h"
#include "app/commands/records.h"
#include "app/commands/records_log.h"
#include "app/commands/records_share.h"
#include "app/places.h"

namespace app {
namespace {

namespace fs = std::filesystem;

struct RecordsWords {
  std::optional<fs::path> station_file;
  FilterWords filter;
  RecordsListOptions list;
  RecordsCorrectOptions correct;
  RecordsExportOptions written;
  std::string id;
  fs::path file;
  std::string name, new_name;
  bool for_good = false;
  fs::path station() const { return station_file ? *station_file : default_station_file(); }
};
using Words = std::shared_ptr<RecordsWords>;

CLI::App* add_one(CLI::App& records, Chosen& chosen, const Words& words, const char* name, const char* help,
                  const std::function<int(RecordsWords&)>& run) {
  CLI::App* command = records.add_subcommand(name, help);
  optional_value(*command, "--station", words->station_file, "The station file; the record of pieces lies beside it")
      ->option_text("FILE");
  command->callback([&chosen, words, run] {
    chosen = [words, run] { return with_log(words->station(), std::cerr, [&] { return run(*words); }); };
  });
  return command;
}

void add_list(CLI::App& records, Chosen& chosen, const Words& words) {
  CLI::App* command = add_one(records, chosen, words, "list", "List pieces, the newest last", [](RecordsWords& w) {
    w.list.filter = filter_from(w.filter, std::time(nullptr));
    return run_records_list(w.station(), w.list, std::cout, std::cerr);
  });
  add_filter_options(*command, words->filter, true);
  command->add_option("--count", words->list.count, "At most so many; 0 for all; left out 20")->option_text("N");
  command->add_flag("--json", words->list.json, "One JSON object a line");
  command->add_flag("--no-names", words->list.no_names, "Operators as Operator 1, Operator 2 ...");
}

void add_show(CLI::App& records, Chosen& chosen, const Words& words) {
  add_one(records, chosen, words, "show", "Show all that was kept of a piece, with corrections and inspections",
          [](RecordsWords& w) { return run_records_show(w.station(), w.id, std::cout, std::cerr); })
      ->add_option("ID", words->id, "The piece's, or the beginning of it that list shows")
      ->required()
      ->option_text(" ");
}

void add_what_and_who(CLI::App& command, const Words& words) {
  command.add_option("--by", words->correct.by, "Who says so")->option_text("NAME");
  command.add_option("--note", words->correct.note, "Why, in a few words")->option_text("TEXT");
}

void add_correct(CLI::App& records, Chosen& chosen, const Words& words) {
  CLI::App* command =
      add_one(records, chosen, words, "correct",
              "Correct what was written down of a piece; what was kept stays, a later correction counts",
              [](RecordsWords& w) { return run_records_correct(w.station(), w.correct, std::cout, std::cerr); });
  command
      ->add_option_function<std::string>(
          "ID", [words](const std::string& id) { words->correct.ids = {id}; },
          "The piece's, or the beginning of it that list shows")
      ->required()
      ->option_text(" ");
  command
      ->add_option(
          "CHANGES", words->correct.changes,
          "operator, job, garment, garment_number, cloth, hoop, machine, station, tolerance_mm, tolerance_deg, "
          "entered_rotation, jog_right_mm or jog_up_mm")
      ->required()
      ->option_text("FIELD=VALUE...");
  add_what_and_who(*command, words);
}

void add_set_aside(CLI::App& records, Chosen& chosen, const Words& words, const char* name, const char* help,
                   const char* change) {
  CLI::App* command = add_one(records, chosen, words, name, help, [change](RecordsWords& w) {
    w.correct.changes = {change};
    return run_records_correct(w.station(), w.correct, std::cout, std::cerr);
  });
  command->add_option("ID", words->correct.ids, "The pieces', or the beginnings that list shows")
      ->required()
      ->option_text("ID...");
  add_what_and_who(*command, words);
}

void add_files(CLI::App& records, Chosen& chosen, const Words& words) {
  CLI::App* command =
      add_one(records, chosen, words, "export", "Write pieces to a file for other programs", [](RecordsWords& w) {
        w.written.filter = filter_from(w.filter, std::time(nullptr));
        return run_records_export(w.station(), w.written, std::cout, std::cerr);
      });
  command->add_option("FILE", words->written.file, "The file to write")->required()->option_text(" ");
  add_filter_options(*command, words->filter, true);
  command
      ->add_option("--format", words->written.json_lines,
                   "csv: a table as pieces count now; jsonl: JSON lines, as they were kept; left out, csv")
      ->transform(
          CLI::CheckedTransformer(std::map<std::string, bool>{{"csv", false}, {"jsonl", true}}, CLI::ignore_case))
      ->option_text("csv|jsonl");
  command->add_flag("--no-names", words->written.no_names,
                    "Operators as Operator 1, Operator 2 ..., and without what people wrote");
  command->add_flag("--replace", words->written.replace, "Replace a file that is there already");
  add_one(records, chosen, words, "import", "Take in pieces from a file that export wrote; known ones stay as they are",
          [](RecordsWords& w) { return run_records_import(w.station(), w.file, std::cout, std::cerr); })
      ->add_option("FILE", words->file, "A table (.csv) or JSON lines")
      ->required()
      ->option_text(" ");
  add_one(records, chosen, words, "columns", "Say what the table's columns mean",
          [](RecordsWords&) { return run_records_columns(std::cout); });
}

void add_names(CLI::App& records, Chosen& chosen, const Words& words) {
  using Kind = Naming::Kind;
  const auto add = [&](const char* name, const char* help, Kind kind) {
    CLI::App* command = add_one(records, chosen, words, name, help, [kind](RecordsWords& w) {
      Naming naming;
      naming.kind = kind;
      naming.name = w.name;
      naming.new_name = w.new_name;
      return run_records_naming(w.station(), naming, std::cout, std::cerr);
    });
    command->add_option("NAME", words->name, "The operator's")->required()->option_text(" ");
    return command;
  };
  add("rename", "Give an operator another name, in the records as well", Kind::rename)
      ->add_option("NEW", words->new_name, "The new name")
      ->required()
      ->option_text(" ");
  add("hide", "Leave an operator out of lists and comparisons; the pieces still count", Kind::hide);
  add("unhide", "List a hidden operator again", Kind::show);
  CLI::App* command = add_one(
      records, chosen, words, "anonymise", "Take an operator's name out of the records for good",
      [](RecordsWords& w) { return run_records_anonymise(w.station(), w.name, w.for_good, std::cout, std::cerr); });
  command->add_option("NAME", words->name, "The operator's")->required()->option_text(" ");
  command->add_flag("--for-good", words->for_good, "It is meant: this cannot be undone");
}

void add_backup(CLI::App& records, Chosen& chosen, const Words& words) {
  add_one(records, chosen, words, "backup",
          "Copy records and files into a folder, such as a stick's, and read them back",
          [](RecordsWords& w) { return run_records_backup(w.station(), w.file, std::cout, std::cerr); })
      ->add_option("FOLDER", words->file, "Of the stick")
      ->required()
      ->option_text(" ");
  add_one(records, chosen, words, "restore", "Bring back what is missing here from a backup; nothing is overwritten",
          [](RecordsWords& w) { return run_records_restore(w.station(), w.file, std::cout, std::cerr); })
      ->add_option("FOLDER", words->file, "A backup's, or the stick's (then its newest)")
      ->required()
      ->option_text(" ");
}

}  // namespace

void add_records_command(CLI::App& program, Chosen& chosen) {
  CLI::App* records =
      program.add_subcommand("records", "List, correct, write out, take in and share the record of pieces");
  records->require_subcommand(1);
  const auto words = std::make_shared<RecordsWords>();
  add_list(*records, chosen, words);
  add_show(*records, chosen, words);
  add_correct(*records, chosen, words);
  add_set_aside(*records, chosen, words, "set-aside", "Let pieces not count: a try, a sample", "set_aside=1");
  add_set_aside(*records, chosen, words, "count-again", "Let pieces count again", "set_aside=0");
  add_files(*records, chosen, words);
  add_names(*records, chosen, words);
  add_backup(*records, chosen, words);
  add_records_share(*records, chosen);
}

}  // namespace app
