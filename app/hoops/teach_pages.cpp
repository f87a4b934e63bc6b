// The pages of TeachView, drawn.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "app/format.h"
#include "app/hoops/hoop_words.h"
#include "app/hoops/teach_drawings.h"
#include "app/hoops/teach_ids.h"
#include "app/hoops/teach_view.h"
#include "app/screen/text_block.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kGap_mm = 2.5;
constexpr double kKnob_mm = 4.6;          // radius
constexpr double kAway_mm = 9.0;          // from point to knob
constexpr double kCaption_mm = 7.6;       // over a stepper
constexpr double kLoupe_mm_per_mm = 3.0;  // on the screen against the picture

SDL_FRect take_top(SDL_FRect& area, float height, float gap) {
  const SDL_FRect top{area.x, area.y, area.w, height};
  area.y += height + gap;
  area.h -= height + gap;
  return top;
}

SDL_FRect take_left(SDL_FRect& area, float width, float gap) {
  const SDL_FRect left{area.x, area.y, width, area.h};
  area.x += width + gap;
  area.w -= width + gap;
  return left;
}

cv::Rect2d bounds(const std::vector<cv::Point2d>& points) {
  if (points.empty()) return {};
  cv::Point2d least = points.front(), most = points.front();
  for (const cv::Point2d& p : points) {
    least = {std::min(least.x, p.x), std::min(least.y, p.y)};
    most = {std::max(most.x, p.x), std::max(most.y, p.y)};
  }
  return {least, most};
}

// The points as large as they fit into the area with `margin` px of the screen around them.
PictureRegion region_around(cv::Size frame, const std::vector<cv::Point2d>& points, int quarter_turns,
                            const SDL_FRect& area, float margin) {
  const cv::Rect2d inside = bounds(points);
  const bool sideways = (quarter_turns & 1) != 0;
  const double across = sideways ? inside.height : inside.width, down = sideways ? inside.width : inside.height;
  const auto room = [margin](float side) { return std::max(10.0, static_cast<double>(side - 2.0F * margin)); };
  const double px_per_px = std::max(across / room(area.w), down / room(area.h));
  const cv::Point2d more(px_per_px * margin, px_per_px * margin);
  return fit_region(frame, {inside.tl() - more, inside.br() + more}, quarter_turns, area);
}

bool same(const PictureRegion& a, const PictureRegion& b) {
  return a.crop == b.crop && a.quarter_turns == b.quarter_turns && SDL_RectEquals(&a.screen, &b.screen) == SDL_TRUE;
}

// Caption and value above, down and up below them: coarse outside, fine inside.
void stepper(Text& text, const Scale& scale, SDL_FRect row, const std::string& caption, const std::string& value,
             int group, bool height, LengthKind kind, Units unit, bool coarse, std::vector<Button>& buttons) {
  const SDL_FRect words = take_top(row, scale.mm(kCaption_mm), 0.0F);
  const TextStyle large{Weight::bold, scale.text_mm(4.6)};
  const float base = words.y + scale.mm(5.4);
  const float used = text.draw_right(large, {words.x + words.w, base}, value, theme::kText);
  const TextStyle small = text.fitted({Weight::regular, scale.text_mm(2.7)}, caption, words.w - used - scale.mm(2.0));
  text.draw(small, {words.x, base}, caption, theme::kTextQuiet);
  std::vector<NumberStep> steps{{height, -1, true}, {height, -1, false}, {height, 1, false}, {height, 1, true}};
  if (!coarse) steps = {{height, -1, false}, {height, 1, false}};
  std::vector<Button> own(steps.size());
  for (std::size_t i = 0; i < steps.size(); ++i) {
    own[i].id = step_id(group, steps[i]);
    own[i].label = step_label(steps[i].steps, steps[i].coarse, kind, unit);
  }
  place_in_row(own, row, scale.mm(kGap_mm));
  buttons.insert(buttons.end(), own.begin(), own.end());
}

constexpr double kStepper_mm = kCaption_mm + kTouch_mm;

}  // namespace

void TeachView::draw_picture(Canvas& canvas, const SDL_FRect& area, const Scale& scale, double margin_mm) {
  canvas.rect(area, theme::kPanel);
  const cv::Mat& grey = teaching_.frame().grey;
  region_ = region_around(grey.size(), teaching_.picture().outer_px, quarter_turns_, area, scale.mm(margin_mm));
  if (!same(region_, uploaded_) || picture_.empty()) {
    picture_.upload(canvas.renderer(), grey, region_);
    uploaded_ = region_;
  }
  picture_.draw(canvas);
  draw_outlines(canvas, scale, region_);
}

void TeachView::draw_outlines(Canvas& canvas, const Scale& scale, const PictureRegion& region) const {
  canvas.clip({static_cast<float>(region.screen.x), static_cast<float>(region.screen.y),
               static_cast<float>(region.screen.w), static_cast<float>(region.screen.h)});
  for (const auto* outline : {&teaching_.picture().inner_px, &teaching_.picture().outer_px}) {
    std::vector<SDL_FPoint> points;
    for (const cv::Point2d& p : *outline) points.push_back(region.to_screen(p));
    canvas.polyline(points, true, scale.mm(0.9), theme::kHalo);
    canvas.polyline(points, true, scale.mm(0.35), theme::kRing);
  }
  canvas.unclip();
}

void TeachView::draw_knobs(Canvas& canvas, Text& text, const Scale& scale) const {
  constexpr std::array<const char*, 4> kLetters{noop("N"), noop("E"), noop("S"), noop("W")};
  const float radius = scale.mm(kKnob_mm);
  for (const Handle& handle : handles_) {
    const bool held = drag_ && drag_->handle().kind == handle.kind && drag_->handle().number == handle.number;
    const SDL_FPoint point = held ? drag_->point() : handle.point;
    const SDL_FPoint knob = held ? drag_->knob() : handle.knob;
    const bool notch = handle.kind == Handle::Kind::notch;
    const bool known = !notch || teaching_.notch_is_known(vision::kSides[handle.number]);
    const bool north = notch && handle.number == 0;
    const Colour colour = !known ? theme::kTrouble : north ? theme::kText : notch ? theme::kMove : theme::kRing;
    canvas.line(knob, point, scale.mm(1.2), theme::kHalo);
    canvas.line(knob, point, scale.mm(0.5), colour);
    if (notch) canvas.circle(point, scale.mm(1.5), scale.mm(0.4), colour);
    const float r = notch ? radius : 0.7F * radius;
    canvas.disc(knob, r, colour);
    if (!north) canvas.disc(knob, r - scale.mm(0.6), theme::kGround);
    if (!notch) {
      canvas.disc(knob, 0.3F * r, colour);
      continue;
    }
    const TextStyle letter{Weight::bold, scale.text_mm(3.4)};
    const std::string word = std::string(tr(kLetters[handle.number])) + (known ? "" : "?");
    text.draw_centred(letter, {knob.x, knob.y + static_cast<float>(letter.height_px) / 2.0F}, word,
                      north ? theme::kGround : colour);
  }
}

// What is under the finger, larger, or what to look at.
void TeachView::draw_loupe(Canvas& canvas, Text& text, const PageLayout& layout) {
  const Scale& scale = layout.scale;
  SDL_FRect area = layout.side;
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  if (!drag_ || page_ == TeachPage::north) {
    std::vector<std::string> lines;
    for (const std::string& doubt : teaching_.ring().doubts) lines.push_back(tr(doubt));
    if (lines.empty()) {
      const cv::Size2d opening = opening_mm(teaching_.ring().hoop);
      lines.push_back(format(tr("%s, %s x %s mm inside"), tr(calib::name(teaching_.ring().shape)),
                             number(opening.width, 1), number(opening.height, 1)));
      if (page_ == TeachPage::north)
        lines.emplace_back(teaching_.ring().north_certain ? tr("Its doubled notch tells north.")
                                                          : tr("No doubled notch was found."));
      else
        lines.emplace_back(tr("While you drag, this shows the place larger."));
    }
    const float pad = scale.mm(3.0);
    draw_paragraphs(text, {Weight::regular, scale.text_mm(2.7)},
                    {area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad}, lines, scale.mm(1.8),
                    theme::kText);
    return;
  }
  const SDL_FPoint at = drag_->point();
  const cv::Point2d centre = region_.to_image(at);
  const double zoom = static_cast<double>(region_.screen.w) /
                      ((region_.quarter_turns & 1) != 0 ? region_.crop.height : region_.crop.width);
  const double half_w = area.w / zoom / kLoupe_mm_per_mm / 2.0, half_h = area.h / zoom / kLoupe_mm_per_mm / 2.0;
  const bool sideways = (quarter_turns_ & 1) != 0;
  const cv::Point2d half = sideways ? cv::Point2d(half_h, half_w) : cv::Point2d(half_w, half_h);
  const cv::Mat& grey = teaching_.frame().grey;
  const cv::Rect2d inside = cv::Rect2d(centre - half, centre + half) & cv::Rect2d(0.0, 0.0, grey.cols, grey.rows);
  if (inside.width < 4.0 || inside.height < 4.0) return;
  loupe_.upload(canvas.renderer(), grey, fit_region(grey.size(), inside, quarter_turns_, area));
  loupe_.draw(canvas);
  draw_outlines(canvas, scale, loupe_.region());
  const SDL_FPoint middle = loupe_.region().to_screen(centre);
  const float arm = scale.mm(4.0), hole = scale.mm(1.0);
  for (const auto& [dx, dy] : {std::pair{1.0F, 0.0F}, {-1.0F, 0.0F}, {0.0F, 1.0F}, {0.0F, -1.0F}})
    canvas.line({middle.x + dx * hole, middle.y + dy * hole}, {middle.x + dx * arm, middle.y + dy * arm}, scale.mm(0.5),
                theme::kMove);
}

void TeachView::draw_ring_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons) {
  const Scale& scale = layout.scale;
  const float gap = scale.mm(kGap_mm);
  SDL_FRect area = layout.main;
  if (page_ == TeachPage::north) {
    SDL_FRect row{area.x, area.y + area.h - scale.mm(kTouch_mm), area.w, scale.mm(kTouch_mm)};
    area.h -= row.h + gap;
    const TeachingWords& words = teaching_.words();
    std::array<Button, 3> how{teach_button(TeachId::by_notches, tr("By its notches")),
                              teach_button(TeachId::by_mark, format(tr("North mark %d"), words.north_mark)),
                              teach_button(TeachId::by_fixture, tr("By the fixture"))};
    how[0].selected = words.north_by == vision::NorthBy::taught;
    how[0].enabled = calib::north_can_be_told(teaching_.ring());
    how[1].selected = words.north_by == vision::NorthBy::mark;
    how[2].selected = words.north_by == vision::NorthBy::fixture;
    if (how[1].selected) {
      std::array<Button, 2> steps{teach_button(TeachId::mark_less, "\u2212"), teach_button(TeachId::mark_more, "+")};
      const float touch = scale.mm(kTouch_mm);
      SDL_FRect end{row.x + row.w - 2.0F * touch - gap / 2.0F, row.y, 2.0F * touch + gap / 2.0F, row.h};
      row.w -= end.w + gap;
      place_in_row(steps, end, gap / 2.0F);
      buttons.insert(buttons.end(), steps.begin(), steps.end());
    }
    place_in_row(how, row, gap);
    buttons.insert(buttons.end(), how.begin(), how.end());
  }
  draw_picture(canvas, area, scale, kAway_mm + kKnob_mm + 1.0);
  const float away = scale.mm(kAway_mm);
  handles_ = page_ == TeachPage::outlines ? outline_handles(teaching_.picture(), region_, away)
                                          : notch_handles(teaching_.picture(), region_, away);
  canvas.clip(area);
  draw_knobs(canvas, text, scale);
  canvas.unclip();
  draw_loupe(canvas, text, layout);
}

void TeachView::draw_rim_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons) {
  const Scale& scale = layout.scale;
  const float gap = scale.mm(kGap_mm);
  SDL_FRect area = layout.main;
  const float numbers = std::max(0.52F * area.w, scale.mm(4.0 * kTouch_mm + 26.0));
  const SDL_FRect drawing = take_left(area, area.w - numbers - gap, gap);
  const double rim_mm = teaching_.rim_height_mm();
  draw_rim_measure(canvas, text, scale, drawing, length_text(rim_mm, LengthKind::height, unit_));
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(3.0);
  SDL_FRect rows{area.x + pad, area.y + scale.mm(2.0), area.w - 2.0F * pad, area.h - 2.0F * scale.mm(2.0)};
  stepper(text, scale, take_top(rows, scale.mm(kStepper_mm), gap), tr("Top of the rim over the board"),
          length_text(rim_mm, LengthKind::height, unit_), kRimSteps, true, LengthKind::height, unit_, true, buttons);
  stepper(text, scale, take_top(rows, scale.mm(kStepper_mm), gap), tr("Cloth below the ring, later"),
          length_text(teaching_.words().cloth_height_mm, LengthKind::height, unit_), kRimSteps, false,
          LengthKind::height, unit_, false, buttons);
  const auto found = teaching_.found_height();
  std::string words = tr("The rim's height is not known from the pictures: they need the hoop at two places or more.");
  if (found && found->fault == calib::HeightFault::none) {
    const double gap_mm = std::abs(found->height_mm - rim_mm);
    const bool used = teaching_.words().height == TeachingWords::Height::measured && gap_mm < 1e-6;
    Button use = teach_button(TeachId::use_found, format(tr("From the pictures: %s"),
                                                         length_text(found->height_mm, LengthKind::height, unit_)));
    use.selected = used;
    use.area = take_top(rows, scale.mm(kTouch_mm), scale.mm(1.5));
    buttons.push_back(use);
    words = format(tr("Sure to %s."), length_text(2.0 * found->u_mm, LengthKind::height, unit_)) + " " +
            (teaching_.words().height == TeachingWords::Height::typed
                 ? calib::compare_heights(*found, rim_mm).sentence
                 : std::string(tr("A ruler is worth a look all the same.")));
  } else if (found) {
    words = tr(calib::sentence(found->fault));
  }
  if (rows.h > scale.mm(4.0)) draw_block(text, {Weight::regular, scale.text_mm(2.7)}, rows, words, theme::kText);
}

void TeachView::draw_field_page(Canvas& canvas, Text& text, const PageLayout& layout, std::vector<Button>& buttons) {
  const Scale& scale = layout.scale;
  const float gap = scale.mm(kGap_mm), touch = scale.mm(kTouch_mm);
  SDL_FRect area = layout.main;
  const float numbers = std::max(0.52F * area.w, scale.mm(4.0 * kTouch_mm + 26.0));
  const SDL_FRect picture = take_left(area, area.w - numbers - gap, gap);
  draw_picture(canvas, picture, scale, 4.0);
  const cv::Size2d field = teaching_.field_mm();
  const bool is_round = teaching_.field_is_round();
  std::vector<SDL_FPoint> points;
  const vision::Pose2& pose = teaching_.ring().board_from_hoop;
  const auto add = [&](cv::Point2d p_in_hoop) {
    const cv::Point2d p = vision::apply(pose, p_in_hoop);
    points.push_back(region_.to_screen(
        vision::image_from_board(teaching_.station().lens, teaching_.frame().camera_from_board, {p.x, p.y, 0.0})));
  };
  constexpr int kSteps = 96;
  for (int i = 0; i < kSteps && is_round; ++i) {
    const double angle = 2.0 * vision::kPi * i / kSteps;
    add({0.5 * field.width * std::cos(angle), 0.5 * field.height * std::sin(angle)});
  }
  if (!is_round)
    for (const cv::Point2d corner : {cv::Point2d(1, 1), cv::Point2d(-1, 1), cv::Point2d(-1, -1), cv::Point2d(1, -1)})
      add({0.5 * field.width * corner.x, 0.5 * field.height * corner.y});
  canvas.clip(picture);
  canvas.polyline(points, true, scale.mm(1.0), theme::kHalo);
  canvas.polyline(points, true, scale.mm(0.5), theme::kMove);
  canvas.unclip();

  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(3.0);
  SDL_FRect rows{area.x + pad, area.y + scale.mm(2.0), area.w - 2.0F * pad, area.h - 2.0F * scale.mm(2.0)};
  const SDL_FRect chooser = take_top(rows, touch, gap);
  Button before = teach_button(TeachId::size_before, "<"), next = teach_button(TeachId::size_next, ">");
  before.area = {chooser.x, chooser.y, touch, touch};
  next.area = {chooser.x + chooser.w - touch, chooser.y, touch, touch};
  buttons.push_back(before);
  buttons.push_back(next);
  const bool known = size_ < catalogue_.sizes().size();
  const std::string name = known ? catalogue_.sizes()[size_].name : tr("its own size");
  const std::string source = known                                ? tr(catalogue_.sizes()[size_].source)
                             : teaching_.words().field_mm.empty() ? tr("suggested from the opening")
                                                                  : tr("as stepped here");
  const float middle = chooser.x + chooser.w / 2.0F, room = chooser.w - 2.0F * touch - gap;
  const TextStyle large = text.fitted({Weight::bold, scale.text_mm(3.6)}, name, room);
  const TextStyle small = text.fitted({Weight::regular, scale.text_mm(2.3)}, source, room);
  text.draw_centred(large, {middle, chooser.y + 0.46F * touch}, name, theme::kText);
  text.draw_centred(small, {middle, chooser.y + 0.86F * touch}, source, theme::kTextQuiet);
  stepper(text, scale, take_top(rows, scale.mm(kStepper_mm), gap),
          is_round ? tr("Diameter") : tr("Width, west to east"), length_text(field.width, LengthKind::field, unit_),
          kFieldSteps, false, LengthKind::field, unit_, true, buttons);
  if (!is_round)
    stepper(text, scale, take_top(rows, scale.mm(kStepper_mm), gap), tr("Height, south to north"),
            length_text(field.height, LengthKind::field, unit_), kFieldSteps, true, LengthKind::field, unit_, true,
            buttons);
  if (const std::string doubt = doubt_of_field(field, is_round, opening_mm(teaching_.ring().hoop));
      !doubt.empty() && rows.h > scale.mm(4.0))
    draw_block(text, {Weight::regular, scale.text_mm(2.7)}, rows, doubt, theme::kTrouble);
}

void TeachView::draw_name_page(Canvas&, Text&, const PageLayout& layout, std::vector<Button>& buttons) {
  const Scale& scale = layout.scale;
  const float gap = scale.mm(1.5);
  const float width = layout.header.w;
  const auto rows = keyboard_rows(capitals_);
  SDL_FRect area{layout.header.x, layout.header.y + layout.header.h + scale.mm(kGap_mm), width, 0.0F};
  area.h = layout.main.y + layout.main.h - area.y;
  const float height = std::min(scale.mm(kTouch_mm + 4.0), (area.h - 4.0F * gap) / 5.0F);
  std::vector<Button> actions;
  std::swap(actions, buttons);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    std::vector<Button> keys(rows[r].size());
    for (std::size_t c = 0; c < keys.size(); ++c) {
      keys[c].id = key_id(r, c);
      keys[c].label = rows[r][c];
    }
    place_in_row(keys, take_top(area, height, gap), gap);
    buttons.insert(buttons.end(), keys.begin(), keys.end());
  }
  // Back, undo, capitals, space, delete, keep.
  std::vector<Button> last{actions[2],
                           actions[1],
                           teach_button(TeachId::shift, capitals_ ? "abc" : "ABC"),
                           teach_button(TeachId::space, tr("Space")),
                           teach_button(TeachId::erase, tr("Delete")),
                           actions[0]};
  place_in_row(last, take_top(area, height, gap), gap);
  buttons.insert(buttons.end(), last.begin(), last.end());
}

}  // namespace app
