// The pages of the records view, drawn.
#include <algorithm>

#include "app/format.h"
#include "app/hints/hint_words.h"
#include "app/screen/text_block.h"
#include "app/views/records/dart_board.h"
#include "app/views/records/facts.h"
#include "app/views/records/piece_words.h"
#include "app/views/records/records_view.h"
#include "app/views/records/records_words.h"
#include "app/views/records/trend_drawing.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kGap_mm = 2.5, kPad_mm = 3.0;
constexpr double kTabs_mm = 26.0;  // the column's width
constexpr double kPieceLine_mm = 15.0;
constexpr double kLegend_mm = 11.5, kWideLegend_mm = 8.0;
constexpr double kCard_mm = 24.0;  // at most
constexpr int kPieceFactColumns = 2;

// Takes so much from the left of the area (from its top where it is higher than wide), and a gap.
SDL_FRect taken(SDL_FRect& area, float size, float gap, bool landscape) {
  SDL_FRect out = area;
  if (landscape) {
    out.w = size;
    area.x += size + gap;
    area.w -= size + gap;
  } else {
    out.h = size;
    area.y += size + gap;
    area.h -= size + gap;
  }
  return out;
}

SDL_FRect inset(const SDL_FRect& area, float by) {
  return {area.x + by, area.y + by, area.w - 2.0F * by, area.h - 2.0F * by};
}

}  // namespace

std::vector<Button> RecordsView::draw_page(Sheet& sheet, const SDL_FRect& whole) {
  const Scale& scale = sheet.layout.scale;
  const float gap = scale.mm(kGap_mm);
  SDL_FRect area = whole;
  std::vector<Button> all;
  if (subs_.empty()) {
    all = tabs();
    const SDL_FRect strip = taken(area, scale.mm(landscape_ ? kTabs_mm : kTouch_mm), gap, landscape_);
    landscape_ ? place_in_column(all, strip, scale.mm(kTouch_mm), gap) : place_in_row(all, strip, gap);
  }
  const auto add = [&all](std::vector<Button> more) { all.insert(all.end(), more.begin(), more.end()); };
  const auto top_page = top();
  if (top_page == Sub::about) {
    draw_about(sheet, area);
    add(list_.placed({}, area, scale, {}));
    return all;
  }
  if (top_page && top_page != Sub::evidence && top_page != Sub::piece) {
    add(list_.placed(choices(sheet.desk), area, scale, {.columns = landscape_ ? 2 : 1}));
    return all;
  }
  const bool fault = seen_ && !seen_->fault.empty();
  if (top_page == Sub::evidence) {
    add(draw_evidence(sheet, area));
  } else if (!answered() || fault) {
    draw_nothing(sheet.canvas, sheet.text, sheet.layout, area,
                 fault
                     ? format(tr("The records cannot be read just now: %s. It is tried again and again."), seen_->fault)
                     : std::string(tr("Reading the records ...")));
    if (fault) add(list_.placed({}, area, scale, {}));  // otherwise the list stays where it is, for the way back
  } else if (top_page == Sub::piece) {
    add(draw_piece(sheet, area));
  } else if (page_ == RecordsPage::hints) {
    add(draw_hints(sheet, area));
  } else if (seen_->count == 0) {
    draw_nothing(sheet.canvas, sheet.text, sheet.layout, area,
                 tr("No piece was recorded yet. A piece is written down when its hoop is lifted off the board."));
    add(list_.placed({}, area, scale, {}));
  } else if (page_ == RecordsPage::board) {
    add(draw_board(sheet, area));
  } else if (page_ == RecordsPage::weeks) {
    add(draw_weeks(sheet, area));
  } else {
    const std::vector<PieceRow> newest_first(seen_->pieces.rbegin(), seen_->pieces.rend());
    add(draw_list(sheet, area, newest_first, landscape_ ? 2 : 1));
  }
  return all;
}

std::vector<Button> RecordsView::draw_board(Sheet& sheet, const SDL_FRect& whole) {
  const Scale& scale = sheet.layout.scale;
  const Units units = sheet.desk.settings().units;
  SDL_FRect area = whole;
  const float side = landscape_ ? std::min(area.h, 0.55F * area.w) : std::min(area.w, 0.5F * area.h);
  const SDL_FRect board = taken(area, side, scale.mm(kGap_mm), landscape_);
  draw_dart_board(sheet.canvas, sheet.text, scale, board, seen_->pieces, &seen_->figures, units);
  sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const SDL_FRect inner = inset(area, scale.mm(kPad_mm));
  const float legend = scale.mm(landscape_ ? kLegend_mm : kWideLegend_mm);
  draw_facts(sheet.text, scale, {inner.x, inner.y, inner.w, inner.h - legend - scale.mm(1.0)},
             board_facts(*seen_, units));
  std::string words = board_legend();
  if (seen_->of_last_day) words = tr("These are the pieces of the last day at work.") + (" " + words);
  if (seen_->count > seen_->pieces.size())
    words = format(tr("The newest %zu are drawn."), seen_->pieces.size()) + " " + words;
  draw_block(sheet.text, {Weight::regular, scale.text_mm(2.1)}, {inner.x, inner.y + inner.h - legend, inner.w, legend},
             words, theme::kTextQuiet);
  return list_.placed({}, area, scale, {});
}

std::vector<Button> RecordsView::draw_weeks(Sheet& sheet, SDL_FRect area) {
  const Scale& scale = sheet.layout.scale;
  const Units units = sheet.desk.settings().units;
  const float gap = scale.mm(kGap_mm);
  std::vector<Button> keys;
  if (!landscape_) {
    keys = trend_keys();
    place_in_row(keys, taken(area, scale.mm(kTouch_mm), gap, false), gap);
  }
  const TrendRow& row = seen_->trend.rows[static_cast<std::size_t>(trend_of_)];
  const std::vector<std::string> signs = signal_words(row, seen_->trend.days);
  const TextStyle bold{Weight::bold, scale.text_mm(3.2)}, small{Weight::regular, scale.text_mm(2.4)};
  const float line = Text::line_pitch(small);
  const float below = scale.mm(8.0) + line * static_cast<float>(signs.size() + 1);
  const SDL_FRect drawing = taken(area, area.h - below - gap, gap, false);
  draw_trend(sheet.canvas, sheet.text, scale, drawing, seen_->trend, trend_of_, units);
  const std::string verdict = verdict_words(seen_->trend, units);
  float y = area.y + scale.mm(4.5);
  sheet.text.draw(sheet.text.fitted(bold, verdict, area.w), {area.x, y}, verdict, theme::kText);
  y += scale.mm(6.0);
  for (const std::string& words : signs) {
    sheet.text.draw(sheet.text.fitted(small, words, area.w), {area.x, y}, words,
                    row.signals.empty() ? theme::kTextQuiet : theme::kMove);
    y += line;
  }
  const std::string legend =
      seen_->trend.days
          ? tr("A point: the mean of a day; its band: 95 % sure. Dashed: the tolerance. Line: the middle.")
          : tr("A point: the mean of a week; its band: 95 % sure. Dashed: the tolerance. Line: the middle.");
  sheet.text.draw(sheet.text.fitted(small, legend, area.w), {area.x, y}, legend, theme::kTextQuiet);
  std::vector<Button> none = list_.placed({}, area, scale, {});
  keys.insert(keys.end(), none.begin(), none.end());
  return keys;
}

std::vector<Button> RecordsView::draw_hints(Sheet& sheet, const SDL_FRect& area) {
  const Scale& scale = sheet.layout.scale;
  if (seen_->hints.empty()) {
    draw_nothing(
        sheet.canvas, sheet.text, sheet.layout, area,
        seen_->count < HabitOptions{}.least
            ? format(tr("A hint wants %zu pieces at least; there are %zu."), HabitOptions{}.least, seen_->count)
            : std::string(tr("No habit shows in the last pieces, of all and of each hoop, cloth, machine and job: "
                             "nothing that a word would mend.")));
    return list_.placed({}, area, scale, {});
  }
  std::vector<Button> cards;
  for (std::size_t i = 0; i < seen_->hints.size(); ++i)
    cards.push_back(view_button(kFirstHint + static_cast<int>(i), "", SDLK_a + static_cast<int>(i)));
  const float gap = scale.mm(kGap_mm);
  const auto count = static_cast<float>(cards.size());
  const float height = std::min(scale.mm(kCard_mm), (area.h - gap * (count - 1.0F)) / count);
  place_in_column(cards, area, height, gap);
  over_ = cards;
  const float below = cards.back().area.y + height + scale.mm(6.0);
  if (below < area.y + area.h)
    sheet.text.draw({Weight::regular, scale.text_mm(2.6)}, {area.x, below},
                    tr("Touch a hint: the pieces that show it."), theme::kTextQuiet);
  std::vector<Button> all = list_.placed({}, area, scale, {});
  all.insert(all.end(), cards.begin(), cards.end());
  return all;
}

std::vector<Button> RecordsView::draw_list(Sheet& sheet, const SDL_FRect& area, std::span<const PieceRow> rows,
                                           int columns) {
  listed_.assign(rows.begin(), rows.end());
  std::vector<Button> entries;
  for (std::size_t i = 0; i < rows.size(); ++i) entries.push_back(view_button(kFirstEntry + static_cast<int>(i), ""));
  over_ = list_.placed(std::move(entries), area, sheet.layout.scale, {.columns = columns, .line_mm = kPieceLine_mm});
  return over_;
}

std::vector<Button> RecordsView::draw_evidence(Sheet& sheet, const SDL_FRect& whole) {
  const Scale& scale = sheet.layout.scale;
  const Units units = sheet.desk.settings().units;
  SDL_FRect area = whole;
  const TextStyle bold{Weight::bold, scale.text_mm(3.2)};
  const std::string fact = hint_words(hint_, units, whose_ && *whose_ == own_).fact;
  const SDL_FRect sentence = taken(area, scale.mm(landscape_ ? 6.0 : 11.0), scale.mm(1.0), false);
  draw_block(sheet.text, bold, sentence, fact, theme::kText);
  const float side = landscape_ ? std::min(area.h, 0.5F * area.w) : std::min(area.w, 0.55F * area.h);
  const SDL_FRect board = taken(area, side, scale.mm(kGap_mm), landscape_);
  draw_dart_board(sheet.canvas, sheet.text, scale, board, hint_.evidence, &evidence_figures_, units);
  const std::vector<PieceRow> newest_first(hint_.evidence.rbegin(), hint_.evidence.rend());
  return draw_list(sheet, area, newest_first, 1);
}

std::vector<Button> RecordsView::draw_piece(Sheet& sheet, const SDL_FRect& whole) {
  const Scale& scale = sheet.layout.scale;
  SDL_FRect area = whole;
  if (!seen_->opened) {
    draw_nothing(sheet.canvas, sheet.text, sheet.layout, area, tr("This piece is no longer there."));
    return list_.placed({}, area, scale, {});
  }
  const Units units = sheet.desk.settings().units;
  const float side = landscape_ ? std::min(area.h, 0.3F * area.w) : std::min(area.w, 0.35F * area.h);
  SDL_FRect board = taken(area, side, scale.mm(kGap_mm), landscape_);
  if (landscape_) board.h = board.w;
  const std::vector<PieceRow> one{seen_->opened->row};
  draw_dart_board(sheet.canvas, sheet.text, scale, board, one, nullptr, units);
  const TextStyle bold{Weight::bold, scale.text_mm(3.4)};
  const float below = landscape_ ? board.y + board.h + scale.mm(6.0) : board.y + board.h / 2.0F;
  const SDL_FPoint at{board.x + (landscape_ ? board.w / 2.0F : (board.w - board.h) / 4.0F), below};
  sheet.text.draw_centred(sheet.text.fitted(bold, row_verdict(one.front()), board.w), at, row_verdict(one.front()),
                          theme::kText);
  sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const SDL_FRect inner = inset(area, scale.mm(kPad_mm));
  // Everyone's pieces are shown without names; one's own are no secret.
  const bool named = whose_ || (!own_.empty() && seen_->name(seen_->opened->row.operator_name) == own_);
  const std::vector<Fact> facts = piece_facts(*seen_->opened, seen_->names, named, units, std::time(nullptr));
  const std::size_t lines = (facts.size() + kPieceFactColumns - 1) / kPieceFactColumns;
  const float width = inner.w / kPieceFactColumns;
  for (std::size_t i = 0; i < facts.size(); i += lines) {
    const SDL_FRect column{inner.x + width * static_cast<float>(i / lines), inner.y, width - scale.mm(2.0), inner.h};
    const FactSizes sizes{
        .caption_mm = 2.2, .value_mm = 2.6, .detail_mm = 2.1, .pitch_mm = 8.5, .caption_width_mm = 20.0};
    draw_facts(sheet.text, scale,
               {column.x, column.y, column.w,
                inner.h / static_cast<float>(lines) * static_cast<float>(std::min(lines, facts.size() - i))},
               std::span(facts).subspan(i, std::min(lines, facts.size() - i)), sizes);
  }
  return {};  // the list stays where it is, for the way back
}

void RecordsView::draw_about(Sheet& sheet, const SDL_FRect& area) const {
  const Scale& scale = sheet.layout.scale;
  sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(3.2)}, inset(area, scale.mm(4.0)), about_the_figures(),
                  scale.mm(2.2), theme::kText);
}

void RecordsView::draw_over(Sheet& sheet) {
  const Scale& scale = sheet.layout.scale;
  const Units units = sheet.desk.settings().units;
  for (const Button& one : over_) {
    if (one.id >= kFirstEntry) {
      const auto index = static_cast<std::size_t>(one.id - kFirstEntry);
      if (index < listed_.size() && seen_)
        draw_piece_line(sheet.canvas, sheet.text, scale, one.area, listed_[index],
                        top() == Sub::evidence ? hint_names_ : seen_->names, units);
    } else if (const auto card = static_cast<std::size_t>(one.id - kFirstHint);
               one.id >= kFirstHint && answered() && card < seen_->hints.size()) {
      const Hint& hint = seen_->hints[card];
      const HintWords words = hint_words(hint, units, whose_ && *whose_ == own_);
      const SDL_FRect inner = inset(one.area, scale.mm(kPad_mm));
      const float half = inner.h * 0.52F;
      draw_block(sheet.text, {Weight::bold, scale.text_mm(3.3)}, {inner.x, inner.y, inner.w, half}, words.fact,
                 theme::kText);
      draw_block(sheet.text, {Weight::regular, scale.text_mm(2.9)}, {inner.x, inner.y + half, inner.w, inner.h - half},
                 words.advice, theme::kTextQuiet);
    }
  }
}

}  // namespace app
