#include "app/jobs/job_file.h"

#include "app/format.h"
#include "app/names.h"
#include "app/sheets/number_list.h"
#include "app/units.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr std::size_t kLongestNote = 200;  // bytes
constexpr std::size_t kLongestPath = 1000;

std::string name_in(const calib::Section& in, std::string_view key, std::string_view example,
                    std::string_view when_empty) {
  const std::string name = tidy_name(in.text(key, example));
  if (const std::string fault = fault_of_name(name, when_empty); !fault.empty()) in.fail_at(in.line_of(key), fault);
  return name;
}

// A name that may be left out, but not be empty.
std::string some_name(const calib::Section& in, const std::string& key, const std::string& example) {
  if (!in.has(key)) return "";
  return name_in(in, key, key + " = \"" + example + "\"",
                 format("'%s' is empty; write %s = \"%s\", or leave the line out", key, key, example));
}

std::string line_in(const calib::Section& in, const std::string& key, const std::string& example, std::size_t longest) {
  if (!in.has(key)) return "";
  const std::string line = in.text(key, key + " = \"" + example + "\"");
  if (const std::string fault = fault_of_line(line, key, longest); !fault.empty()) in.fail_at(in.line_of(key), fault);
  return line;
}

// In mm or in inches, not in both.
std::optional<double> length_in(const calib::Section& in, const std::string& what, calib::Range range_mm) {
  const std::string mm = what + "_mm", inch = what + "_in";
  if (in.has(mm) && in.has(inch))
    in.fail_at(in.line_of(inch), format("both '%s' and '%s' are there; leave one of them out", mm, inch));
  if (in.has(mm)) return in.number(mm, range_mm, mm + " = 200.0");
  if (!in.has(inch)) return std::nullopt;
  return kMmPerInch * in.number(inch, {range_mm.low / kMmPerInch, range_mm.high / kMmPerInch}, inch + " = 8.0");
}

GarmentPlace place_in(const calib::Section& in) {
  in.allow_only({"name", "down_mm", "down_in", "across_mm", "across_in"});
  GarmentPlace place;
  place.name = name_in(in, "name", "name = \"left chest\"", "a place needs a name; write what it is called");
  place.down_mm = length_in(in, "down", job_limits::kDown_mm);
  place.across_mm = length_in(in, "across", job_limits::kAcross_mm);
  return place;
}

std::vector<PlacedSticker> placed_in(const calib::Section& in) {
  std::vector<PlacedSticker> all;
  for (const calib::Section& section : in.tables("sticker")) {
    section.allow_only({"number", "at_mm", "turn_deg"});
    if (all.empty() && in.has("stickers"))
      section.fail(
          "both 'stickers' and [[sticker]] are there; leave 'stickers' out: those of [[sticker]] lie on every "
          "piece");
    PlacedSticker one;
    one.number = section.integer("number", kStickerNumbers.first, kStickerNumbers.last, "number = 14");
    for (const PlacedSticker& other : all)
      if (other.number == one.number)
        section.fail_at(section.line_of("number"), "sticker " + std::to_string(one.number) +
                                                       " is there twice; give each [[sticker]] a number of its own");
    const auto at = section.numbers("at_mm", 2, job_limits::kStickerAt_mm, "at_mm = [-50.0, 0.0]");
    one.at_mm = {at[0], at[1]};
    if (section.has("turn_deg"))
      one.turn_deg = section.number("turn_deg", job_limits::kStickerTurn_deg, "turn_deg = 90.0");
    all.push_back(one);
  }
  return all;
}

void take_aims(const calib::Section& in, Job& job) {
  if (in.has("tolerance_mm"))
    job.tolerance.offset_mm = in.number("tolerance_mm", job_limits::kTolerance_mm, "tolerance_mm = 3.0");
  if (in.has("tolerance_deg"))
    job.tolerance.rotation_deg = in.number("tolerance_deg", job_limits::kTolerance_deg, "tolerance_deg = 1.0");
  if (in.has("stretch_limit_percent"))
    job.stretch_limit_percent =
        in.number("stretch_limit_percent", job_limits::kStretch_percent, "stretch_limit_percent = 1.0");
  if (in.has("design_mm")) {
    const auto sides = in.numbers("design_mm", 2, job_limits::kDesignSide_mm, "design_mm = [80.0, 60.0]");
    job.design_mm = cv::Size2d(sides[0], sides[1]);
  }
  if (in.has("pieces")) job.pieces = in.integer("pieces", 0, job_limits::kMostPieces, "pieces = 40");
}

}  // namespace

Job job_from_text(std::string_view text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section in(file, table, "a job file");
  in.allow_only({"name", "ticket", "garment", "cloth", "stabilizer", "topping", "way", "place", "hoop", "machine",
                 "stickers", "sticker", "tolerance_mm", "tolerance_deg", "stretch_limit_percent", "design_mm",
                 "design_file", "pieces", "note"});
  Job job;
  job.name = name_in(in, "name", "name = \"Polo, left chest\"", "a job needs a name; write what it is called");
  if (in.has("ticket")) job.ticket = in.integer("ticket", kCardNumbers.first, kCardNumbers.last, "ticket = 500");
  job.garment = some_name(in, "garment", "polo, adult");
  job.cloth = some_name(in, "cloth", "knit");
  job.stabilizer = some_name(in, "stabilizer", "cut-away");
  job.topping = some_name(in, "topping", "none");
  job.way = some_name(in, "way", "framed");
  if (in.has("hoop"))
    job.hoop = name_in(in, "hoop", "hoop = \"130 x 180\"",
                       "'hoop' is empty; write the name of a taught hoop, or leave the line out for any");
  job.machine = some_name(in, "machine", "Machine 1");
  if (in.has("stickers"))
    job.stickers = in.integers("stickers", kStickerNumbers.first, kStickerNumbers.last, "stickers = [1, 2, 3]");
  take_aims(in, job);
  job.design_file = line_in(in, "design_file", "leaf.svg", kLongestPath);
  job.note = line_in(in, "note", "Thin cloth: two layers of backing", kLongestNote);
  if (in.has("place")) job.place = place_in(in.table("place", "[place]"));
  job.placed_stickers = placed_in(in);
  return job;
}

}  // namespace app
