#include "app/commands/report.h"

#include <SQLiteCpp/SQLiteCpp.h>

#include <ctime>
#include <ostream>

#include "app/commands/own_name.h"
#include "app/format.h"
#include "app/in_quotes.h"
#include "app/proof/last_proof.h"
#include "app/records/piece_log.h"
#include "app/report/clean_text.h"
#include "app/report/write_report.h"
#include "app/sheets/sheet_error.h"
#include "app/words/words.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kNothing = 1, kRefused = 2;

ReportProof proof_of(const fs::path& station_file, std::int64_t now_s) {
  try {
    const LastProof proof = latest_proof(station_file, calib::load_station(station_file), now_s);
    ReportProof out;
    out.line = proof.line;
    if (proof.state == LastProof::State::holds) out.doubt = doubt_of_proof(proof.file);
    return out;
  } catch (const calib::FileError&) {
    return {std::nullopt, "There is no station file here, and so no proof."};  // records alone, of other stations
  }
}

std::string whose(const ReportOptions& options) {
  if (options.shop) return "The shop";
  if (options.no_names) return "One operator";
  return options.filter.operator_name->empty() ? "Pieces without an operator" : *options.filter.operator_name;
}

std::vector<std::string> scope_of(const ReportOptions& options, const ReportFigures& figures) {
  const std::string first = day_text(figures.first_s), last = day_text(figures.last_s);
  std::vector<std::string> lines{
      format(first == last ? "%s of %s" : "%s, %s to %s", counted(figures.pieces, "piece", "pieces"), first, last)};
  const PieceFilter& filter = options.filter;
  std::string only;
  const auto add = [&](const std::string& what) { only += format(only.empty() ? "Only %s" : ", %s", what); };
  const std::pair<const char*, const std::optional<std::string>*> names[] = {
      {"job", &filter.job},   {"garment", &filter.garment}, {"cloth", &filter.cloth},
      {"hoop", &filter.hoop}, {"station", &filter.station}, {"machine", &filter.machine}};
  for (const auto& [what, name] : names)
    if (*name) add(format("%s %s", what, (*name)->empty() ? std::string("not said") : in_quotes(**name)));
  if (!only.empty()) lines.push_back(only);
  if (options.no_names) lines.emplace_back("The names of people are left out.");
  return lines;
}

// "report-shop-2026-01-01-to-2026-01-31": names of people stand in no file's name.
std::string file_stem_of(const ReportOptions& options, const ReportFigures& figures) {
  return std::string("report-") + (options.shop ? "shop-" : "operator-") + day_text(figures.first_s) + "-to-" +
         day_text(figures.last_s);
}

// A file that gets its name by itself takes no other's place: that may be another person's report.
std::optional<fs::path> file_of(const std::optional<fs::path>& named, bool wanted, const std::string& stem,
                                const char* extension) {
  if (!named && !wanted) return std::nullopt;
  if (!named) {
    fs::path file = stem + extension;
    for (int number = 2; fs::exists(file); ++number) file = stem + '-' + std::to_string(number) + extension;
    return file;
  }
  if (named->extension() != extension)
    throw calib::FileError(named->string() + ": end the file's name with " + extension);
  return named;
}

void write(const fs::path& file, const std::string& bytes, std::ostream& out) {
  calib::write_atomically(file, bytes);
  out << file.string() << ": written\n";
}

int nothing(const ReportOptions& options, const fs::path& log, std::ostream& err) {
  err << "hoopgauge: there is no piece to report of in " << log.string();
  if (options.filter != PieceFilter{}) err << " for what was asked; see hoopgauge records list";
  err << '\n';
  return kNothing;
}

int report(const ReportOptions& options, std::ostream& out, std::ostream& err) {
  const fs::path log = log_file(options.station_file);
  PieceRows rows(log, options.no_names ? std::nullopt : options.filter.since_s);
  rows.refresh();
  const std::vector<PieceRow> chosen = rows.select(options.filter);
  if (chosen.empty()) return nothing(options, log, err);

  ReportInput input;
  input.rows = chosen;
  input.names = &rows.names();
  for (NameIndex name = 0; name < rows.names().size(); ++name) input.hidden.push_back(rows.hidden(name));
  if (options.no_names) input.numbers = operator_numbers(rows.all(), rows.names().size());
  input.proof = proof_of(options.station_file, options.now_s);
  input.proved_station = own_name(options.station_file);
  input.costs = options.costs;
  const ReportFigures figures = report_figures(input);
  if (figures.whole.count == 0) {
    err << format("hoopgauge: %s found, and none with an offset and a tolerance to report of\n",
                  counted(figures.pieces, "piece was", "pieces were"));
    return kNothing;
  }
  const std::string stem = file_stem_of(options, figures);
  const auto pdf = file_of(options.pdf_file, options.pdf, stem, ".pdf");
  const auto html = file_of(options.html_file, options.html, stem, ".html");

  ReportText text;
  text.title = "How accurately the pieces are hooped: " + whose(options);
  text.scope = scope_of(options, figures);
  text.made = "Made by hoopgauge " HOOPGAUGE_VERSION " on " + day_text(options.now_s) + " from the station's records";
  text.one_person = !options.shop;
  text.hints = hints(chosen, rows.names());
  const Units units = options.units ? *options.units : load_settings(settings_file(options.station_file)).units;
  const ReportContent content = report_content(input, figures, text, ReportWords(units));
  // Both are made before either is written.
  const std::string page = html ? report_html(content) : std::string();
  if (pdf) write(*pdf, report_pdf(content, options.paper), out);
  if (html) write(*html, page, out);
  return 0;
}

void check(const ReportOptions& options) {
  if (options.shop == options.filter.operator_name.has_value())
    throw calib::FileError("say whose report it is: --operator NAME, or --shop for everybody");
  if (!options.pdf && !options.html && !options.pdf_file && !options.html_file)
    throw calib::FileError("say what to write: --pdf, --html, or both, with a file's name or without");
}

}  // namespace

int run_report(const ReportOptions& options, std::ostream& out, std::ostream& err) {
  const InEnglish report_language;
  try {
    check(options);
    return report(options, out, err);
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const SheetError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const SQLite::Exception& error) {
    err << "hoopgauge: " << log_file(options.station_file).string() << ": the records cannot be read (" << error.what()
        << "); see hoopgauge records\n";
  }
  return kRefused;
}

}  // namespace app
