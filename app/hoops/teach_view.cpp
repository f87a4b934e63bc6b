#include "app/hoops/teach_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>

#include "app/format.h"
#include "app/hoops/hoop_words.h"
#include "app/hoops/teach_ids.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kDragMeant_mm = 1.0;  // less is a tap

// Whether the picture is turned on the screen so that the board's far side is up.
int turns_upright(const Teaching& teaching) {
  RegionChooser chooser;
  vision::FrameResult result;
  result.camera_from_board = teaching.frame().camera_from_board;
  chooser.update(teaching.station(), result);
  return chooser.quarter_turns();
}

// Where the catalogue has the field that was chosen; its end when nowhere.
std::size_t place_in(const Catalogue& catalogue, const Teaching& teaching) {
  const auto& sizes = catalogue.sizes();
  const auto found = std::find_if(sizes.begin(), sizes.end(), [&](const CommonSize& size) {
    return !teaching.words().field_mm.empty() && size.field_mm == teaching.field_mm() &&
           size.field_is_round == teaching.field_is_round();
  });
  return static_cast<std::size_t>(found - sizes.begin());
}

}  // namespace

TeachView::TeachView(Teaching& teaching, const Catalogue& catalogue)
    : teaching_(teaching),
      catalogue_(catalogue),
      size_(place_in(catalogue, teaching)),
      name_(teaching.words().name),
      quarter_turns_(turns_upright(teaching)) {}

void TeachView::textures_lost() {
  picture_.textures_lost();
  loupe_.textures_lost();
  uploaded_ = {};
}

void TeachView::go_to(TeachPage page) {
  page_ = page;
  drag_.reset();
  handles_.clear();
}

bool TeachView::may_go_on() const {
  if (page_ == TeachPage::notches)
    return std::all_of(vision::kSides.begin(), vision::kSides.end(),
                       [&](vision::Side side) { return teaching_.notch_is_known(side); });
  if (page_ == TeachPage::north)
    return teaching_.words().north_by != vision::NorthBy::taught || calib::north_can_be_told(teaching_.ring());
  if (page_ == TeachPage::field) return teaching_.missing(false).empty();
  if (page_ == TeachPage::name) return teaching_.missing().empty();
  return true;
}

PageHeader TeachView::header() const {
  PageHeader h;
  h.title = tr("Teach a hoop");
  h.right = format(tr("%d of %d"), static_cast<int>(page_) + 1, kTeachPages);
  const std::vector<std::string> missing = may_go_on() ? std::vector<std::string>() : teaching_.missing(false);
  switch (page_) {
    case TeachPage::outlines:
      h.headline = tr("Do both lines lie on the ring?");
      h.sentence =
          tr("The inner line on the opening's edge, the outer one on the gap between the rings. Drag a knob where one "
             "does not.");
      break;
    case TeachPage::notches:
      h.headline = may_go_on() ? tr("Do the letters point at the notches?") : tr("Show the missing notches");
      h.sentence = tr("Drag a letter until its line ends at its notch; near a groove it snaps to it.");
      break;
    case TeachPage::north:
      h.headline = tr("Which side is north?");
      h.sentence = tr("Touch the letter at the side that the machine shows as the top of its field.");
      if (!missing.empty()) h.sentence = missing.front();
      break;
    case TeachPage::rim:
      h.headline = tr("How high is the rim?");
      h.sentence = tr("Stand a ruler on the board beside the rings, and read it at the top of the rim.");
      break;
    case TeachPage::field:
      h.headline = tr("How large is the field?");
      h.sentence = tr("The area that the machine sews in this hoop. Its manual has the last word.");
      if (!missing.empty()) h.mood = PageMood::bad, h.sentence = missing.front();
      break;
    case TeachPage::name:
      h.headline = name_.text().empty() ? tr("What is the hoop called?") : name_.text() + "_";
      h.sentence =
          may_go_on() || name_.text().empty() ? tr("Type what is printed on it.") : teaching_.missing().front();
      break;
  }
  return h;
}

std::vector<Button> TeachView::column_buttons() const {
  Button next = teach_button(TeachId::next, page_ == TeachPage::name ? tr("Keep it") : tr("Yes, go on"));
  if (page_ == TeachPage::rim || page_ == TeachPage::field || page_ == TeachPage::north) next.label = tr("Go on");
  next.main = true;
  next.enabled = may_go_on();
  Button undo = teach_button(TeachId::undo, tr("Take back"));
  undo.enabled = teaching_.can_undo();
  std::vector<Button> column{next};
  if (page_ == TeachPage::rim || page_ == TeachPage::field)
    column.push_back(teach_button(TeachId::unit, unit_ == Units::mm ? tr("Show inches") : tr("Show mm")));
  column.push_back(undo);
  column.push_back(teach_button(TeachId::back, tr("Back")));
  return column;
}

void TeachView::draw(Canvas& canvas, Text& text, cv::Size screen) {
  std::vector<Button> buttons = column_buttons();
  const bool keyboard = page_ == TeachPage::name;
  const PageLayout layout = page_layout(screen.width, screen.height, keyboard ? 0 : static_cast<int>(buttons.size()));
  scale_ = layout.scale;
  canvas.clear(theme::kGround);
  draw_header(canvas, text, layout, header());
  handles_.clear();
  if (!keyboard) buttons = placed(std::move(buttons), layout);
  switch (page_) {
    case TeachPage::outlines:
    case TeachPage::notches:
    case TeachPage::north:
      draw_ring_page(canvas, text, layout, buttons);
      break;
    case TeachPage::rim:
      draw_rim_page(canvas, text, layout, buttons);
      break;
    case TeachPage::field:
      draw_field_page(canvas, text, layout, buttons);
      break;
    case TeachPage::name:
      draw_name_page(canvas, text, layout, buttons);
      break;
  }
  buttons_.set(std::move(buttons));
  buttons_.draw(canvas, text, layout.scale);
}

std::optional<TeachWish> TeachView::one_back() {
  if (page_ == TeachPage::outlines) return TeachWish::leave;
  go_to(static_cast<TeachPage>(static_cast<int>(page_) - 1));
  return std::nullopt;
}

void TeachView::step_field(int id) {
  const cv::Size2d now = teaching_.field_mm();
  const bool is_round = teaching_.field_is_round();
  cv::Size2d field = now;
  if (const auto step = field_step(id)) {
    double& side = step->height ? field.height : field.width;
    side = stepped_mm(side, step->steps, step->coarse, LengthKind::field, unit_);
  } else {
    const std::size_t count = catalogue_.sizes().size();
    if (id == static_cast<int>(TeachId::size_next)) size_ = size_ + 1 < count ? size_ + 1 : 0;
    if (id == static_cast<int>(TeachId::size_before)) size_ = size_ == 0 || size_ >= count ? count - 1 : size_ - 1;
    const CommonSize& size = catalogue_.sizes()[size_];
    return teaching_.set_field(size.field_mm, size.field_is_round);
  }
  teaching_.set_field(field, is_round);
  size_ = place_in(catalogue_, teaching_);
}

std::optional<TeachWish> TeachView::press(int id) {
  if (const auto letter = key_letter(id, capitals_)) {
    name_.type(*letter);
    capitals_ = false;
    teaching_.set_name(name_.text());
    return std::nullopt;
  }
  if (const auto step = rim_step(id)) {
    const double mm = stepped_mm(step->height ? teaching_.rim_height_mm() : teaching_.words().cloth_height_mm,
                                 step->steps, step->coarse, LengthKind::height, unit_);
    step->height ? teaching_.set_rim_height(mm) : teaching_.set_cloth_height(mm);
    return std::nullopt;
  }
  switch (static_cast<TeachId>(id)) {
    case TeachId::next:
      if (page_ == TeachPage::name) return TeachWish::save;
      go_to(static_cast<TeachPage>(static_cast<int>(page_) + 1));
      break;
    case TeachId::back:
      return one_back();
    case TeachId::undo:
      teaching_.undo();
      name_ = NameEntry(teaching_.words().name);
      size_ = place_in(catalogue_, teaching_);
      break;
    case TeachId::unit:
      unit_ = unit_ == Units::mm ? Units::inch : Units::mm;
      break;
    case TeachId::by_notches:
      teaching_.set_north_by(vision::NorthBy::taught);
      break;
    case TeachId::by_mark:
      teaching_.set_north_by(vision::NorthBy::mark, teaching_.words().north_mark);
      break;
    case TeachId::by_fixture:
      teaching_.set_north_by(vision::NorthBy::fixture);
      break;
    case TeachId::mark_less:
    case TeachId::mark_more:
      teaching_.set_north_by(vision::NorthBy::mark,
                             teaching_.words().north_mark + (id == static_cast<int>(TeachId::mark_more) ? 1 : -1));
      break;
    case TeachId::use_found:
      if (const auto found = teaching_.found_height())
        teaching_.set_rim_height(found->height_mm, TeachingWords::Height::measured);
      break;
    case TeachId::shift:
      capitals_ = !capitals_;
      break;
    case TeachId::space:
      name_.type(" ");
      capitals_ = false;
      teaching_.set_name(name_.text());
      break;
    case TeachId::erase:
      name_.erase_last();
      teaching_.set_name(name_.text());
      break;
    default:
      step_field(id);
      break;
  }
  return std::nullopt;
}

bool TeachView::handle_knobs(const InputEvent& event) {
  using Kind = InputEvent::Kind;
  if (event.kind == Kind::pointer_down && buttons_.hit(event.at) == nullptr) {
    if (const auto hit = hit_handle(handles_, event.at, scale_.mm(kTouch_mm / 2.0)))
      drag_.emplace(handles_[*hit], event.at);
    return drag_.has_value();
  }
  if (!drag_) return false;
  if (event.kind == Kind::pointer_move && page_ != TeachPage::north) drag_->move(event.at);
  if (event.kind != Kind::pointer_up) return event.kind == Kind::pointer_move;
  const HandleDrag drag = *drag_;
  drag_.reset();
  const auto side = vision::kSides[drag.handle().number % 4];
  if (page_ == TeachPage::north) {
    teaching_.set_north(side);
  } else if (drag.meant(scale_.mm(kDragMeant_mm))) {
    const cv::Point2d at_px = region_.to_image(drag.point());
    if (drag.handle().kind == Handle::Kind::notch)
      teaching_.put_notch(side, at_px);
    else
      teaching_.drag_outline(drag.handle().kind == Handle::Kind::inner, at_px);
  }
  return true;
}

std::optional<TeachWish> TeachView::handle(const InputEvent& event) {
  if (handle_knobs(event)) return std::nullopt;
  if (event.kind == InputEvent::Kind::text) {
    if (page_ != TeachPage::name) return std::nullopt;
    name_.type(event.text);
    teaching_.set_name(name_.text());
    return std::nullopt;
  }
  if (event.kind == InputEvent::Kind::key) {
    if (event.key == SDLK_ESCAPE) return one_back();
    if (page_ == TeachPage::name) {
      if (event.key == SDLK_BACKSPACE) return press(static_cast<int>(TeachId::erase));
      // Letters and the space bar come as text.
      if (event.key != SDLK_RETURN && event.key != SDLK_KP_ENTER && event.key != SDLK_TAB) return std::nullopt;
    }
  }
  const auto id = buttons_.handle(event);
  return id ? press(*id) : std::nullopt;
}

}  // namespace app
