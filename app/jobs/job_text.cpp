#include "app/format.h"
#include "app/jobs/job_file.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

std::string named(const char* key, const std::string& value) {
  return value.empty() ? "" : std::string(key) + " = " + calib::toml_text(value) + "\n";
}

std::string numbered(const char* key, double value) {
  return std::string(key) + " = " + calib::toml_number(value) + "\n";
}

std::string pair(double first, double second) {
  return format("[%s, %s]", calib::toml_number(first), calib::toml_number(second));
}

// Tables stand at the end: what follows one belongs to it.
std::string tables_of(const Job& job) {
  std::string out;
  if (!job.place.name.empty()) {
    out += "\n[place]\n" + named("name", job.place.name);
    if (job.place.down_mm) out += numbered("down_mm", *job.place.down_mm);
    if (job.place.across_mm) out += numbered("across_mm", *job.place.across_mm);
  }
  for (const PlacedSticker& one : job.placed_stickers) {
    out += "\n[[sticker]]\nnumber = " + std::to_string(one.number) + "\n";
    out += "at_mm = " + pair(one.at_mm.x, one.at_mm.y) + "  # right of the design's centre, and up\n";
    out += numbered("turn_deg", one.turn_deg);
  }
  return out;
}

}  // namespace

std::string text_of(const Job& job) {
  std::string out = "name = " + calib::toml_text(job.name) + "\n";
  if (job.ticket) out += "ticket = " + std::to_string(*job.ticket) + "\n";
  out += named("garment", job.garment) + named("cloth", job.cloth);
  out += named("stabilizer", job.stabilizer) + named("topping", job.topping) + named("way", job.way);
  out += named("hoop", job.hoop) + named("machine", job.machine);
  if (!job.stickers.empty()) {
    std::string list;
    for (const int number : job.stickers) list += (list.empty() ? "" : ", ") + std::to_string(number);
    out += "stickers = [" + list + "]\n";
  }
  out += numbered("tolerance_mm", job.tolerance.offset_mm) + numbered("tolerance_deg", job.tolerance.rotation_deg);
  if (job.stretch_limit_percent) out += numbered("stretch_limit_percent", *job.stretch_limit_percent);
  if (job.design_mm) out += "design_mm = " + pair(job.design_mm->width, job.design_mm->height) + "  # width, height\n";
  out += named("design_file", job.design_file);
  if (job.pieces > 0) out += "pieces = " + std::to_string(job.pieces) + "\n";
  return out + named("note", job.note) + tables_of(job);
}

}  // namespace app
