// The last pieces: when, by whom, how far off, and a plot of where they lay.
#include <algorithm>
#include <cmath>
#include <ctime>
#include <string>
#include <vector>

#include "app/format.h"
#include "app/screen/notice.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr std::size_t kShown = 100;   // in the list
constexpr std::size_t kPlotted = 50;  // in the plot
constexpr double kLine_mm = 11.0;
constexpr double kPlot_mm = 60.0;

bool within(const PieceRecord& r) {
  const vision::Reading& reading = r.piece.reading;
  return std::hypot(reading.offset_x_mm, reading.offset_y_mm) <= r.tolerance_mm &&
         std::abs(reading.rotation_deg) <= r.tolerance_deg;
}

// A disc with a tick within, a triangle outside.
void draw_verdict(Canvas& canvas, SDL_FPoint at, float radius, bool is_within) {
  if (is_within) return draw_tick(canvas, at, radius, theme::kWithin, theme::kPanel);
  draw_notice_sign(canvas, at, radius, theme::kTrouble, theme::kPanel);
}

class RecordsView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    read(desk);
    list_.show(0);
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Records");
    const long today = static_cast<long>(today_);
    h.headline = format(tr("%ld piece today", "%ld pieces today", today), today);
    const std::string& name = desk.settings().operator_name;
    if (!name.empty()) h.right = format(tr("of %s today: %zu"), name.c_str(), today_of_operator_);
    return h;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    if (pieces_read_ != sheet.desk.work().pieces()) read(sheet.desk);
    const Scale& scale = sheet.layout.scale;
    SDL_FRect area = sheet.layout.main;
    const std::string trouble = sheet.desk.log().trouble();
    if (!trouble.empty()) {
      draw_notice(sheet.canvas, sheet.text, scale, {area.x, area.y, area.w, scale.mm(kNotice_mm)}, trouble);
      area.y += scale.mm(kNotice_mm + 2.0);
      area.h -= scale.mm(kNotice_mm + 2.0);
    }
    shown_.clear();
    if (records_.empty()) {
      draw_nothing(sheet.canvas, sheet.text, sheet.layout, area,
                   tr("No piece was recorded yet. A piece is written down when its hoop is lifted off the board."));
      return list_.placed({}, area, scale, {});
    }
    const float gap = scale.mm(2.5), plot = scale.mm(kPlot_mm);
    SDL_FRect list = area, beside = area;
    if (sheet.layout.landscape) {
      list.w -= plot + gap;
      beside = {area.x + area.w - plot, area.y, plot, area.h};
    } else {
      list.h -= plot + gap;
      beside = {area.x, area.y + area.h - plot, area.w, plot};
    }
    draw_plot(sheet, beside);
    std::vector<Button> entries;
    for (std::size_t i = 0; i < records_.size(); ++i) {
      entries.push_back(view_button(1000 + static_cast<int>(i), ""));
      entries.back().enabled = false;  // to be read, not pressed
    }
    shown_ = list_.placed(std::move(entries), list, scale, {.columns = 1, .line_mm = kLine_mm});
    return shown_;
  }

  void draw_over(Sheet& sheet) override {
    for (const Button& entry : shown_) {
      const auto index = static_cast<std::size_t>(entry.id - 1000);
      if (entry.id >= 1000 && index < records_.size()) draw_record(sheet, entry.area, records_[index]);
    }
  }

  std::vector<Button> row(const Desk&) const override {
    return {view_button(kInspect, tr("Inspect a piece"), SDLK_i, !records_.empty())};
  }

  void pressed(int id, Desk& desk) override {
    if (id == kInspect) desk.open(ViewId::inspect);
  }

 private:
  static constexpr int kInspect = 1;

  void read(const Desk& desk) {
    const std::string began = today_began_utc(std::time(nullptr));
    records_ = desk.log().newest(kShown);
    today_ = desk.log().count_since(began, "");
    const std::string& name = desk.settings().operator_name;
    today_of_operator_ = name.empty() ? 0 : desk.log().count_since(began, name);
    pieces_read_ = desk.work().pieces();
  }

  static void draw_record(Sheet& sheet, const SDL_FRect& area, const PieceRecord& record) {
    const Scale& scale = sheet.layout.scale;
    const bool is_within = within(record);
    const float sign = scale.mm(2.3), pad = scale.mm(2.0);
    draw_verdict(sheet.canvas, {area.x + pad + sign, area.y + area.h / 2.0F}, sign, is_within);
    const float left = area.x + 2.0F * pad + 2.0F * sign, right = area.x + area.w - pad;
    const TextStyle bold{Weight::bold, scale.text_mm(2.6)}, small{Weight::regular, scale.text_mm(2.3)};
    const char* word = is_within ? tr("within") : tr("outside");
    const float first = area.y + area.h / 2.0F - scale.mm(0.9), second = area.y + area.h / 2.0F + scale.mm(3.4);
    sheet.text.draw_right(bold, {right, first}, word, is_within ? theme::kWithin : theme::kTrouble);
    const std::string placed = placement_words(record.piece.reading, sheet.desk.settings().units);
    const float room = right - left - sheet.text.width(bold, word) - pad;
    sheet.text.draw(sheet.text.fitted(bold, placed, room), {left, first}, placed, theme::kText);
    std::string about = local_time(record.time_utc, std::time(nullptr));
    // The last of them only where there is room.
    for (const std::string& part : {record.operator_name.empty() ? std::string(tr("nobody")) : record.operator_name,
                                    record.live ? std::string() : record.source, record.hoop, record.job}) {
      const std::string longer = about + " · " + part;
      if (!part.empty() && 0.7F * sheet.text.width(small, longer) < right - left) about = longer;
    }
    sheet.text.draw(sheet.text.fitted(small, about, right - left), {left, second}, about, theme::kTextQuiet);
  }

  // Where the stickers lay in the hoop, to scale: the machine's right is right, its top is up.
  void draw_plot(Sheet& sheet, const SDL_FRect& area) const {
    const Scale& scale = sheet.layout.scale;
    Canvas& canvas = sheet.canvas;
    canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float caption = scale.mm(9.0);
    const float side = std::min(area.w, area.h - caption) - scale.mm(4.0);
    const SDL_FPoint middle{area.x + area.w / 2.0F, area.y + scale.mm(2.0) + side / 2.0F};
    const double tolerance_mm = records_.front().tolerance_mm;
    const std::size_t count = std::min(kPlotted, records_.size());
    double reach_mm = std::max(0.1, 1.3 * tolerance_mm);
    for (std::size_t i = 0; i < count; ++i) {
      const vision::Reading& r = records_[i].piece.reading;
      reach_mm = std::max({reach_mm, 1.1 * std::abs(r.offset_x_mm), 1.1 * std::abs(r.offset_y_mm)});
    }
    const float px_per_mm = side / 2.0F / static_cast<float>(reach_mm);
    const float line = scale.mm(0.3);
    canvas.line({middle.x - side / 2.0F, middle.y}, {middle.x + side / 2.0F, middle.y}, line, theme::kRule);
    canvas.line({middle.x, middle.y - side / 2.0F}, {middle.x, middle.y + side / 2.0F}, line, theme::kRule);
    canvas.circle(middle, px_per_mm * static_cast<float>(tolerance_mm), line, theme::kText);
    for (std::size_t i = count; i-- > 0;) {  // the newest on top
      const vision::Reading& r = records_[i].piece.reading;
      const SDL_FPoint at{middle.x + px_per_mm * static_cast<float>(r.offset_x_mm),
                          middle.y - px_per_mm * static_cast<float>(r.offset_y_mm)};
      draw_point(canvas, scale, at, within(records_[i]));
      if (i == 0) canvas.circle(at, scale.mm(2.0), scale.mm(0.4), theme::kText);
    }
    const std::string tolerance = length_text(tolerance_mm, LengthKind::guide, sheet.desk.settings().units);
    const std::string words = format(tr("The last %zu pieces in the hoop, its top up. Circle: %s. Ringed: the newest."),
                                     count, tolerance.c_str());
    const float pad = scale.mm(2.0);
    draw_block(sheet.text, {Weight::regular, scale.text_mm(2.2)},
               {area.x + pad, area.y + area.h - caption, area.w - 2.0F * pad, caption - scale.mm(0.5)}, words,
               theme::kTextQuiet);
  }

  static void draw_point(Canvas& canvas, const Scale& scale, SDL_FPoint at, bool is_within) {
    if (is_within) return canvas.disc(at, scale.mm(0.7), theme::kWithin);
    const float size = scale.mm(1.0);
    const std::vector<SDL_FPoint> triangle{{at.x, at.y - size}, {at.x + size, at.y + size}, {at.x - size, at.y + size}};
    canvas.polygon(triangle, theme::kTrouble);
  }

  std::vector<PieceRecord> records_;  // the newest first
  std::vector<Button> shown_;
  std::size_t today_ = 0, today_of_operator_ = 0;
  int pieces_read_ = -1;
};

}  // namespace

std::unique_ptr<StationView> make_records_view() { return std::make_unique<RecordsView>(); }

}  // namespace app
