// Back onto stitches that were begun: stickers on known points of the design, and what to enter at the machine then.
#include <algorithm>
#include <string>
#include <vector>

#include "app/answer/answer.h"
#include "app/format.h"
#include "app/resume/resume_session.h"
#include "app/resume/resume_words.h"
#include "app/screen/live_picture.h"
#include "app/screen/text_block.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/resume_drawing.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id {
  kLess,
  kMore,
  kAdd,
  kRemove,
  kBoxLess,
  kBoxMore,
  kChange,
  kMove,
  kSetBox,
  kLeft,
  kRight,
  kDown,
  kUp,
  kDone,
  kBox,
  kTurn,
  kStickers,
  kPoint = 100
};

constexpr double kCatch_mm = 5.0;  // on the screen

bool inside(const SDL_FRect& r, SDL_FPoint p) { return p.x >= r.x && p.x < r.x + r.w && p.y >= r.y && p.y < r.y + r.h; }

// What the buttons along the lower edge are for.
enum class Row { points, point, move, box };

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
    session_.enter(desk);
    row_ = Row::points;
  }
  void textures_lost() override { picture_.textures_lost(); }
  bool go_back(Desk& desk) override {
    if (PageView::go_back(desk)) return true;
    return std::exchange(row_, Row::points) != Row::points;
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
    const ResumeWords words =
        resume_words(session_.answer(), session_.piece(), session_.options(), desk.settings().units);
    h.headline = words.headline;
    h.sentence = words.sentence;
    if (session_.box() && session_.answer() && session_.answer()->fault == ResumeFault::too_few) {
      h.headline = tr("No basting box");
      h.sentence = box_trouble(*session_.box());
      h.mood = PageMood::bad;
      return h;
    }
    h.mood = words.good ? PageMood::good : words.bad ? PageMood::bad : PageMood::plain;
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    if (!desk.design()) return {};
    const ResumePlan& plan = session_.plan();
    const Button done = view_button(kDone, tr("Done"));
    switch (row_) {
      case Row::point:
        return {view_button(kLess, tr("Number −")), view_button(kMore, tr("Number +")),
                view_button(kMove, tr("Move it")), done};
      case Row::move:
        return move_row(desk.settings().units, done);
      case Row::box:
        return {view_button(kBoxLess, tr("Nearer"), 0, plan.margin_mm() > 0.0),
                view_button(kBoxMore, tr("Further"), 0, plan.margin_mm() < ResumePlan::kMostMargin_mm), done};
      case Row::points:
        break;
    }
    const Button set_box = view_button(kSetBox, tr("Set the box"));
    if (session_.box())
      return {view_button(kStickers, tr("By stickers")), view_button(kTurn, tr("Other way up")), set_box,
              view_button(kBox, tr("Look again"))};
    return {view_button(kChange, tr("Change it")), view_button(kAdd, tr("Add"), 0, plan.can_add()),
            view_button(kRemove, tr("Remove"), 0, plan.can_remove()), set_box, view_button(kBox, tr("See the box"))};
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    if (!sheet.desk.design()) {
      draw_nothing(sheet.canvas, sheet.text, sheet.layout, sheet.layout.main,
                   tr("No job with a design is chosen: choose it, then come back here."));
      return {};
    }
    parts_ = parts_of(sheet.layout);
    session_.see(sheet.desk);
    draw_picture(sheet);
    draw_figures(sheet);
    const Design& design = *sheet.desk.design();
    const Scale& scale = sheet.layout.scale;
    sheet.canvas.rounded_rect(parts_.drawing, scale.mm(1.2), theme::kPanel);
    const float caption = scale.mm(5.0);
    SDL_FRect area = parts_.drawing;
    area.h -= caption;
    map_ = DesignMap(design, session_.plan().margin_mm(), area, scale.mm(6.0));
    catch_mm_ = scale.mm(kCatch_mm) / map_.px_per_mm();
    draw_known_points(sheet.canvas, sheet.text, scale, map_, design, session_.plan().margin_mm(),
                      session_.plan().points(), session_.plan().chosen());
    const std::string words =
        format(tr("Basting box %s outside"),
               length_text(session_.plan().margin_mm(), LengthKind::field, sheet.desk.settings().units).c_str());
    const TextStyle style = sheet.text.fitted({Weight::regular, scale.text_mm(2.2)}, words, area.w - scale.mm(4.0));
    sheet.text.draw(style, {area.x + scale.mm(2.0), parts_.drawing.y + parts_.drawing.h - scale.mm(2.0)}, words,
                    theme::kTextQuiet);
    return point_buttons(sheet);
  }

  void pressed(int id, Desk& desk) override {
    if (id >= kPoint) return session_.plan().choose(static_cast<std::size_t>(id - kPoint));
    const Units units = desk.settings().units;
    const double step = step_mm(units);
    const auto box = [&](int steps) {
      session_.plan().set_margin(*desk.design(),
                                 stepped_mm(session_.plan().margin_mm(), steps, false, LengthKind::field, units));
    };
    switch (id) {
      case kBox:
        session_.look_for_box();
        break;
      case kTurn:
        session_.turn_box();
        break;
      case kStickers:
        session_.use_stickers();
        break;
      case kLess:
      case kMore:
        session_.plan().step_number(id == kMore ? 1 : -1);
        break;
      case kChange:
        row_ = Row::point;
        break;
      case kMove:
        row_ = Row::move;
        break;
      case kSetBox:
        row_ = Row::box;
        break;
      case kDone:
        row_ = Row::points;
        break;
      case kAdd:
        session_.plan().add(*desk.design());
        break;
      case kRemove:
        session_.plan().remove();
        break;
      case kBoxLess:
      case kBoxMore:
        box(id == kBoxMore ? 1 : -1);
        if (session_.box()) session_.look_for_box();
        break;
      case kLeft:
      case kRight:
        session_.plan().move({id == kRight ? step : -step, 0.0});
        break;
      case kDown:
      case kUp:
        session_.plan().move({0.0, id == kUp ? step : -step});
        break;
      default:
        break;
    }
    session_.work_out(desk);
  }

  // A touch on the design moves the chosen point there; one on a sticker in the picture gives it that number.
  bool typed(const InputEvent& event, Desk& desk) override {
    if (event.kind != InputEvent::Kind::pointer_up || !desk.design()) return false;
    if (inside(parts_.drawing, event.at)) {
      session_.plan().put(picked_point(*desk.design(), session_.plan().margin_mm(), map_.point(event.at), catch_mm_));
    } else if (inside(parts_.picture, event.at)) {
      if (const std::optional<int> number = sticker_at(desk, event.at)) session_.plan().give(*number);
    } else {
      return false;
    }
    session_.work_out(desk);
    return false;
  }

 private:
  static double step_mm(Units units) { return units == Units::inch ? 0.01 * kMmPerInch : 0.1; }

  static std::vector<Button> move_row(Units units, const Button& done) {
    const std::string by = length_text(step_mm(units), LengthKind::guide, units);
    return {view_button(kLeft, format(tr("%s left"), by.c_str()), SDLK_LEFT),
            view_button(kRight, format(tr("%s right"), by.c_str()), SDLK_RIGHT),
            view_button(kDown, format(tr("%s down"), by.c_str()), SDLK_DOWN),
            view_button(kUp, format(tr("%s up"), by.c_str()), SDLK_UP), done};
  }

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
    if (session_.answer()) lines = resume_figures(*session_.answer(), session_.piece(), sheet.desk.settings().units);
    if (lines.empty()) {
      const double still = session_.stillness();
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
    for (std::size_t i = 0; i < session_.plan().points().size(); ++i) {
      const ResumePoint& point = session_.plan().points()[i];
      const std::string name = point.sticker >= 0 ? format(tr("%d: sticker %d"), static_cast<int>(i) + 1, point.sticker)
                                                  : format(tr("%d: no sticker yet"), static_cast<int>(i) + 1);
      Button b = view_button(kPoint + static_cast<int>(i), name);
      b.row = true;
      b.detail = place_words(point.at_mm, units);
      b.selected = i == session_.plan().chosen();
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

  ResumeSession session_;
  double catch_mm_ = 1.0;  // in the design
  Row row_ = Row::points;
  Parts parts_;
  DesignMap map_;
  LivePicture picture_;
  RegionChooser chooser_;
};

}  // namespace

std::unique_ptr<StationView> make_resume_view() { return std::make_unique<ResumeView>(); }

}  // namespace app
