#include "app/views/work_view.h"

#include <algorithm>
#include <string>
#include <utility>

#include "app/format.h"
#include "app/screen/notice.h"
#include "app/screen/symbols.h"
#include "app/screen/text_block.h"
#include "app/views/plan_view.h"
#include "app/views/work_entry.h"
#include "app/views/work_facts.h"
#include "app/views/work_fit.h"
#include "app/views/work_sign.h"
#include "app/words/words.h"
#include "app/work/sticker_words.h"
#include "app/work/work_words.h"

namespace app {
namespace {

constexpr double kAskAgain_s = 3.0;
constexpr double kPad_mm = 2.5;
constexpr double kSign_mm = 8.0;      // radius, of the headline
constexpr double kHeadline_mm = 7.6;  // its letters
constexpr double kSentence_mm = 2.8;
constexpr double kWays_mm = 9.0;  // two lines under the large plan

constexpr const char* kCaution =
    noop("Keep hands, hair and sleeves away from the needle. The machine's manual comes first.");

constexpr const char* kDescribeMachine = noop("Describe the machine (Menu, Machines) to see its keys.");

bool inside(const SDL_FRect& r, SDL_FPoint p) { return p.x >= r.x && p.x < r.x + r.w && p.y >= r.y && p.y < r.y + r.h; }

bool no_picture(const Desk& desk) { return desk.health.stale || !desk.health.trouble.empty(); }

bool accepts_notice(const HoopingCycle& cycle) {
  return !cycle.held() &&
         (cycle.notice() == CycleNotice::hoop_reversed || cycle.notice() == CycleNotice::ring_over_sticker);
}

// A reading is held, nobody took it, and at that place the design does not fit.
bool does_not_fit(const Desk& desk) {
  const HoopingCycle& cycle = desk.work().cycle();
  return cycle.held() && !cycle.taken() && cycle.notice() == CycleNotice::none && desk.answer() &&
         !desk.answer()->fit.fits;
}

// What is wrong with the pictures comes before all else, then what keeps the numbers from being entered.
WorkWords words_of(const Desk& desk) {
  WorkWords words;
  words.mood = WorkMood::problem;
  words.headline = tr("No picture");
  if (!desk.health.trouble.empty()) {
    words.sentence = tr(desk.health.trouble);
  } else if (desk.health.stale) {
    words.sentence = tr("No new picture has come for two seconds. Check the camera's cable.");
  } else if (does_not_fit(desk)) {
    words.headline = tr("Does not fit");
    words.sentence = what_to_do(*desk.answer(), desk.settings().units);
  } else {
    words = work_words(desk.work());
    const HoopingCycle& cycle = desk.work().cycle();
    const bool to_enter = cycle.phase() == Phase::enter && cycle.notice() == CycleNotice::none && !cycle.taken();
    if (to_enter && !desk.machine()) words.sentence += std::string(" ") + tr(kDescribeMachine);
  }
  return words;
}

std::string operator_label(const Desk& desk) {
  const std::string& name = desk.settings().operator_name;
  return name.empty() ? std::string(tr("Choose operator")) : format(tr("Operator: %s"), name.c_str());
}

std::string job_label(const Desk& desk, int done) {
  const std::optional<Job>& job = desk.work().job();
  if (!job) return tr("Choose job");
  if (job->pieces > 0) return format(tr("Job: %s, %d of %d done"), job->name.c_str(), done, job->pieces);
  return format(tr("Job: %s, %d done"), job->name.c_str(), done);
}

std::string take_label(bool held, bool taken, bool accepts) {
  if (accepts) return tr("Go on as it lies");
  if (taken) return tr("Reading taken");
  return held ? tr("Take (pedal, Enter)") : tr("Take");
}

}  // namespace

// ---- What a person does

void WorkView::entered(Desk&) {
  pressing_small_ = false;
  asked_to_start_over_ = false;
}

void WorkView::swap(Desk& desk) {
  Settings changed = desk.settings();
  changed.large_plan = !changed.large_plan;
  desk.set(changed);
}

void WorkView::press(int id, Desk& desk) {
  const bool asked = std::exchange(asked_to_start_over_, false);
  switch (id) {
    case kOperator:
      return desk.open(ViewId::operators);
    case kJob:
      return desk.open(ViewId::jobs);
    case kMenu:
      return desk.open(ViewId::menu);
    case kTake:
      return desk.take();
    case kRepeat:
      return desk.repeat();
    case kStartOver:
      // A reading that nobody took would be lost: only the second press within some seconds counts.
      if (asked || !desk.work().cycle().held() || desk.work().cycle().taken()) return desk.start_over();
      asked_to_start_over_ = true;
      asked_at_s_.reset();
      return desk.say(tr("The reading was not taken. Press again to lose it."));
    case kRendered:
      return desk.leave(Leave::rendered);
    default:
      return;
  }
}

void WorkView::handle(const InputEvent& event, Desk& desk) {
  if (const auto id = buttons_.handle(event)) return press(*id, desk);
  if (event.kind == InputEvent::Kind::pointer_down) pressing_small_ = inside(layout_.small, event.at);
  if (event.kind == InputEvent::Kind::pointer_up && std::exchange(pressing_small_, false) &&
      inside(layout_.small, event.at))
    swap(desk);
  if (event.kind == InputEvent::Kind::key && event.key == SDLK_v && !event.repeated) swap(desk);
}

std::vector<Button> WorkView::wanted_buttons(const Desk& desk) const {
  const HoopingCycle& cycle = desk.work().cycle();
  const bool held = cycle.held().has_value();
  const float gap = layout_.scale.mm(kPad_mm);
  std::vector<Button> who(3);
  who[0] = {.id = kOperator, .label = operator_label(desk), .key = SDLK_o};
  who[1] = {.id = kJob, .label = job_label(desk, pieces_of_job_), .key = SDLK_j};
  who[2] = {.id = kMenu, .label = tr("Menu"), .key = SDLK_m};
  const SDL_FRect& row = layout_.who;
  const float menu = layout_.scale.mm(20.0);
  const float rest = row.w - menu - 2.0F * gap;
  who[0].area = {row.x, row.y, 0.42F * rest, row.h};
  who[1].area = {row.x + 0.42F * rest + gap, row.y, 0.58F * rest, row.h};
  who[2].area = {row.x + row.w - menu, row.y, menu, row.h};

  std::vector<Button> deeds;
  if (no_picture(desk) && desk.health.live_camera)
    deeds.push_back({.id = kRendered, .label = tr("Rendered station"), .main = !held});
  const bool taken = held && cycle.taken();
  const bool accepts = accepts_notice(cycle);
  deeds.push_back({.id = kTake,
                   .label = take_label(held, taken, accepts),
                   .enabled = (held && !taken) || accepts,
                   .selected = taken,
                   .main = held && !taken});
  deeds.push_back({.id = kRepeat, .label = tr("Read again"), .enabled = held, .key = SDLK_r});
  deeds.push_back({.id = kStartOver,
                   .label = asked_to_start_over_ ? tr("Lose the reading? Press again") : tr("Start over"),
                   .enabled = cycle.phase() != Phase::set_hoop || cycle.kept_hoop(),
                   .key = SDLK_n});
  place_in_row(deeds, layout_.deeds, gap);
  who.insert(who.end(), deeds.begin(), deeds.end());
  return who;
}

// ---- What is seen

const ShownReading* WorkView::shown(const Desk& desk) const {
  const std::optional<ShownReading>& shown = desk.work().shown();
  if (!shown) return nullptr;
  return shown->kind == ShownReading::Kind::held || !no_picture(desk) ? &*shown : nullptr;
}

// Looks into the log only after a piece or another job. A piece that is in memory alone is not yet told of.
void WorkView::count_pieces(const Desk& desk) {
  const std::string job = desk.work().job() ? desk.work().job()->name : "";
  if (counted_at_pieces_ == desk.work().pieces() && counted_job_ == job) return;
  if (counted_job_ == job && desk.log().waiting() > 0) return;
  counted_at_pieces_ = desk.work().pieces();
  counted_job_ = job;
  pieces_of_job_ = static_cast<int>(desk.log().count_of_job(job));
}

void WorkView::follow(const Desk& desk) {
  count_pieces(desk);
  if (desk.work().seen()) chooser_.update(desk.work().station(), *desk.work().seen());
  if (const ShownReading* now = shown(desk)) {
    readout_.update(*now, desk.work().tolerance(), desk.settings().units);
  } else {
    readout_.forget();
  }
}

void WorkView::draw(Canvas& canvas, Text& text, cv::Size screen, const Desk& desk, double now_s) {
  layout_ = work_layout(screen.width, screen.height);
  if (asked_to_start_over_ && !asked_at_s_) asked_at_s_ = now_s;
  const bool in_time = asked_at_s_ && now_s - *asked_at_s_ <= kAskAgain_s;
  asked_to_start_over_ = asked_to_start_over_ && in_time && desk.work().cycle().held();
  follow(desk);
  canvas.clear(theme::kGround);
  const SDL_FRect large = draw_notices(canvas, text, desk);
  const bool large_plan = desk.settings().large_plan;
  draw_live(canvas, text, desk, large_plan ? layout_.small : large);
  draw_plan_in(canvas, desk, large_plan ? large : layout_.small, text);
  draw_swap_sign(canvas, layout_.scale, layout_.small);
  draw_proof(canvas, text, desk);
  draw_headline(canvas, text, desk);
  draw_readout(canvas, text, desk);
  draw_facts(canvas, text, layout_.scale, layout_.facts, desk, shown(desk), readout_.within());
  draw_caution(text);
  buttons_.set(wanted_buttons(desk));
  buttons_.draw(canvas, text, layout_.scale);
}

void WorkView::draw_live(Canvas& canvas, Text& text, const Desk& desk, const SDL_FRect& area) {
  canvas.rect(area, theme::kPanel);
  const cv::Mat& grey = desk.picture();
  const Work& work = desk.work();
  if (!grey.empty()) {
    picture_.upload(canvas.renderer(), grey,
                    fit_region(grey.size(), chooser_.wanted(grey.size()), chooser_.quarter_turns(), area));
  } else {
    picture_.lay_into(area);
  }
  picture_.draw(canvas);
  if (picture_.empty() || no_picture(desk) || !work.seen()) return;
  if (!work.kept_inner_px().empty() && !work.seen()->board_from_hoop)
    draw_kept_ring(canvas, layout_.scale, picture_.region(), work.kept_inner_px(), work.kept_outer_px());
  draw_overlay(canvas, text, layout_.scale, picture_.region(), work.station(), work.hoop(), *work.seen());
}

void WorkView::draw_plan_in(Canvas& canvas, const Desk& desk, const SDL_FRect& area, Text& text) const {
  const Work& work = desk.work();
  const ShownReading* now = shown(desk);
  Plan plan;
  plan.hoop = &work.hoop();
  plan.tolerance = work.tolerance();
  plan.units = desk.settings().units;
  if (desk.design()) plan.design = &*desk.design();
  if (!no_picture(desk) && work.seen()) plan.board_from_hoop = work.seen()->board_from_hoop;
  plan.hidden = !plan.board_from_hoop;
  if (!plan.board_from_hoop) plan.board_from_hoop = work.cycle().kept_hoop();
  if (now != nullptr) {
    plan.board_from_hoop = now->board_from_hoop;
    plan.hidden = now->kind == ShownReading::Kind::guide;
    plan.hoop_from_sticker = vision::Pose2{{now->reading.offset_x_mm, now->reading.offset_y_mm},
                                           now->reading.rotation_deg * vision::kRadPerDeg};
    if (const std::optional<PieceAnswer>& answer = desk.answer()) {
      plan.hoop_from_entered = answer->fitted_at();
      plan.fit = &answer->fit;
    }
    if (work.seen() && !work.seen()->stickers.empty()) plan.sticker = work.seen()->stickers.front().number;
  }
  if (!desk.settings().large_plan || plan.design == nullptr) return draw_plan(canvas, text, layout_.scale, area, plan);
  // In words as well: their place is always kept, so that the plan keeps its scale.
  const float words = layout_.scale.mm(kWays_mm);
  draw_plan(canvas, text, layout_.scale, {area.x, area.y, area.w, area.h - words}, plan);
  if (plan.fit == nullptr) return;
  draw_ways(text, layout_.scale, {area.x, area.y + area.h - words, area.w, words},
            way_lines(*desk.answer(), plan.units));
}

std::string WorkView::notices(const Desk& desk) const {
  std::string said;
  const auto add = [&](const std::string& words) { said += (said.empty() ? "" : "  ") + words; };
  if (!desk.health.notice.empty()) add(tr(desk.health.notice));
  if (const std::string trouble = desk.log().trouble(); !trouble.empty()) add(tr(trouble));
  if (!desk.health.stale)
    for (const std::string& note : desk.work().board().notes()) add(note);
  const Units units = desk.settings().units;
  if (!desk.health.stale)
    if (const std::string words = disagreeing_words(desk.work(), units); !words.empty()) add(words);
  if (const auto stretch = stretch_words(desk.work(), units); stretch && stretch->bad) add(stretch->text);
  return said;
}

// What is to be said plainly as long as it holds, over the large picture; gives what is left of that.
SDL_FRect WorkView::draw_notices(Canvas& canvas, Text& text, const Desk& desk) const {
  const std::string said = notices(desk);
  SDL_FRect left = layout_.large;
  if (said.empty()) return left;
  const float height = std::min(notice_height(text, layout_.scale, left.w, said), 0.5F * left.h);
  draw_notice(canvas, text, layout_.scale, {left.x, left.y, left.w, height}, said);
  left.y += height;
  left.h -= height;
  return left;
}

// Between pieces the last proof, over the picture's upper edge, so that nothing jumps when the hoop comes.
void WorkView::draw_proof(Canvas& canvas, Text& text, const Desk& desk) const {
  const bool working = desk.work().seen() && desk.work().seen()->board_from_hoop;
  const std::string& proof = desk.health.proof;
  if (proof.empty() || working || !notices(desk).empty()) return;
  const SDL_FRect& large = layout_.large;
  const SDL_FRect band{large.x, large.y, large.w, notice_height(text, layout_.scale, large.w, proof)};
  if (desk.health.proof_wanted) return draw_notice(canvas, text, layout_.scale, band, proof);
  draw_quiet_notice(canvas, text, layout_.scale, band, proof);
}

void WorkView::draw_headline(Canvas& canvas, Text& text, const Desk& desk) const {
  const Scale& scale = layout_.scale;
  const SDL_FRect& area = layout_.headline;
  const HoopingCycle& cycle = desk.work().cycle();
  const WorkWords words = words_of(desk);
  const bool problem = words.mood == WorkMood::problem;
  canvas.rounded_rect(area, scale.mm(1.2), problem ? theme::kPanelRaised : theme::kPanel);
  const float pad = scale.mm(kPad_mm);
  draw_steps(canvas, text, scale, {area.x + pad, area.y + scale.mm(1.2), area.w - 2.0F * pad, scale.mm(4.6)},
             cycle.phase());

  const float radius = scale.mm(kSign_mm);
  const SDL_FPoint centre{area.x + pad + radius, area.y + scale.mm(7.6) + radius + scale.mm(1.0)};
  const Colour colour = mood_colour(words.mood);
  const double still = no_picture(desk) ? 0.0 : cycle.stillness();
  if (words.mood == WorkMood::hold_still || (still > 0.0 && !problem)) {
    draw_stillness(canvas, centre, radius, still);
  } else if (words.mood == WorkMood::todo && shown(desk) != nullptr && shown(desk)->kind != ShownReading::Kind::held) {
    readout_.draw_sign(canvas, centre, radius);
  } else {
    draw_mood_sign(canvas, centre, radius, words.mood);
  }
  const float left = centre.x + radius + scale.mm(2.5);
  const float width = area.x + area.w - pad - left;
  const float top = area.y + scale.mm(8.2);
  TextStyle large{Weight::bold, scale.text_mm(kHeadline_mm)};
  const int least = scale.text_mm(0.5 * kHeadline_mm);
  while (large.height_px > least && text.width(large, words.headline) > width) --large.height_px;
  // In the middle of its line; on two lines where even the smallest letters are too wide for one.
  const float spare = scale.mm(kHeadline_mm) - static_cast<float>(large.height_px);
  const bool one = text.width(large, words.headline) <= width;
  draw_block(text, large, {left, one ? top + spare / 2.0F : top, width, scale.mm(1.4 * kHeadline_mm)}, words.headline,
             colour);
  const float below = top + scale.mm(kHeadline_mm + 3.0);
  draw_block(text, {Weight::regular, scale.text_mm(kSentence_mm)},
             {left, below, width, area.y + area.h - scale.mm(0.6) - below}, words.sentence, theme::kText);
}

void WorkView::draw_readout(Canvas& canvas, Text& text, const Desk& desk) const {
  if (const ShownReading* now = shown(desk)) {
    const bool held = now->kind == ShownReading::Kind::held;
    if (held && desk.machine() && desk.entry()) return draw_entry(canvas, text, layout_, desk);
    return readout_.draw_rows(canvas, text, layout_);
  }
  canvas.rounded_rect(layout_.readout, layout_.scale.mm(1.2), theme::kPanel);
  const SDL_FRect& area = layout_.readout;
  const SDL_FPoint centre{area.x + area.w / 2.0F, area.y + area.h / 2.0F};
  const float radius = 0.32F * std::min(area.w, area.h);
  if (no_picture(desk) || !desk.work().seen()) return draw_no_picture(canvas, centre, radius);
  draw_wanted(canvas, centre, radius, desk.work());
}

void WorkView::draw_caution(Text& text) const {
  const SDL_FRect& area = layout_.caution;
  const std::string caution = tr(kCaution);
  const TextStyle style = text.fitted({Weight::regular, layout_.scale.text_mm(2.0)}, caution, area.w);
  text.draw(style, {area.x, area.y + (area.h + static_cast<float>(style.height_px)) / 2.0F}, caution,
            theme::kTextQuiet);
}

std::unique_ptr<StationView> make_work_view() { return std::make_unique<WorkView>(); }

}  // namespace app
