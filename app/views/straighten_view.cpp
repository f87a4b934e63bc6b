// Cloth laid by a fold, a hem, a seam or its weave: the live picture with the line that was found, how it lies to the
// hoop, and what the hands are to do. A ruler for the board besides.
#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include "app/format.h"
#include "app/screen/live_picture.h"
#include "app/screen/text_block.h"
#include "app/straighten/ruler.h"
#include "app/straighten/straighten.h"
#include "app/straighten/straighten_words.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/words/words.h"
#include "vision/plane_view.h"

namespace app {
namespace {

enum Id { kLine = 1, kWeave, kRuler, kSide, kLess10, kLess, kMore, kMore10, kForget, kPlane };

// What a button of the aim adds, in coarse steps.
int steps_of(int id) { return id == kLess10 ? -10 : id == kLess ? -1 : id == kMore ? 1 : 10; }
enum class Mode { line, weave, ruler };

constexpr double kGap_mm = 2.0;
constexpr double kSide_mm = 84.0;             // the column beside the picture
constexpr double kPortraitFigures_mm = 92.0;  // the part below it
constexpr double kFar_mm = 150.0;             // of an aim from the centre, to either side
constexpr double kHeightUMm = 0.4;            // standard uncertainty of a plane's height, as of the readings
constexpr double kTouchPx = 1.5;  // of the screen: how well a finger or a mouse points, standard uncertainty

bool inside(const SDL_FRect& r, SDL_FPoint p) { return p.x >= r.x && p.x < r.x + r.w && p.y >= r.y && p.y < r.y + r.h; }

class StraightenView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    pointed_.reset();
    start_over(desk);
  }
  void textures_lost() override { picture_.textures_lost(); }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Straight edge: lay the cloth by a fold, a seam or its weave");
    if (desk.health.stale || !desk.health.trouble.empty()) {
      h.headline = tr("No picture");
      h.sentence = desk.health.trouble.empty()
                       ? tr("No new picture has come for two seconds. Check the camera's cable.")
                       : tr(desk.health.trouble);
      h.mood = PageMood::bad;
    } else if (mode_ == Mode::ruler) {
      ruler_header(h);
    } else {
      line_header(desk, h);
    }
    return h;
  }

  std::vector<Button> row(const Desk&) const override {
    std::vector<Button> all{view_button(kLine, tr("Fold or seam"), SDLK_1), view_button(kWeave, tr("Weave"), SDLK_2),
                            view_button(kRuler, tr("Ruler"), SDLK_3)};
    all[static_cast<std::size_t>(mode_)].selected = true;
    return all;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    follow(sheet.desk);
    SDL_FRect live = sheet.layout.main, figures = live;
    const Scale& scale = sheet.layout.scale;
    const float gap = scale.mm(kGap_mm);
    if (sheet.layout.landscape) {
      figures.w = std::min(scale.mm(kSide_mm), 0.5F * live.w);
      live.w -= figures.w + gap;
      figures.x = live.x + live.w + gap;
    } else {
      figures.h = std::min(scale.mm(kPortraitFigures_mm), 0.5F * live.h);
      live.h -= figures.h + gap;
      figures.y = live.y + live.h + gap;
    }
    draw_live(sheet, live);
    return draw_figures(sheet, figures);
  }

  bool typed(const InputEvent& event, Desk& desk) override {
    if (event.kind == InputEvent::Kind::pointer_down) pressing_ = inside(live_, event.at);
    if (event.kind != InputEvent::Kind::pointer_up || !std::exchange(pressing_, false) || !inside(live_, event.at))
      return pressing_;
    touched(event.at, desk);
    return true;
  }

  void pressed(int id, Desk& desk) override {
    const Units units = desk.settings().units;
    switch (id) {
      case kLine:
      case kWeave:
      case kRuler:
        mode_ = id == kLine ? Mode::line : id == kWeave ? Mode::weave : Mode::ruler;
        return start_over(desk);
      case kSide:
        aim_.along = aim_.along == AlongSide::north ? AlongSide::east : AlongSide::north;
        aim_.distance_mm = 0.0;
        return average_.forget();
      case kLess10:
      case kLess:
      case kMore:
      case kMore10:
        aim_.distance_mm =
            std::clamp(stepped_mm(aim_.distance_mm, steps_of(id), true, LengthKind::guide, units), -kFar_mm, kFar_mm);
        if (std::abs(aim_.distance_mm) < 1e-6) aim_.distance_mm = 0.0;
        return;
      case kForget:
        pointed_.reset();
        return start_over(desk);
      case kPlane:
        on_board_ = !on_board_;
        return ruler_.forget();
      default:
        return;
    }
  }

 private:
  // ---- What is looked for

  void start_over(Desk& desk) {
    average_.forget();
    within_.forget();
    turn_.forget();
    slide_.forget();
    ruler_.forget();
    points_.clear();
    want(desk);
  }

  void want(Desk& desk) {
    if (mode_ == Mode::ruler) return desk.want_line(std::nullopt);
    LineWanted wanted;
    wanted.kind = mode_ == Mode::weave ? LookKind::weave : LookKind::line;
    wanted.near_mm = pointed_;
    wanted.pointings = ++pointings_;
    desk.want_line(wanted);
  }

  // Once a frame.
  void follow(const Desk& desk) {
    const std::optional<vision::FrameResult>& seen = desk.work().seen();
    if (seen) chooser_.update(desk.work().station(), *seen);
    const bool fresh = !desk.picture().empty();
    if (!fresh) return;
    if (mode_ == Mode::ruler) return measure(desk);
    average_.see(desk.line() ? against_aim(*desk.line(), aim_) : std::nullopt);
    if (!average_.now() || !desk.line()) {
      within_.forget();
      turn_.forget();
      return slide_.forget();
    }
    nudge_ = straighten_nudge(*average_.now(), aim_, desk.line()->board_from_hoop);
    vision::Reading off;
    off.rotation_deg = nudge_.turn_ccw_deg;
    off.offset_x_mm = nudge_.slide_mm;
    within_.update(off, desk.work().tolerance());
    shown_turn_ = turn_.show(nudge_.turn_ccw_deg);
    const Units units = desk.settings().units;
    if (units != slide_units_) slide_ = units == Units::inch ? SteadyNumber(2, 1e9, 2) : SteadyNumber();
    slide_units_ = units;
    shown_slide_ = slide_.show(in_units(nudge_.slide_mm, units));
  }

  // ---- What is said

  void line_header(const Desk& desk, PageHeader& h) const {
    if (!desk.line()) {
      h.headline = tr("Looking at the cloth");
      h.sentence = tr("Touch the fold or seam in the picture where several could be meant.");
      return;
    }
    const StraightenWords words = words_of(*desk.line());
    h.headline = words.headline;
    h.sentence = words.sentence;
    h.mood = words.found ? PageMood::plain : PageMood::bad;
    if (!average_.now()) return;
    const bool distance = average_.now()->distance_mm.has_value();
    h.headline = advice(shown_turn_, turn_.decimals(), distance ? std::optional(shown_slide_) : std::nullopt,
                        slide_.decimals(), nudge_.sideways, desk.settings().units);
    if (within_.both()) h.mood = PageMood::good;
  }

  void ruler_header(PageHeader& h) const {
    if (points_.empty()) {
      h.headline = tr("Touch two points");
      h.sentence = tr("Their distance is measured on the plane that is chosen.");
    } else if (points_.size() == 1) {
      h.headline = tr("Touch the second point");
      h.sentence = tr("The first is marked in the picture.");
    } else if (!ruler_.now()) {
      h.headline = tr("The board is not seen");
      h.sentence = tr("Uncover the board marks. Without them no length and no angle can be told.");
      h.mood = PageMood::bad;
    } else {
      h.headline = tr("Measured");
      h.sentence = tr("Touch anew to measure something else.");
    }
  }

  // ---- The picture

  cv::Rect2d wanted_part(const Desk& desk, cv::Size frame) {
    const cv::Rect2d all = chooser_.wanted(frame);
    const Work& work = desk.work();
    if (mode_ == Mode::ruler || !work.seen()) return all;
    const std::vector<cv::Point2d>& ring = work.seen()->outer_px.empty() ? work.kept_outer_px() : work.seen()->outer_px;
    if (ring.empty()) return part_.empty() ? all : part_;
    double left = 1e9, right = -1e9, top = 1e9, bottom = -1e9;
    for (const cv::Point2d& p : ring) {
      left = std::min(left, p.x), right = std::max(right, p.x);
      top = std::min(top, p.y), bottom = std::max(bottom, p.y);
    }
    const double pad = 0.08 * std::max(right - left, bottom - top);
    const cv::Rect2d now(left - pad, top - pad, right - left + 2.0 * pad, bottom - top + 2.0 * pad);
    const auto apart = [](double a, double b, double size) { return std::abs(a - b) > 0.06 * size; };
    if (part_.empty() || apart(now.x, part_.x, now.width) || apart(now.y, part_.y, now.height) ||
        apart(now.width, part_.width, now.width) || apart(now.height, part_.height, now.height))
      part_ = now;
    return part_;
  }

  void draw_live(Sheet& sheet, const SDL_FRect& area) {
    live_ = area;
    Canvas& canvas = sheet.canvas;
    const Desk& desk = sheet.desk;
    canvas.rect(area, theme::kPanel);
    const cv::Mat& grey = desk.picture();
    if (!grey.empty())
      picture_.upload(canvas.renderer(), grey,
                      fit_region(grey.size(), wanted_part(desk, grey.size()), chooser_.quarter_turns(), area));
    else
      picture_.lay_into(area);
    picture_.draw(canvas);
    if (picture_.empty() || desk.health.stale || !desk.health.trouble.empty() || !desk.work().seen()) return;
    canvas.clip(area);
    draw_rings(sheet);
    if (mode_ == Mode::ruler)
      draw_ruler(sheet);
    else if (desk.line())
      draw_line(sheet, *desk.line());
    canvas.unclip();
  }

  SDL_FPoint at(cv::Point2d image_px) const { return picture_.region().to_screen(image_px); }

  void draw_rings(const Sheet& sheet) const {
    const Work& work = sheet.desk.work();
    const vision::FrameResult& seen = *work.seen();
    const bool hidden = !seen.board_from_hoop;
    if (hidden && work.kept_inner_px().empty()) return;
    draw_kept_ring(sheet.canvas, sheet.layout.scale, picture_.region(), hidden ? work.kept_inner_px() : seen.inner_px,
                   hidden ? work.kept_outer_px() : seen.outer_px);
  }

  void stroke(const Sheet& sheet, cv::Point2d from_px, cv::Point2d to_px, double width_mm, Colour colour) const {
    const Scale& scale = sheet.layout.scale;
    sheet.canvas.line(at(from_px), at(to_px), scale.mm(width_mm) + scale.mm(0.5), theme::kHalo);
    sheet.canvas.line(at(from_px), at(to_px), scale.mm(width_mm), colour);
  }

  std::optional<vision::PlaneView> cloth(const Desk& desk, const vision::Pose2& board_from_hoop,
                                         double height_mm) const {
    const std::optional<vision::FrameResult>& seen = desk.work().seen();
    if (!seen || !seen->camera_from_board) return std::nullopt;
    return vision::PlaneView(desk.work().station().lens, *seen->camera_from_board, height_mm, board_from_hoop);
  }

  static double reach_mm(const vision::Hoop& hoop, AlongSide along) {
    double reach = 0.0;
    for (const cv::Point2d& p : hoop.inner_mm) reach = std::max(reach, std::abs(along == AlongSide::north ? p.x : p.y));
    return reach;
  }

  void draw_line(const Sheet& sheet, const LineSeen& seen) const {
    const Desk& desk = sheet.desk;
    if (!seen.hoop) return;
    const auto view = cloth(desk, seen.board_from_hoop, seen.cloth_height_mm);
    if (!view) return;
    const double reach = reach_mm(desk.work().hoop(), aim_.along), d = aim_.distance_mm;
    if (mode_ == Mode::line) {  // where it is to lie
      const bool level = aim_.along == AlongSide::north;
      const cv::Point2d from = level ? cv::Point2d(-reach, d) : cv::Point2d(d, -reach);
      const cv::Point2d to = level ? cv::Point2d(reach, d) : cv::Point2d(d, reach);
      const Scale& scale = sheet.layout.scale;
      sheet.canvas.dashed_line(at(view->image(from)), at(view->image(to)), scale.mm(0.9), scale.mm(2.0), theme::kHalo);
      sheet.canvas.dashed_line(at(view->image(from)), at(view->image(to)), scale.mm(0.5), scale.mm(2.0), theme::kText);
    }
    if (seen.kind == LookKind::weave) return draw_weave(sheet, seen, *view);
    const Colour colour = within_.both() ? theme::kWithin : theme::kMove;
    if (seen.line.line)
      stroke(sheet, seen.line.line->from_px, seen.line.line->to_px, 0.7,
             seen.line.status == vision::LineStatus::ok ? colour : theme::kTrouble);
    for (const vision::FoundLine& rival : seen.line.rivals)
      stroke(sheet, rival.from_px, rival.to_px, 0.6, theme::kTrouble);
  }

  // Some stripes about the middle, as they were read.
  void draw_weave(const Sheet& sheet, const LineSeen& seen, const vision::PlaneView& view) const {
    for (const std::optional<vision::WeaveDirection>* one : {&seen.weave.main, &seen.weave.cross}) {
      if (!*one) continue;
      const vision::WeaveDirection& w = **one;
      const double angle = w.angle_deg * vision::kRadPerDeg,
                   half = 0.6 * reach_mm(sheet.desk.work().hoop(), aim_.along);
      const cv::Point2d u(std::cos(angle), std::sin(angle)), n(-u.y, u.x);
      for (int k = -2; k <= 2; ++k) {
        const double off = w.distance_mm + k * w.period_mm;
        if (std::abs(off) > half) continue;
        stroke(sheet, view.image(off * n - half * u), view.image(off * n + half * u), 0.4,
               seen.weave.status != vision::WeaveStatus::ok ? theme::kTrouble
               : within_.turn()                             ? theme::kWithin
                                                            : theme::kMove);
      }
    }
  }

  void draw_ruler(const Sheet& sheet) const {
    const Scale& scale = sheet.layout.scale;
    if (points_.size() == 2) stroke(sheet, points_[0], points_[1], 0.5, theme::kMove);
    for (const cv::Point2d& p : points_) {
      const SDL_FPoint c = at(p);
      const float arm = scale.mm(2.5);
      for (const auto& [width, colour] : {std::pair(scale.mm(0.9), theme::kHalo), {scale.mm(0.4), theme::kMove}}) {
        sheet.canvas.line({c.x - arm, c.y}, {c.x + arm, c.y}, width, colour);
        sheet.canvas.line({c.x, c.y - arm}, {c.x, c.y + arm}, width, colour);
      }
    }
  }

  // ---- What a person points at

  void touched(SDL_FPoint at_screen, Desk& desk) {
    if (picture_.empty()) return;
    const cv::Point2d image = picture_.region().to_image(at_screen);
    if (mode_ == Mode::ruler) {
      if (points_.size() >= 2) points_.clear();
      points_.push_back(image);
      return ruler_.forget();
    }
    if (mode_ != Mode::line || !desk.line() || !desk.line()->hoop) return;
    const auto view = cloth(desk, desk.line()->board_from_hoop, desk.line()->cloth_height_mm);
    if (!view) return;
    pointed_ = view->plane(image);
    average_.forget();
    want(desk);
  }

  void measure(const Desk& desk) {
    const std::optional<vision::FrameResult>& seen = desk.work().seen();
    if (points_.size() < 2 || !seen || !seen->camera_from_board) return;
    const PictureRegion& region = picture_.region();
    const double image_per_screen = static_cast<double>(region.crop.width) /
                                    std::max(1, region.quarter_turns % 2 == 0 ? region.screen.w : region.screen.h);
    const RulerPoints points{points_[0], points_[1], std::hypot(0.3, kTouchPx * image_per_screen)};
    const double height = on_board_ ? 0.0 : desk.work().hoop().cloth_height_mm;
    ruler_.see(measured_between(desk.work().station().lens, *seen->camera_from_board, points,
                                {height, on_board_ ? 0.1 : kHeightUMm, 0.0005}));
  }

  // ---- The numbers

  struct Figure {
    std::string caption, value, uncertainty;
  };

  std::vector<Figure> figures_of(const Desk& desk) const {
    const Units units = desk.settings().units;
    std::vector<Figure> all;
    if (mode_ == Mode::ruler) {
      Figure distance{tr("Distance"), "-", ""}, angle{tr("Angle"), "-", ""};
      if (points_.size() == 2 && ruler_.now()) {
        const RulerReading& r = *ruler_.now();
        distance.value = length_text(r.distance_mm, LengthKind::fine, units);
        distance.uncertainty = length_uncertainty(r.u_distance_mm, units);
        if (r.distance_mm > 0.5) {
          angle.value = ruler_angle_words(r);
          angle.uncertainty = angle_uncertainty(r.u_angle_deg);
        }
      }
      return {distance, angle};
    }
    const bool top = aim_.along == AlongSide::north;
    Figure turn{top ? tr("The line against the top side") : tr("The line against the right side"), "-", ""};
    if (mode_ == Mode::weave)
      turn.caption = top ? tr("The stripes against the top side") : tr("The stripes against the right side");
    Figure distance{tr("Where it crosses the middle"), "-", ""};
    if (average_.now()) {
      turn.value = turn_off_words(average_.now()->turn_off_deg);
      turn.uncertainty = angle_uncertainty(average_.now()->u_turn_deg);
      if (average_.now()->distance_mm) {
        distance.value = distance_words(*average_.now()->distance_mm, aim_.along, units);
        distance.uncertainty = length_uncertainty(average_.now()->u_distance_mm, units);
      }
    }
    all.push_back(turn);
    if (mode_ == Mode::line) all.push_back(distance);
    if (mode_ == Mode::weave) {
      Figure period{tr("They repeat every"), "-", ""};
      if (average_.now() && desk.line() && desk.line()->weave.main) {
        period.value = length_text(desk.line()->weave.main->period_mm, LengthKind::fine, units);
        period.uncertainty = length_uncertainty(desk.line()->weave.main->u_period_mm, units);
      }
      all.push_back(period);
    }
    return all;
  }

  std::vector<Button> draw_figures(Sheet& sheet, const SDL_FRect& area) {
    const Scale& scale = sheet.layout.scale;
    const float gap = scale.mm(kGap_mm), touch = scale.mm(kTouch_mm);
    std::vector<Button> buttons = figure_buttons(sheet.desk);
    const bool two_rows = buttons.size() > 2;
    const float buttons_h = two_rows ? 2.0F * touch + gap : touch;
    const SDL_FRect top{area.x, area.y, area.w, area.h - buttons_h - gap};
    draw_numbers(sheet, top);
    const SDL_FRect lower{area.x, area.y + area.h - touch, area.w, touch};
    if (!two_rows) {
      place_in_row(buttons, lower, gap);
      return buttons;
    }
    // The side, which is long in words, and the point; below them the steps.
    const std::span<Button> all(buttons);
    const float upper = lower.y - touch - gap, point = 0.28F * area.w;
    all[0].area = {area.x, upper, area.w - point - gap, touch};
    all[1].area = {area.x + area.w - point, upper, point, touch};
    place_in_row(all.subspan(2), lower, gap);
    return buttons;
  }

  std::vector<Button> figure_buttons(const Desk& desk) const {
    const Units units = desk.settings().units;
    if (mode_ == Mode::ruler)
      return {view_button(kPlane, on_board_ ? tr("On the board") : tr("On the cloth"), SDLK_p),
              view_button(kForget, tr("Clear"), SDLK_c, !points_.empty())};
    if (mode_ == Mode::weave)
      return {view_button(kSide, aim_.along == AlongSide::north ? tr("Left to right") : tr("Up and down"), SDLK_s)};
    return {view_button(kSide, aim_words(aim_, units), SDLK_s),
            view_button(kForget, tr("Any line"), SDLK_c, pointed_.has_value()),
            view_button(kLess10, step_label(-10, true, LengthKind::guide, units)),
            view_button(kLess, step_label(-1, true, LengthKind::guide, units), SDLK_MINUS),
            view_button(kMore, step_label(1, true, LengthKind::guide, units), SDLK_PLUS),
            view_button(kMore10, step_label(10, true, LengthKind::guide, units))};
  }

  void draw_numbers(const Sheet& sheet, const SDL_FRect& area) const {
    const Scale& scale = sheet.layout.scale;
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const std::vector<Figure> all = figures_of(sheet.desk);
    const float pad = scale.mm(2.0), each = (area.h - pad) / static_cast<float>(all.size());
    const TextStyle caption{Weight::regular, scale.text_mm(2.0)};
    for (std::size_t i = 0; i < all.size(); ++i) {
      const float top = area.y + pad + static_cast<float>(i) * each, width = area.w - 2.0F * pad;
      const float left = area.x + pad;
      sheet.text.draw(sheet.text.fitted(caption, all[i].caption, 0.7F * width), {left, top + scale.mm(2.4)},
                      all[i].caption, theme::kTextQuiet);
      sheet.text.draw_right(caption, {left + width, top + scale.mm(2.4)}, all[i].uncertainty, theme::kTextQuiet);
      const float below = top + scale.mm(4.4);
      const double height = std::clamp(static_cast<double>((each - scale.mm(6.0)) / scale.mm(1.0)) * 0.5, 2.4, 5.0);
      draw_block(sheet.text, {Weight::bold, scale.text_mm(height)}, {left, below, width, top + each - below},
                 all[i].value, theme::kText);
    }
  }

  Mode mode_ = Mode::line;
  StraightenAim aim_;
  std::optional<cv::Point2d> pointed_;  // hoop frame, mm
  int pointings_ = 0;
  LineAverage average_;
  WithinTolerance within_;
  StraightenNudge nudge_;
  SteadyNumber turn_{1, 1e9, 1}, slide_;
  Units slide_units_ = Units::mm;
  double shown_turn_ = 0.0, shown_slide_ = 0.0;
  std::vector<cv::Point2d> points_;  // the ruler's, image px
  RulerAverage ruler_;
  bool on_board_ = false;
  RegionChooser chooser_;
  LivePicture picture_;
  cv::Rect2d part_;
  SDL_FRect live_{};
  bool pressing_ = false;
};

}  // namespace

std::unique_ptr<StationView> make_straighten_view() { return std::make_unique<StraightenView>(); }

}  // namespace app
