#include "app/sheets/job_ticket_text.h"

#include <cmath>

#include "app/format.h"
#include "app/guides/cautions.h"
#include "app/jobs/preparation.h"
#include "app/names.h"
#include "app/sheets/number_list.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

std::string both(double mm) {
  return format("%s (%s)", length_text(mm, LengthKind::field, Units::mm),
                length_text(mm, LengthKind::field, Units::inch));
}

std::string both(cv::Size2d size_mm) {
  return format("%s (%s)", size_text(size_mm.width, size_mm.height, Units::mm),
                size_text(size_mm.width, size_mm.height, Units::inch));
}

std::string prepared_words(const Prepared& one) {
  if (one.value.empty()) return "to be chosen";
  std::string out = one.value;
  if (!one.note.empty()) out += "; " + one.note;
  if (!one.source.empty()) out += " (" + one.source + ")";
  return out;
}

std::string hoop_words(const Job& job, const JobSurroundings& around) {
  if (job.hoop.empty()) return "any that holds the design";
  for (const vision::Hoop& hoop : around.hoops)
    if (same_name(hoop.name, job.hoop))
      return hoop.name + (hoop.field_is_round ? ", field " + both(hoop.field_mm.width) + " across"
                                              : ", field " + both(hoop.field_mm));
  return job.hoop + ", not taught yet";
}

std::string sticker_words(const Job& job) {
  if (!job.placed_stickers.empty()) {
    std::string out = "on every piece:";
    for (const PlacedSticker& one : job.placed_stickers)
      out += format(" %d at %s %s, %s %s%s;", one.number, both(std::abs(one.at_mm.x)),
                    std::string(one.at_mm.x < 0.0 ? "left" : "right"), both(std::abs(one.at_mm.y)),
                    std::string(one.at_mm.y < 0.0 ? "down" : "up"),
                    one.turn_deg == 0.0 ? std::string() : format(", turned %.1f° counter-clockwise", one.turn_deg));
    out.back() = '.';
    return out;
  }
  return job.stickers.empty() ? "any, its cross on the design's centre" : number_text(job.stickers);
}

void add_facts(const JobTicket& ticket, const Preparation& made, JobTicketText& out) {
  const Job& job = ticket.job;
  const auto fact = [&](const char* caption, const std::string& value) {
    if (!value.empty()) out.facts.emplace_back(caption, value);
  };
  fact("Garment", job.garment);
  fact("Cloth", job.cloth);
  fact("Place", job.place.name);
  if (ticket.design) fact("Design", both(ticket.design->size_mm));
  fact("Drawing", job.design_file);
  fact("Hoop", hoop_words(job, ticket.surroundings));
  fact("Hooping", prepared_words(made.way));
  fact("Stabilizer", prepared_words(made.stabilizer));
  fact("Topping", prepared_words(made.topping));
  fact("Machine", job.machine);
  fact("Stickers", sticker_words(job));
  fact("Tolerance", format("%s, %.1f°", both(job.tolerance.offset_mm), job.tolerance.rotation_deg));
  if (made.stretch_limit_percent)
    fact("Stretch", format("up to %.1f %% between two stickers%s", *made.stretch_limit_percent,
                           made.stretch_source.empty() ? std::string() : " (" + made.stretch_source + ")"));
  if (job.pieces > 0) fact("Pieces", std::to_string(job.pieces));
  fact("Note", job.note);
}

// Common practice goes without saying on the sheet's heads; all else is said.
std::vector<std::string> step_words(const std::vector<GuideStep>& steps) {
  std::vector<std::string> out;
  for (const GuideStep& one : steps)
    out.push_back(one.source == kCommonPractice ? one.text : one.text + " (" + one.source + ")");
  return out;
}

std::string label(const std::optional<double>& said, const std::optional<LengthRange>& usual,
                  const std::string& source) {
  if (said) return both(*said);
  return usual ? format("%s, %s", range_text(*usual, Units::mm), source) : "";
}

void add_drawing(const JobTicket& ticket, JobTicketText& out) {
  const std::optional<cv::Size2d> size = ticket.design ? std::optional(ticket.design->size_mm) : std::nullopt;
  out.drawing = garment_drawing(ticket.job, ticket.surroundings.places, size);
  if (ticket.design) out.hull_mm = ticket.design->hull_mm;
  const Place* place = ticket.surroundings.places.find(ticket.job.garment, ticket.job.place.name);
  if (!out.drawing || place == nullptr) return;
  if (out.drawing->down) out.down_label = label(out.drawing->down->said_mm, place->down_mm, place->source);
  if (out.drawing->across) out.across_label = label(out.drawing->across->said_mm, place->across_mm, place->source);
}

}  // namespace

JobTicketText job_ticket_text(const JobTicket& ticket) {
  const InEnglish english;
  const Job& job = ticket.job;
  const ClothGuide& cloths = ticket.surroundings.cloths;
  const Preparation made = preparation(job, cloths);
  JobTicketText out;
  out.name = job.name;
  out.tag = job.ticket;
  add_facts(ticket, made, out);
  const std::optional<cv::Size2d> size = ticket.design ? std::optional(ticket.design->size_mm) : std::nullopt;
  out.place = place_sentences(job, ticket.surroundings.places, size, Units::mm);
  if (!out.place.empty())
    out.place.emplace_back("Lay the sticker's cross on the design's centre, its arrow to the design's top.");
  out.warnings = job_advice(job, ticket.design, ticket.surroundings, Units::mm).warnings;
  out.hooping = step_words(cloths.hooping(made.way.value));
  out.machine = {"Topping on, where there is one; nothing else lies on the cloth.",
                 "No second layer, sleeve or back under the hoop.", "Rotation and jog entered as the screen says.",
                 "The whole design traced, well inside the ring.", "Basting box stitched first."};
  if (made.topping.value.empty() || same_name(made.topping.value, kNoTopping)) out.machine.erase(out.machine.begin());
  out.finishing = step_words(cloths.finishing(made.stabilizer.value, made.topping.value));
  for (const char* one : kCautions) out.cautions.emplace_back(one);
  add_drawing(ticket, out);
  return out;
}

}  // namespace app
