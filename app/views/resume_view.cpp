// Back onto stitches that were begun: stickers on known points of the design, and what to enter at the machine then.
#include <algorithm>
#include <string>
#include <vector>

#include "app/answer/answer.h"
#include "app/format.h"
#include "app/resume/resume.h"
#include "app/resume/resume_plan.h"
#include "app/resume/resume_watch.h"
#include "app/resume/resume_words.h"
#include "app/screen/live_picture.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/resume_drawing.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id { kLess, kMore, kAdd, kRemove, kBoxLess, kBoxMore, kFine, kLeft, kRight, kDown, kUp, kFineDone, kPoint = 100 };

constexpr double kCatch_mm = 5.0;  // on the screen

bool inside(const SDL_FRect& r, SDL_FPoint p) { return p.x >= r.x && p.x < r.x + r.w && p.y >= r.y && p.y < r.y + r.h; }

// Where the parts lie.
struct Parts {
  SDL_FRect picture{}, figures{}, drawing{}, points{};
};

Parts parts_of(const ViewLayout& layout) {
  const SDL_FRect& m = layout.main;
  const float gap = layout.scale.mm(2.5), line = layout.scale.mm(kTouch_mm);
  Parts p;
  if (layout.landscape) {
    const float column = 0.25F * m.w, picture = 0.40F * m.w - gap;
    const float figures = std::min(layout.scale.mm(21.0), 0.34F * m.h);
    p.picture = {m.x, m.y, picture, m.h - figures - gap};
    p.figures = {m.x, m.y + m.h - figures, picture, figures};
    p.drawing = {m.x + picture + gap, m.y, m.w - picture - column - 2.0F * gap, m.h};
    p.points = {m.x + m.w - column, m.y, column, m.h};
    return p;
  }
  const float points = 2.0F * line + gap, figures = layout.scale.mm(24.0);
  const float rest = m.h - points - figures - 3.0F * gap;
  p.picture = {m.x, m.y, m.w, 0.5F * rest};
  p.figures = {m.x, m.y + 0.5F * rest + gap, m.w, figures};
  p.drawing = {m.x, p.figures.y + figures + gap, m.w, 0.5F * rest};
  p.points = {m.x, m.y + m.h - points, m.w, points};
  return p;
}

class ResumeView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    watch_.forget();
    answer_.reset();
    piece_.reset();
    fine_ = false;
    const std::string job = desk.settings().job_name;
    if (desk.design() && (!started_ || job != job_)) plan_.start(*desk.design());
    started_ = desk.design().has_value();
    job_ = job;
  }
  void textures_lost() override { picture_.textures_lost(); }
  bool go_back(Desk& desk) override {
    if (PageView::go_back(desk)) return true;
    return std::exchange(fine_, false);
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Back on the stitches");
    if (!desk.design()) {
      h.headline = tr("Choose a job with a design");
      h.sentence = tr("What was stitched is found by points of its design.");
      return h;
    }
    const ResumeWords words = resume_words(answer_, piece_, options_, desk.settings().units);
    h.headline = words.headline;
    h.sentence = words.sentence;
    h.mood = words.good ? PageMood::good : words.bad ? PageMood::bad : PageMood::plain;
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    if (!desk.design()) return {};
    const Units units = desk.settings().units;
    const auto step = [&](const char* words, double mm) {
      return format(tr(words), length_text(mm, LengthKind::guide, units).c_str());
    };
    if (fine_) {
      const double mm = units == Units::inch ? 0.01 * kMmPerInch : 0.1;
      return {view_button(kLeft, step(noop("%s left"), mm), SDLK_LEFT),
              view_button(kRight, step(noop("%s right"), mm), SDLK_RIGHT),
              view_button(kDown, step(noop("%s down"), mm), SDLK_DOWN),
              view_button(kUp, step(noop("%s up"), mm), SDLK_UP), view_button(kFineDone, tr("Done"))};
    }
    return {view_button(kLess, tr("Number −")),
            view_button(kMore, tr("Number +")),
            view_button(kFine, tr("Place")),
            view_button(kAdd, tr("Add a point"), 0, plan_.can_add()),
            view_button(kRemove, tr("Remove it"), 0, plan_.can_remove()),
            view_button(kBoxLess, tr("Box −"), 0, plan_.margin_mm() > 0.0),
            view_button(kBoxMore, tr("Box +"), 0, plan_.margin_mm() < ResumePlan::kMostMargin_mm)};
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    if (!sheet.desk.design()) {
      draw_nothing(sheet.canvas, sheet.text, sheet.layout, sheet.layout.main,
                   tr("No job with a design is chosen: choose it, then come back here."));
      return {};
    }
    parts_ = parts_of(sheet.layout);
    follow(sheet.desk);
    draw_picture(sheet);
    draw_figures(sheet);
    const Design& design = *sheet.desk.design();
    const Scale& scale = sheet.layout.scale;
    sheet.canvas.rounded_rect(parts_.drawing, scale.mm(1.2), theme::kPanel);
    const float caption = scale.mm(5.0);
    SDL_FRect area = parts_.drawing;
    area.h -= caption;
    map_ = DesignMap(design, plan_.margin_mm(), area, scale.mm(6.0));
    catch_mm_ = scale.mm(kCatch_mm) / map_.px_per_mm();
    draw_known_points(sheet.canvas, sheet.text, scale, map_, design, plan_.margin_mm(), plan_.points(), plan_.chosen());
    const std::string words =
        format(tr("Basting box %s outside"),
               length_text(plan_.margin_mm(), LengthKind::field, sheet.desk.settings().units).c_str());
    const TextStyle style = sheet.text.fitted({Weight::regular, scale.text_mm(2.2)}, words, area.w - scale.mm(4.0));
    sheet.text.draw(style, {area.x + scale.mm(2.0), parts_.drawing.y + parts_.drawing.h - scale.mm(2.0)}, words,
                    theme::kTextQuiet);
    return point_buttons(sheet);
  }

  void pressed(int id, Desk& desk) override {
    if (id >= kPoint) return plan_.choose(static_cast<std::size_t>(id - kPoint));
    const Units units = desk.settings().units;
    const double step_mm = units == Units::inch ? 0.01 * kMmPerInch : 0.1;
    const auto box = [&](int steps) {
      plan_.set_margin(*desk.design(), stepped_mm(plan_.margin_mm(), steps, false, LengthKind::field, units));
    };
    switch (id) {
      case kLess:
      case kMore:
        plan_.step_number(id == kMore ? 1 : -1);
        break;
      case kFine:
      case kFineDone:
        fine_ = id == kFine;
        break;
      case kAdd:
        plan_.add(*desk.design());
        break;
      case kRemove:
        plan_.remove();
        break;
      case kBoxLess:
      case kBoxMore:
        box(id == kBoxMore ? 1 : -1);
        break;
      case kLeft:
      case kRight:
        plan_.move({id == kRight ? step_mm : -step_mm, 0.0});
        break;
      case kDown:
      case kUp:
        plan_.move({0.0, id == kUp ? step_mm : -step_mm});
        break;
      default:
        break;
    }
    work_out(desk);
  }

  // A touch on the design moves the chosen point there; one on a sticker in the picture gives it that number.
  bool typed(const InputEvent& event, Desk& desk) override {
    if (event.kind != InputEvent::Kind::pointer_up || !desk.design()) return false;
    if (inside(parts_.drawing, event.at)) {
      plan_.put(picked_point(*desk.design(), plan_.margin_mm(), map_.point(event.at), catch_mm_));
    } else if (inside(parts_.picture, event.at)) {
      if (const std::optional<int> number = sticker_at(desk, event.at)) plan_.give(*number);
    } else {
      return false;
    }
    work_out(desk);
    return false;
  }

 private:
  std::optional<int> sticker_at(const Desk& desk, SDL_FPoint at) const {
    if (picture_.empty() || !desk.work().seen()) return std::nullopt;
    const cv::Point2d image_px = picture_.region().to_image(at);
    std::optional<int> number;
    double nearest_px = 0.0;
    for (const vision::SeenSticker& sticker : desk.work().seen()->stickers) {
      const double away_px = cv::norm(sticker.centre_px - image_px);
      if (away_px > cv::norm(sticker.outline_px[0] - sticker.centre_px) || (number && away_px > nearest_px)) continue;
      number = sticker.number;
      nearest_px = away_px;
    }
    return number;
  }

  void follow(const Desk& desk) {
    const Work& work = desk.work();
    if (!work.seen() || desk.health.stale) return watch_.forget();
    watch_.see(*work.seen(), work.seen_s());
    work_out(desk);
  }

  void work_out(const Desk& desk) {
    answer_.reset();
    piece_.reset();
    if (!desk.design() || watch_.rested().empty()) return;
    if (const auto matched = matched_points(plan_.points(), watch_.rested(), *desk.design(), options_))
      plan_.set_points(*matched);
    answer_ = resume(plan_.points(), watch_.rested(), watch_.hoop_covariance(), *desk.design(), options_);
    if (answer_->fault != ResumeFault::none) return;
    vision::Reading reading;
    reading.offset_x_mm = answer_->hoop_from_design.origin_mm.x;
    reading.offset_y_mm = answer_->hoop_from_design.origin_mm.y;
    reading.rotation_deg = vision::wrapped_rad(answer_->hoop_from_design.angle_rad) * vision::kDegPerRad;
    piece_ = piece_answer(reading, desk.design(), desk.machine(), desk.work().hoop());
  }

  void draw_picture(Sheet& sheet) {
    const Work& work = sheet.desk.work();
    sheet.canvas.rect(parts_.picture, theme::kPanel);
    if (work.seen()) chooser_.update(work.station(), *work.seen());
    const cv::Mat& grey = sheet.desk.picture();
    if (!grey.empty()) {
      picture_.upload(sheet.canvas.renderer(), grey,
                      fit_region(grey.size(), chooser_.wanted(grey.size()), chooser_.quarter_turns(), parts_.picture));
    } else {
      picture_.lay_into(parts_.picture);
    }
    picture_.draw(sheet.canvas);
    if (picture_.empty() || !work.seen() || sheet.desk.health.stale) return;
    draw_overlay(sheet.canvas, sheet.text, sheet.layout.scale, picture_.region(), work.station(), work.hoop(),
                 *work.seen());
  }

  void draw_figures(Sheet& sheet) const {
    const Scale& scale = sheet.layout.scale;
    const SDL_FRect& area = parts_.figures;
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(2.0);
    const SDL_FRect inner{area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad};
    std::vector<std::string> lines;
    if (answer_) lines = resume_figures(*answer_, piece_, sheet.desk.settings().units);
    if (lines.empty()) {
      const double still = watch_.stillness();
      lines.emplace_back(still > 0.0 && still < 1.0
                             ? tr("Hold still: the stickers are being read.")
                             : tr("Touch a point, then where it is on the design, or its sticker in the picture."));
    }
    draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(2.2)}, inner, lines, scale.mm(0.8), theme::kText);
  }

  std::vector<Button> point_buttons(Sheet& sheet) const {
    const Units units = sheet.desk.settings().units;
    const float gap = sheet.layout.scale.mm(2.0);
    std::vector<Button> all;
    for (std::size_t i = 0; i < plan_.points().size(); ++i) {
      const ResumePoint& point = plan_.points()[i];
      const std::string name = point.sticker >= 0 ? format(tr("%d: sticker %d"), static_cast<int>(i) + 1, point.sticker)
                                                  : format(tr("%d: no sticker yet"), static_cast<int>(i) + 1);
      Button b = view_button(kPoint + static_cast<int>(i), name);
      b.row = true;
      b.detail = place_words(point.at_mm, units);
      b.selected = i == plan_.chosen();
      all.push_back(b);
    }
    const SDL_FRect& area = parts_.points;
    const bool column = sheet.layout.landscape;
    const float height =
        column ? std::min(sheet.layout.scale.mm(18.0), (area.h - 3.0F * gap) / 4.0F) : (area.h - gap) / 2.0F;
    const float width = column ? area.w : (area.w - gap) / 2.0F;
    for (std::size_t i = 0; i < all.size(); ++i) {
      const float right = column ? 0.0F : static_cast<float>(i % 2), down = static_cast<float>(column ? i : i / 2);
      all[i].area = {area.x + right * (width + gap), area.y + down * (height + gap), width, height};
    }
    return all;
  }

  ResumePlan plan_;
  std::string job_;  // that the plan is for
  bool started_ = false;
  double catch_mm_ = 1.0;  // in the design
  bool fine_ = false;
  ResumeOptions options_;
  ResumeWatch watch_;
  std::optional<ResumeAnswer> answer_;
  std::optional<PieceAnswer> piece_;
  Parts parts_;
  DesignMap map_;
  LivePicture picture_;
  RegionChooser chooser_;
};

}  // namespace

std::unique_ptr<StationView> make_resume_view() { return std::make_unique<ResumeView>(); }

}  // namespace app
