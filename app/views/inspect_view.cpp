// What came of a piece that was stitched: which piece, how far off, then how it is finished.
#include <algorithm>
#include <cmath>
#include <ctime>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/advice.h"
#include "app/format.h"
#include "app/inspect/final_error.h"
#include "app/inspect/finishing.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/ruler_entry.h"
#include "app/views/view_words.h"
#include "app/words/words.h"
#include "vision/cloth_sight.h"
#include "vision/stitched_rectangle.h"

namespace app {
namespace {

constexpr std::size_t kShown = 100, kInspections = 300;
constexpr double kLine_mm = 15.0;
constexpr int kFirstPiece = 1000;
enum Id { kGood = 1, kMend, kReject, kByRuler, kByCamera, kByBox, kAnother };

// A basting box is sewn some millimetres outside of the design. Its middle and its turn do not depend on how many, so
// it is looked for with much room.
constexpr double kBastingMargin_mm = 5.0, kBastingRoom = 0.1;

Outcome outcome_of(int id) { return id == kGood ? Outcome::good : id == kMend ? Outcome::mend : Outcome::reject; }

class InspectView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    step_ = Step::pick;
    read(desk);
  }
  bool go_back(Desk& desk) override {
    if (PageView::go_back(desk)) return true;
    if (step_ == Step::pick) return false;
    step_ = step_ == Step::ruler ? Step::measure : Step::pick;
    read(desk);
    return true;
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Inspection");
    switch (step_) {
      case Step::pick:
        h.headline = tr("Which piece was stitched?");
        break;
      case Step::measure:
        h.headline = tr("Lay the hoop on the board again");
        h.sentence =
            tr("The piece is still in its hoop. Put its sticker back: the dot on the stitched centre, the arrow to the "
               "design's top.");
        break;
      case Step::ruler:
        h.headline = tr("What does the ruler say?");
        h.sentence =
            tr("From where it was wanted to the stitched centre, seen with the design's top up. Without steps it is "
               "judged by eye.");
        break;
      case Step::finish:
        h.headline = tr("Kept. Now finish the piece");
        h.mood = PageMood::good;
        break;
    }
    if (const auto* piece = chosen(); piece != nullptr && step_ != Step::pick) h.right = about(*piece);
    static_cast<void>(desk);
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    if (step_ == Step::pick) return {};
    if (step_ == Step::finish) return {main_button(kAnother, tr("Another piece"), SDLK_n)};
    const bool ready = step_ == Step::ruler || measured(desk).has_value();
    std::vector<Button> all{view_button(kGood, tr("Good"), SDLK_g, ready),
                            view_button(kMend, tr("To mend"), SDLK_m, ready),
                            view_button(kReject, tr("Rejected"), SDLK_j, ready)};
    all.front().main = ready;
    if (step_ == Step::measure) all.push_back(view_button(kByBox, box_ ? tr("By sticker") : tr("Basting box"), SDLK_b));
    all.push_back(step_ == Step::measure ? view_button(kByRuler, tr("By ruler"), SDLK_r)
                                         : view_button(kByCamera, tr("By camera"), SDLK_c));
    return all;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    switch (step_) {
      case Step::pick:
        return draw_list(sheet);
      case Step::measure:
        if (box_wanted_) find_box(sheet.desk);
        draw_measured(sheet);
        break;
      case Step::ruler:
        return ruler_.placed(sheet.layout.main, sheet.layout.scale, sheet.desk.settings().units);
      case Step::finish:
        draw_finishing(sheet);
        break;
    }
    return list_.placed({}, sheet.layout.main, sheet.layout.scale, {});
  }

  void draw_over(Sheet& sheet) override {
    if (step_ == Step::ruler)
      ruler_.draw_captions(sheet.canvas, sheet.text, sheet.layout.scale, sheet.desk.settings().units);
  }

  void pressed(int id, Desk& desk) override {
    if (step_ == Step::ruler && ruler_.press(id, desk.settings().units)) return;
    if (id >= kFirstPiece) return pick(static_cast<std::size_t>(id - kFirstPiece));
    switch (id) {
      case kGood:
      case kMend:
      case kReject:
        return keep(desk, outcome_of(id));
      case kByRuler:
        step_ = Step::ruler;
        return;
      case kByCamera:
        step_ = Step::measure;
        return;
      case kByBox:
        box_wanted_ = !box_;
        box_.reset();
        return;
      case kAnother:
        step_ = Step::pick;
        return read(desk);
      default:
        return;
    }
  }

 private:
  enum class Step { pick, measure, ruler, finish };

  static Button main_button(int id, std::string label, SDL_Keycode key) {
    Button one = view_button(id, std::move(label), key);
    one.main = true;
    return one;
  }

  void read(const Desk& desk) {
    records_ = desk.log().newest(kShown);
    inspections_.clear();
    for (Inspection& one : desk.log().newest_inspections(kInspections)) inspections_.emplace(one.piece, std::move(one));
  }

  const PieceRecord* chosen() const { return index_ < records_.size() ? &records_[index_] : nullptr; }

  void pick(std::size_t index) {
    if (index >= records_.size()) return;
    index_ = index;
    ruler_.clear();
    box_.reset();
    box_wanted_ = false;
    step_ = Step::measure;
  }

  static std::string about(const PieceRecord& piece) {
    const std::string time = local_time(piece.time_utc, std::time(nullptr));
    return piece.job.empty() ? time : time + " · " + piece.job;
  }

  // Once, in the next frame that shows the ring.
  void find_box(const Desk& desk) {
    const PieceRecord* piece = chosen();
    const Work& work = desk.work();
    if (piece == nullptr || desk.picture().empty() || !work.seen()) return;
    box_wanted_ = false;
    box_ = vision::StitchedRectangle{};
    const bool same_job = work.job() && work.job()->name == piece->job;
    const auto sight = vision::cloth_sight(work.station(), work.hoop(), *work.seen());
    if (!same_job || !desk.design() || !sight || work.hoop().name != piece->hoop) return;
    vision::RectangleOptions options;
    options.expected_mm = desk.design()->size_mm + cv::Size2d(2.0 * kBastingMargin_mm, 2.0 * kBastingMargin_mm);
    options.size_limit = options.search_size = kBastingRoom;
    box_ = vision::find_stitched_rectangle(desk.picture(), *sight, options);
  }

  // The piece's final error as this frame shows it; nothing without a reading in the piece's own hoop.
  std::optional<Inspection> measured(const Desk& desk) const {
    const PieceRecord* piece = chosen();
    const auto& seen = desk.work().seen();
    if (piece != nullptr && box_) return final_error(*piece, *box_);
    if (piece == nullptr || !seen || !seen->reading || desk.work().hoop().name != piece->hoop) return std::nullopt;
    return final_error(*piece, *seen->reading);
  }

  void keep(Desk& desk, Outcome outcome) {
    const PieceRecord* piece = chosen();
    if (piece == nullptr) return;
    std::optional<Inspection> found = step_ == Step::ruler ? ruler_.found() : measured(desk);
    if (!found) return;
    found->piece = piece->id;
    found->outcome = outcome;
    desk.keep(std::move(*found));
    step_ = Step::finish;
  }

  std::vector<Button> draw_list(Sheet& sheet) {
    const Scale& scale = sheet.layout.scale;
    if (records_.empty()) {
      draw_nothing(sheet.canvas, sheet.text, sheet.layout, sheet.layout.main,
                   tr("No piece was recorded yet. A piece is written down when its hoop is lifted off the board."));
      return list_.placed({}, sheet.layout.main, scale, {});
    }
    const Units units = sheet.desk.settings().units;
    std::vector<Button> entries;
    for (std::size_t i = 0; i < records_.size(); ++i) {
      const PieceRecord& piece = records_[i];
      Button one = view_button(kFirstPiece + static_cast<int>(i), about(piece));
      one.row = true;
      one.detail = format(tr("hooped %s"), placement_words(piece.piece.reading, units));
      const auto known = inspections_.find(piece.id);
      one.note = known == inspections_.end() ? tr("not inspected") : outcome_word(known->second.outcome);
      entries.push_back(std::move(one));
    }
    return list_.placed(std::move(entries), sheet.layout.main, scale, {.columns = 1, .line_mm = kLine_mm});
  }

  static const char* outcome_word(Outcome outcome) {
    return outcome == Outcome::good ? tr("good") : outcome == Outcome::mend ? tr("to mend") : tr("rejected");
  }

  // Why nothing is measured just now.
  std::string trouble(const Desk& desk, const PieceRecord& piece) const {
    if (desk.work().hoop().name != piece.hoop)
      return format(tr("The piece was hooped in %s, and the station looks for %s."), piece.hoop,
                    desk.work().hoop().name);
    if (!desk.work().seen()) return tr("No picture yet.");
    if (box_ && !(desk.work().job() && desk.work().job()->name == piece.job && desk.design()))
      return tr("The basting box is looked for by the design's size: choose the piece's job first.");
    if (box_) return tr("No basting box is seen. It must lie wholly inside the ring, and its thread must stand out.");
    if (box_wanted_) return tr("Looking for the basting box.");
    return tr(std::string(advice(desk.work().seen()->status)));
  }

  void draw_measured(Sheet& sheet) {
    const PieceRecord* piece = chosen();
    if (piece == nullptr) return;
    const Units units = sheet.desk.settings().units;
    const std::optional<Inspection> now = measured(sheet.desk);
    std::vector<std::string> lines{format(tr("When it was hooped: %s"), placement_words(piece->piece.reading, units))};
    if (const auto known = inspections_.find(piece->id); known != inspections_.end())
      lines.push_back(
          format(tr("Inspected before: %s. A later inspection counts."), outcome_word(known->second.outcome)));
    const std::string large = now ? final_words(*now, units) : trouble(sheet.desk, *piece);
    if (now)
      lines.insert(
          lines.begin(),
          format(is_within(*now, *piece) ? tr("Off by this much, within the tolerance; uncertain by %s and %s°.")
                                         : tr("Off by this much, outside the tolerance; uncertain by %s and %s°."),
                 length_text(now->u_offset_mm, LengthKind::fine, units), number(now->u_rotation_deg, 2)));
    draw_panel(sheet, large, now.has_value() && !is_within(*now, *piece), lines);
  }

  static void draw_panel(Sheet& sheet, const std::string& large, bool bad, const std::vector<std::string>& lines) {
    const Scale& scale = sheet.layout.scale;
    const SDL_FRect& area = sheet.layout.main;
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(4.0);
    const SDL_FRect inside{area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad};
    const float end =
        draw_block(sheet.text, {Weight::bold, scale.text_mm(5.2)}, inside, large, bad ? theme::kTrouble : theme::kText);
    const float top = end + scale.mm(3.0);
    draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(3.2)},
                    {inside.x, top, inside.w, inside.y + inside.h - top}, lines, scale.mm(1.6), theme::kTextQuiet);
  }

  void draw_finishing(Sheet& sheet) {
    const PieceRecord* piece = chosen();
    const Scale& scale = sheet.layout.scale;
    const SDL_FRect& area = sheet.layout.main;
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(4.0), gap = scale.mm(4.0);
    const bool wide = sheet.layout.landscape;
    SDL_FRect steps{area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad};
    SDL_FRect beside = steps;
    if (wide) {
      steps.w = (steps.w - gap) * 0.58F;
      beside.x = steps.x + steps.w + gap;
      beside.w -= steps.w + gap;
    } else {
      steps.h = (steps.h - gap) * 0.55F;
      beside.y = steps.y + steps.h + gap;
      beside.h -= steps.h + gap;
    }
    draw_paragraphs(
        sheet.text, {Weight::regular, scale.text_mm(3.6)}, steps,
        finishing_lines(piece != nullptr ? *piece : PieceRecord{}, sheet.desk.jobs(), sheet.desk.cloth_guide()),
        scale.mm(2.0), theme::kText);
    draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(2.8)}, beside, caution_lines(), scale.mm(2.0),
                    theme::kTextQuiet);
  }

  Step step_ = Step::pick;
  std::vector<PieceRecord> records_;               // the newest first
  std::map<std::string, Inspection> inspections_;  // by piece, the ones that count
  std::size_t index_ = 0;
  RulerEntry ruler_;
  bool box_wanted_ = false;
  std::optional<vision::StitchedRectangle> box_;  // looked for; its status says whether it was found
};

}  // namespace

std::unique_ptr<StationView> make_inspect_view() { return std::make_unique<InspectView>(); }

}  // namespace app
