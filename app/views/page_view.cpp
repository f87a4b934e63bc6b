#include "app/views/page_view.h"

#include <algorithm>
#include <utility>

#include "app/screen/text_block.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kMargin_mm = 2.5;
constexpr double kHeader_mm = 21.0;
constexpr double kTallHeader_mm = 33.0;
constexpr double kPortraitTallHeader_mm = 40.0;
constexpr double kBackWidth_mm = 34.0;
constexpr double kPortraitBackWidth_mm = 25.0;

}  // namespace

ViewLayout view_layout(cv::Size screen, bool sentence) {
  ViewLayout l;
  l.scale = Scale(screen.width, screen.height);
  l.landscape = screen.height <= screen.width;
  const auto w = static_cast<float>(screen.width), h = static_cast<float>(screen.height);
  const float margin = l.scale.mm(kMargin_mm), touch = l.scale.mm(kTouch_mm);
  const double header = !sentence ? kHeader_mm : l.landscape ? kTallHeader_mm : kPortraitTallHeader_mm;
  l.header = {margin, margin, w - 2.0F * margin, l.scale.mm(header)};
  l.back = {margin, h - margin - touch, l.scale.mm(l.landscape ? kBackWidth_mm : kPortraitBackWidth_mm), touch};
  const float left = l.back.x + l.back.w + margin;
  l.row = {left, l.back.y, w - margin - left, touch};
  const float top = l.header.y + l.header.h + margin;
  l.main = {margin, top, w - 2.0F * margin, l.back.y - margin - top};
  return l;
}

Button view_button(int id, std::string label, SDL_Keycode key, bool enabled) {
  Button b;
  b.id = id;
  b.label = std::move(label);
  b.key = key;
  b.enabled = enabled;
  return b;
}

void PageView::go(Desk& desk) {
  if (!go_back(desk)) desk.back();
}

bool PageView::go_back(Desk&) { return std::exchange(question_, std::nullopt).has_value(); }

void PageView::handle(const InputEvent& event, Desk& desk) {
  if (!question_ && typed(event, desk)) return;
  const auto id = question_ ? buttons_.handle(event) : list_.handle(event, buttons_);
  if (!id) return;
  if (*id == kBack) return go(desk);
  if (!question_) return pressed(*id, desk);
  const ViewQuestion asked = *std::exchange(question_, std::nullopt);
  asked.on_yes(desk);
}

void PageView::draw(Canvas& canvas, Text& text, cv::Size screen, const Desk& desk, double now_s) {
  about_to_draw(desk);
  PageHeader head = header(desk);
  if (question_) {
    head.headline = question_->headline;
    head.sentence = question_->sentence;
    head.mood = PageMood::bad;
  }
  const ViewLayout layout = view_layout(screen, !head.sentence.empty());
  canvas.clear(theme::kGround);
  PageLayout page;
  page.scale = layout.scale;
  page.header = layout.header;
  draw_header(canvas, text, page, head);
  Sheet sheet{canvas, text, layout, desk, now_s};
  std::vector<Button> all;
  if (!question_) all = draw_main(sheet);
  Button back = view_button(kBack, tr("Back"));
  back.area = layout.back;
  std::vector<Button> others = question_ ? std::vector{view_button(kYes, question_->yes)} : row(desk);
  SDL_FRect place = layout.row;
  if (question_) {  // far from where the finger was
    place.w = std::min(place.w, layout.scale.mm(60.0));
    place.x = layout.row.x + layout.row.w - place.w;
  }
  place_in_row(others, place, layout.scale.mm(kMargin_mm));
  all.push_back(back);
  all.insert(all.end(), others.begin(), others.end());
  buttons_.set(std::move(all));
  buttons_.draw(canvas, text, layout.scale);
  if (question_) return;
  // A page without the list may follow one with it.
  const auto& drawn = buttons_.all();
  if (std::any_of(drawn.begin(), drawn.end(), [](const Button& one) { return one.id == TouchList::kUp; }))
    list_.draw_over(canvas, text, layout.scale);
  draw_over(sheet);
}

void draw_nothing(Canvas& canvas, Text& text, const ViewLayout& layout, const SDL_FRect& area,
                  const std::string& words) {
  const Scale& scale = layout.scale;
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(4.0);
  draw_block(text, {Weight::regular, scale.text_mm(3.6)},
             {area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad}, words, theme::kText);
}

}  // namespace app
