#include "app/views/records/records_view.h"

#include <utility>

#include "app/format.h"
#include "app/records/correction.h"
#include "app/screen/notice.h"
#include "app/views/records/records_words.h"
#include "app/views/records/trend_drawing.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr auto kLookAgain = std::chrono::seconds(1);
constexpr double kStrip_mm = 5.0;  // a line of text over the page

}  // namespace

void RecordsView::entered(Desk& desk) {
  PageView::entered(desk);
  start_anew(desk);
}

void RecordsView::start_anew(const Desk& desk) {
  page_ = RecordsPage::board;
  spans_ = {RecordsSpan::today, RecordsSpan::thirteen_weeks, RecordsSpan::thirteen_weeks, RecordsSpan::four_weeks};
  own_ = desk.settings().operator_name;
  whose_ = own_.empty() ? std::nullopt : std::optional(own_);
  hoop_ = cloth_ = job_ = std::nullopt;
  trend_of_ = TrendOf::distance;
  subs_.clear();
  opened_.reset();
  undo_.reset();
  asked_.reset();
  list_.show(0);
  if (!reader_) reader_ = std::make_unique<RecordsReader>(log_file(desk.station_file()));
}

bool RecordsView::go_back(Desk& desk) {
  if (PageView::go_back(desk)) return true;
  if (subs_.empty()) return false;
  if (subs_.back() == Sub::piece) {
    opened_.reset();
    undo_.reset();
  }
  subs_.pop_back();
  return true;
}

void RecordsView::open(Sub sub) {
  subs_.push_back(sub);
  if (sub != Sub::piece) list_.show(0);  // the list is where it was when the piece is left
}

RecordsAsk RecordsView::wanted() const {
  return {page_, spans_[static_cast<std::size_t>(page_)], whose_, hoop_, cloth_, job_, opened_};
}

// Asks for what is wanted: at once where it is something else, else now and then for what is new.
void RecordsView::look(const Desk& desk) {
  if (!reader_) return;
  if (desk.settings().operator_name != own_) start_anew(desk);  // a badge was laid: the next sees the own figures first
  const auto now = std::chrono::steady_clock::now();
  const bool kept = corrected_ && desk.log().waiting() == 0;
  const int pieces = desk.work().pieces();
  if (asked_ != wanted() || kept || pieces != pieces_ || now - asked_at_ >= kLookAgain) {
    asked_ = wanted();
    asked_at_ = now;
    pieces_ = pieces;
    if (kept) corrected_ = false;
    reader_->ask(*asked_);
  }
  seen_ = reader_->seen();
}

// By what the page on top shows.
bool RecordsView::answered() const {
  if (!seen_ || !asked_) return false;
  RecordsAsk shown = seen_->ask;
  if (top() != Sub::piece) shown.piece = asked_->piece;
  return shown == *asked_;
}

bool RecordsView::reading() const {
  return corrected_ || asked_ != wanted() || !answered() || reader_busy() || reader_->seen() != seen_;
}

PageHeader RecordsView::header(const Desk&) const {
  PageHeader h;
  h.title = whose_ ? format(tr("Records of %s"), *whose_) : std::string(tr("Records of the shop"));
  h.headline = headline();
  h.right = what_is_shown();
  return h;
}

std::string RecordsView::headline() const {
  if (const auto sub = top()) {
    switch (*sub) {
      case Sub::evidence:
        return format(tr("The last %zu pieces of this hint"), hint_.evidence.size());
      case Sub::piece:
        return tr("One piece");
      case Sub::its_operator:
        return tr("Whose piece was it?");
      case Sub::its_job:
        return tr("Which job was it?");
      case Sub::about:
        return tr("What they tell, and what not");
      case Sub::whose:
        return tr("Whose pieces?");
      case Sub::span:
        return tr("How far back?");
      case Sub::hoop:
        return tr("Which hoop?");
      case Sub::cloth:
        return tr("Which cloth?");
      case Sub::job:
        return tr("Which job?");
      case Sub::shown:
        return tr("What is shown?");
    }
  }
  if (page_ == RecordsPage::weeks) return tr("From week to week");
  if (page_ == RecordsPage::hints) return tr("What would help");
  if (!answered()) return tr("Pieces");
  const auto count = static_cast<long>(seen_->count);
  const bool today = wanted().span == RecordsSpan::today;
  if (today && seen_->of_last_day) return tr("No piece today yet");
  return format(today ? tr("%ld piece today", "%ld pieces today", count) : tr("%ld piece", "%ld pieces", count), count);
}

std::string RecordsView::what_is_shown() const {
  std::string out = span_words(wanted().span);
  for (const auto& name : {hoop_, cloth_, job_})
    if (name) out += " · " + *name;
  return out;
}

std::vector<Button> RecordsView::tabs() const {
  const char* names[kRecordsPages] = {tr("Where"), tr("Weeks"), tr("Hints"), tr("Pieces")};
  std::vector<Button> all;
  for (int i = 0; i < kRecordsPages; ++i) {
    all.push_back(view_button(kFirstPage + i, names[i], SDLK_1 + i));
    all.back().selected = static_cast<int>(page_) == i;
  }
  return all;
}

std::vector<Button> RecordsView::trend_keys() const {
  constexpr SDL_Keycode kKeys[kTrendsOf] = {SDLK_d, SDLK_l, SDLK_h, SDLK_t};
  std::vector<Button> all;
  for (int i = 0; i < kTrendsOf; ++i) {
    all.push_back(view_button(kFirstTrend + i, trend_name(static_cast<TrendOf>(i)), kKeys[i]));
    all.back().selected = static_cast<int>(trend_of_) == i;
  }
  return all;
}

std::vector<Button> RecordsView::row(const Desk&) const {
  if (top() == Sub::piece) {
    const bool there = answered() && seen_->opened.has_value();
    const bool aside = there && seen_->opened->row.set_aside;
    return {view_button(kItsOperator, tr("Other operator"), SDLK_o, there),
            view_button(kItsJob, tr("Other job"), SDLK_j, there),
            view_button(kSetAside, aside ? tr("Does count") : tr("Does not count"), SDLK_n, there),
            view_button(kUndo, tr("Undo"), SDLK_u, undo_.has_value())};
  }
  if (!subs_.empty()) return {};
  std::vector<Button> all;
  if (page_ == RecordsPage::weeks && landscape_) {
    all = trend_keys();
  } else {
    const bool none = answered() && seen_->count == 0;
    all.push_back(view_button(kInspect, tr("Inspect a piece"), SDLK_i, !none));
  }
  all.push_back(view_button(kShown, tr("What is shown"), SDLK_s));
  all.push_back(view_button(kAbout, tr("What it tells"), SDLK_w));
  return all;
}

// The log's trouble first; then whose figures these are, where they are not the chosen operator's. Gives what is left.
SDL_FRect RecordsView::draw_notices(Sheet& sheet) const {
  const Scale& scale = sheet.layout.scale;
  SDL_FRect area = sheet.layout.main;
  const auto take = [&](float height) {
    area.y += height;
    area.h -= height;
  };
  const std::string trouble = sheet.desk.log().trouble();
  if (!trouble.empty()) {
    const float height = notice_height(sheet.text, scale, area.w, trouble);
    draw_notice(sheet.canvas, sheet.text, scale, {area.x, area.y, area.w, height}, trouble);
    take(height + scale.mm(2.0));
  }
  if (!subs_.empty()) return area;
  std::string words;
  if (own_.empty() && !whose_)
    words = tr("Nobody is chosen: everyone's figures, without names. Choose an operator to see your own.");
  else if (whose_ && *whose_ != own_)
    words = format(tr("These are the figures of %s: best looked at together."), *whose_);
  else if (!whose_)
    words = tr("Everyone's figures together, without names.");
  if (words.empty()) return area;
  const TextStyle style = sheet.text.fitted({Weight::regular, scale.text_mm(2.6)}, words, area.w);
  sheet.text.draw(style, {area.x, area.y + scale.mm(3.0)}, words, theme::kTextQuiet);
  take(scale.mm(kStrip_mm));
  return area;
}

std::vector<Button> RecordsView::draw_main(Sheet& sheet) {
  landscape_ = sheet.layout.landscape;
  over_.clear();
  listed_.clear();
  return draw_page(sheet, draw_notices(sheet));
}

void RecordsView::pressed(int id, Desk& desk) {
  if (id >= kFirstEntry) return press_entry(static_cast<std::size_t>(id - kFirstEntry), desk);
  switch (id) {
    case kInspect:
      return desk.open(ViewId::inspect);
    case kShown:
      return open(Sub::shown);
    case kAbout:
      return open(Sub::about);
    case kItsOperator:
    case kItsJob:
    case kSetAside:
    case kUndo:
      return press_piece_key(id, desk);
    default:
      break;
  }
  if (id >= kFirstHint) {
    const auto index = static_cast<std::size_t>(id - kFirstHint);
    if (!answered() || index >= seen_->hints.size()) return;
    hint_ = seen_->hints[index];
    hint_names_ = seen_->names;
    std::vector<PlacedPiece> pieces;
    for (const PieceRow& row : hint_.evidence) pieces.push_back(placed(row));
    evidence_figures_ = placement_figures(pieces);
    return open(Sub::evidence);
  }
  if (id >= kFirstTrend) {
    trend_of_ = static_cast<TrendOf>(id - kFirstTrend);
    return;
  }
  page_ = static_cast<RecordsPage>(id - kFirstPage);
  list_.show(0);
}

// A line of a list of pieces opens the piece; of a list of choices it is chosen.
void RecordsView::press_entry(std::size_t index, Desk& desk) {
  const auto sub = top();
  if (sub && *sub != Sub::evidence) return choose(index, desk);
  if (index >= listed_.size()) return;
  opened_ = listed_[index].seq;
  undo_.reset();
  open(Sub::piece);
}

void RecordsView::press_piece_key(int id, Desk& desk) {
  if (id == kItsOperator) return open(Sub::its_operator);
  if (id == kItsJob) return open(Sub::its_job);
  if (id == kUndo && undo_) {
    const Undo undo = *undo_;
    correct(desk, undo.field, undo.value, "", tr("Taken back."));
    return undo_.reset();
  }
  if (!answered() || !seen_->opened) return;
  const bool aside = seen_->opened->row.set_aside;
  correct(desk, std::string(app::kSetAside), aside ? "0" : "1", aside ? "1" : "0",
          aside ? tr("The piece counts again.") : tr("The piece counts no more, in any figure."));
}

void RecordsView::correct(Desk& desk, const std::string& field, const std::string& value, const std::string& before,
                          const std::string& words) {
  if (!answered() || !seen_->opened) return;
  Correction correction;
  correction.piece = seen_->opened->record.id;
  correction.operator_name = desk.settings().operator_name;
  correction.field = field;
  correction.value = value;
  desk.log().keep(correction);
  undo_ = Undo{field, before};
  corrected_ = true;
  desk.say(words);
}

std::unique_ptr<StationView> make_records_view() { return std::make_unique<RecordsView>(); }

}  // namespace app
