#include "app/views/records/piece_words.h"

#include <array>
#include <cmath>

#include "app/format.h"
#include "app/records/utc_time.h"
#include "app/screen/symbols.h"
#include "app/units.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

std::string time_words(const PieceRow& row, std::time_t now) { return local_time(utc_text(row.time_s), now); }

std::string joined(std::initializer_list<std::string> parts) {
  std::string out;
  for (const std::string& part : parts)
    if (!part.empty()) out += (out.empty() ? "" : " · ") + part;
  return out;
}

std::string signed_length(double mm, Units units) {
  const std::string text = length_text(std::abs(mm), LengthKind::guide, units);
  return (mm < 0.0 ? "−" : "+") + text;
}

std::string phases(const HoopedPiece& piece) {
  static constexpr const char* kNames[kPhaseCount] = {noop("hoop %s"), noop("cloth %s"), noop("press %s"),
                                                      noop("enter %s"), noop("lift %s")};
  std::string out;
  for (std::size_t i = 0; i < kPhaseCount; ++i)
    out += (out.empty() ? "" : ", ") + format(tr(kNames[i]), number(piece.phase_s[i], 0));
  return out;
}

double total_s(const HoopedPiece& piece) {
  double out = 0.0;
  for (const double phase : piece.phase_s) out += phase;
  return out;
}

const char* outcome_words(Outcome outcome) {
  return outcome == Outcome::good ? tr("good") : outcome == Outcome::mend ? tr("to mend") : tr("rejected");
}

Fact inspection_fact(const Inspection& inspection, Units units) {
  Fact fact{tr("Inspected"), outcome_words(inspection.outcome), ""};
  if (std::isfinite(inspection.offset_x_mm) && std::isfinite(inspection.offset_y_mm))
    fact.value = joined({fact.value, offset_words(inspection.offset_x_mm, inspection.offset_y_mm, units)});
  return fact;
}

void add(std::vector<Fact>& facts, const char* caption, std::string value, std::string detail = {}) {
  if (!value.empty()) facts.push_back({caption, std::move(value), std::move(detail)});
}

void add_entered(std::vector<Fact>& facts, const EnteredRecord& entered, Units units) {
  if (std::isfinite(entered.rotation)) add(facts, tr("Entered"), number(entered.rotation, 1) + "°");
  if (std::isfinite(entered.jog_right_mm) && std::isfinite(entered.jog_up_mm))
    add(facts, tr("Jogged"),
        format(tr("%s right, %s up"), signed_length(entered.jog_right_mm, units),
               signed_length(entered.jog_up_mm, units)));
  if (std::isfinite(entered.left_over_mm))
    add(facts, tr("Left over"), length_text(entered.left_over_mm, LengthKind::guide, units));
  if (std::isfinite(entered.fit_gap_mm))
    add(facts, tr("Room left"), length_text(entered.fit_gap_mm, LengthKind::guide, units));
}

}  // namespace

const char* row_verdict(const PieceRow& row) {
  if (row.set_aside) return tr("not counted");
  return placed(row).within() ? tr("within") : tr("outside");
}

void draw_piece_line(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const PieceRow& row,
                     const std::vector<std::string>& names, Units units) {
  const bool within = placed(row).within();
  const float sign = scale.mm(2.3), pad = scale.mm(2.0), middle = area.y + area.h / 2.0F;
  const SDL_FPoint at{area.x + pad + sign, middle};
  if (row.set_aside)
    canvas.circle(at, sign, scale.mm(0.5), theme::kTextQuiet);
  else if (within)
    draw_tick(canvas, at, sign, theme::kWithin, theme::kPanelRaised);
  else
    draw_notice_sign(canvas, at, sign, theme::kTrouble, theme::kPanelRaised);
  const float left = area.x + 2.0F * pad + 2.0F * sign, right = area.x + area.w - pad;
  const TextStyle bold{Weight::bold, scale.text_mm(2.6)}, small{Weight::regular, scale.text_mm(2.3)};
  const char* word = row_verdict(row);
  text.draw_right(bold, {right, middle - scale.mm(0.9)}, word,
                  row.set_aside ? theme::kTextQuiet
                  : within      ? theme::kWithin
                                : theme::kTrouble);
  const std::string placement = offset_words(row.offset_x_mm, row.offset_y_mm, units);
  const float room = right - left - text.width(bold, word) - pad;
  text.draw(text.fitted(bold, placement, room), {left, middle - scale.mm(0.9)}, placement, theme::kText);
  std::string about = joined({turn_words(row.rotation_deg), time_words(row, std::time(nullptr))});
  // The last of them only where there is room.
  for (const std::string& part : {names.at(row.hoop), names.at(row.job)}) {
    const std::string longer = joined({about, part});
    if (0.7F * text.width(small, longer) < right - left) about = longer;
  }
  text.draw(text.fitted(small, about, right - left), {left, middle + scale.mm(3.6)}, about, theme::kTextQuiet);
}

std::vector<Fact> piece_facts(const OpenedPiece& piece, const std::vector<std::string>& names, bool named, Units units,
                              std::time_t now) {
  const PieceRow& row = piece.row;
  const PieceRecord& record = piece.record;
  const HoopedPiece& hooped = record.piece;
  const auto fine = [units](double mm) { return length_text(mm, LengthKind::fine, units); };
  const auto name = [&names](NameIndex index) { return names.at(index); };
  std::vector<Fact> facts;
  add(facts, tr("Lifted"), time_words(row, now));
  if (named) add(facts, tr("Operator"), row.operator_name == 0 ? std::string(tr("nobody")) : name(row.operator_name));
  add(facts, tr("Placed"), offset_words(row.offset_x_mm, row.offset_y_mm, units));
  add(facts, tr("Turned"), turn_words(row.rotation_deg));
  add(facts, tr("Read to"), format("%s, %s°", fine(row.u_offset_mm), number(row.u_rotation_deg, 2)));
  add(facts, tr("Tolerance"),
      format("%s, %s°", length_text(row.tolerance_mm, LengthKind::guide, units), number(row.tolerance_deg, 1)));
  std::string job = name(row.job);
  if (!job.empty() && row.garment_number > 0) job = joined({job, format(tr("no. %d"), row.garment_number)});
  add(facts, tr("Job"), job.empty() ? std::string(tr("none")) : job);
  add(facts, tr("Cloth"), joined({name(row.garment), name(row.cloth)}));
  add(facts, tr("Hoop"), name(row.hoop));
  add(facts, tr("Machine"), name(row.machine));
  add(facts, tr("Station"), name(row.station));
  add(facts, tr("Sticker"), joined({std::to_string(hooped.sticker), record.live ? "" : record.source}));
  add(facts, tr("Tries"), format(tr("%d; taken %s"), row.tries, hooped.taken ? tr("by hand") : tr("by itself")));
  add(facts, tr("Time"), format(tr("%s s"), number(total_s(hooped), 0)), phases(hooped));
  add_entered(facts, record.entered, units);
  if (std::isfinite(row.stretch_percent)) add(facts, tr("Stretched"), format("%s %%", number(row.stretch_percent, 1)));
  add(facts, tr("The board"), record.board);
  if (piece.inspection) facts.push_back(inspection_fact(*piece.inspection, units));
  return facts;
}

}  // namespace app
