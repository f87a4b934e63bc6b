#include "app/commands/print_template.h"

#include <ostream>

#include "app/commands/refused_or_done.h"
#include "app/format.h"
#include "app/in_quotes.h"
#include "app/jobs/job_store.h"
#include "app/names.h"
#include "app/sheets/sheet_bytes.h"
#include "app/sheets/sheet_error.h"
#include "app/sheets/template_sheets.h"
#include "app/sheets/typeface.h"
#include "app/units.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

std::vector<TemplateSticker> stickers_of(const Job& job) {
  std::vector<TemplateSticker> all;
  for (const PlacedSticker& one : job.placed_stickers)
    all.push_back({{one.at_mm, one.turn_deg * vision::kRadPerDeg}, one.number});
  if (all.empty()) {
    const bool known = job.stickers.size() == 1;
    all.push_back({{}, known ? std::optional(job.stickers.front()) : std::nullopt});
  }
  return all;
}

TemplateSheet sheet_of_job(const std::string& name, const fs::path& station_file) {
  const fs::path folder = job_folder(station_file);
  const std::optional<StoredJob> stored = JobStore(folder).find(name);
  if (!stored) throw calib::FileError(folder.string() + ": there is no job " + in_quotes(name));
  const std::optional<Design> design = design_of(stored->job, stored->file.parent_path());
  if (!design)
    throw calib::FileError(stored->file.string() +
                           ": says no design; write design_file = \"drawing.svg\" or design_mm = [80.0, 60.0]");
  return {stored->job.name, *design, stickers_of(stored->job)};
}

// What a person should know of a drawing before trusting its template.
std::vector<std::string> notes_on(const Drawing& drawing) {
  std::vector<std::string> notes;
  if (drawing.reaches_edge)
    notes.push_back("the drawing reaches the edge of its page; what lies beyond it is left out");
  if (drawing.scale != DrawingScale::physical && drawing.resized == 1.0)
    notes.push_back(
        format("the drawing says its size in pixels, 96 to an inch, which gives %.1f x %.1f mm; if that is wrong, give "
               "its true "
               "width: --width MM",
               drawing.design.size_mm.width, drawing.design.size_mm.height));
  return notes;
}

struct Made {
  TemplateSheet sheet;
  std::vector<std::string> notes;
};

Made made(const TemplateOptions& options) {
  if (options.drawing.has_value() == options.job.has_value())
    throw SheetError("name an SVG drawing, or a job with --job NAME");
  if (options.job) {
    if (options.size) throw SheetError("--width and --height are for a drawing; a job says design_mm");
    return {sheet_of_job(*options.job, options.station_file), {}};
  }
  const Drawing drawing = read_drawing(*options.drawing, options.size);
  return {{options.drawing->filename().string(), drawing.design, {TemplateSticker{}}}, notes_on(drawing)};
}

void write(const TemplateOptions& options, std::ostream& out) {
  if (options.size && !(options.size->width_mm >= kSmallestDesign_mm && options.size->width_mm <= kLargestDesign_mm))
    throw SheetError("--width is the design's true width, 1 to 1000 mm");
  const Made one = made(options);
  if (const std::string missing = Typeface(Weight::bold).first_missing(one.sheet.name); !missing.empty())
    throw SheetError("the name " + in_quotes(one.sheet.name) + " holds " + missing +
                     ", which the typeface does not have; write it without");
  const fs::path file = options.out_file.value_or("template-" + file_stem(one.sheet.name, "design") +
                                                  (options.paper == Paper::a4 ? "-a4.pdf" : "-letter.pdf"));
  std::error_code ignored;
  if (fs::exists(file, ignored) && !options.replace)
    throw SheetError(file.string() + ": is there already; name another file with --out, or add --replace");
  if (file.extension() != ".pdf") throw SheetError(file.string() + ": end the file's name with .pdf");
  const Document document = template_sheets(options.paper, one.sheet);
  calib::write_atomically(file, pdf_bytes(document));
  const cv::Size2d size = one.sheet.design.size_mm;
  out << file.string() << ": "
      << format(
             "%.1f x %.1f mm (%.2f x %.2f in), %zu %s %s; print at 100 %%, not \"fit to page\", then lay a ruler on "
             "the 100 mm bar",
             size.width, size.height, size.width / kMmPerInch, size.height / kMmPerInch, document.pages.size(),
             document.pages.size() == 1 ? "page" : "pages", paper_name(options.paper))
      << '\n';
  for (const std::string& note : one.notes) out << note << '\n';
}

}  // namespace

int run_print_template(const TemplateOptions& options, std::ostream& out, std::ostream& err) {
  return refused_or_done(err, [&] { write(options, out); });
}

}  // namespace app
