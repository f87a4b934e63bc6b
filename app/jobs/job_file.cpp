#include "app/jobs/job_file.h"

#include "app/names.h"
#include "app/sheets/number_list.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr std::size_t kLongestNote = 200;            // bytes
constexpr calib::Range kTolerance_mm{0.1, 20.0};     // below is finer than any reading, above is no aim
constexpr calib::Range kTolerance_deg{0.1, 20.0};    // likewise
constexpr calib::Range kDesignSide_mm{1.0, 1000.0};  // a letter, and more than any field
constexpr int kMostPieces = 100000;

std::string name_in(const calib::Section& in, std::string_view key, std::string_view example,
                    std::string_view when_empty) {
  const std::string name = tidy_name(in.text(key, example));
  if (const std::string fault = fault_of_name(name, when_empty); !fault.empty()) in.fail_at(in.line_of(key), fault);
  return name;
}

std::string note_in(const calib::Section& in) {
  const std::string note = in.text("note", "note = \"Thin cloth: two layers of backing\"");
  if (const std::string fault = fault_of_line(note, "note", kLongestNote); !fault.empty())
    in.fail_at(in.line_of("note"), fault);
  return note;
}

}  // namespace

Job job_from_text(std::string_view text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section in(file, table, "a job file");
  in.allow_only({"name", "ticket", "hoop", "stickers", "tolerance_mm", "tolerance_deg", "design_mm", "pieces", "note"});
  Job job;
  job.name = name_in(in, "name", "name = \"Polo, left chest\"", "a job needs a name; write what it is called");
  if (in.has("ticket")) job.ticket = in.integer("ticket", kCardNumbers.first, kCardNumbers.last, "ticket = 500");
  if (in.has("hoop"))
    job.hoop = name_in(in, "hoop", "hoop = \"130 x 180\"",
                       "'hoop' is empty; write the name of a taught hoop, or leave the line out for any");
  if (in.has("stickers"))
    job.stickers = in.integers("stickers", kStickerNumbers.first, kStickerNumbers.last, "stickers = [1, 2, 3]");
  if (in.has("tolerance_mm")) job.tolerance.offset_mm = in.number("tolerance_mm", kTolerance_mm, "tolerance_mm = 3.0");
  if (in.has("tolerance_deg"))
    job.tolerance.rotation_deg = in.number("tolerance_deg", kTolerance_deg, "tolerance_deg = 1.0");
  if (in.has("design_mm")) {
    const auto sides = in.numbers("design_mm", 2, kDesignSide_mm, "design_mm = [80.0, 60.0]");
    job.design_mm = cv::Size2d(sides[0], sides[1]);
  }
  if (in.has("pieces")) job.pieces = in.integer("pieces", 0, kMostPieces, "pieces = 40");
  if (in.has("note")) job.note = note_in(in);
  return job;
}

std::string text_of(const Job& job) {
  std::string out = "name = " + calib::toml_text(job.name) + "\n";
  if (job.ticket) out += "ticket = " + std::to_string(*job.ticket) + "\n";
  if (!job.hoop.empty()) out += "hoop = " + calib::toml_text(job.hoop) + "\n";
  if (!job.stickers.empty()) {
    std::string list;
    for (const int number : job.stickers) list += (list.empty() ? "" : ", ") + std::to_string(number);
    out += "stickers = [" + list + "]\n";
  }
  out += "tolerance_mm = " + calib::toml_number(job.tolerance.offset_mm) + "\n";
  out += "tolerance_deg = " + calib::toml_number(job.tolerance.rotation_deg) + "\n";
  if (job.design_mm)
    out += "design_mm = [" + calib::toml_number(job.design_mm->width) + ", " +
           calib::toml_number(job.design_mm->height) + "]  # width, height\n";
  if (job.pieces > 0) out += "pieces = " + std::to_string(job.pieces) + "\n";
  if (!job.note.empty()) out += "note = " + calib::toml_text(job.note) + "\n";
  return out;
}

}  // namespace app
