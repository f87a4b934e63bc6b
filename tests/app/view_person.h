// A person at the station's views, drawn into memory: touches what is shown, types, goes back as the shell does it.
#pragma once

#include <memory>
#include <string>

#include "app/desk/demo_shop.h"
#include "app/screen/window.h"
#include "app/views/page_view.h"

class ViewPerson {
 public:
  explicit ViewPerson(app::Desk& desk, cv::Size size = {640, 400})
      : desk_(desk), window_(app::Window::in_memory(size)), canvas_(window_->renderer()), text_(window_->renderer()) {}

  // Opens a view as a person coming from the menu does.
  void open(app::ViewId id) {
    desk_.open(id);
    draw();
  }
  // The view that the desk is at, entered when it is another than before.
  void draw() {
    if (shown_ != desk_.view()) view().entered(desk_);
    shown_ = desk_.view();
    view().draw(canvas_, text_, window_->size(), desk_, 1.0);
  }
  // Whether there was an enabled button of this label.
  bool touch(const std::string& label) {
    const app::Button* button = find(label);
    if (button == nullptr || !button->enabled) return false;
    const SDL_FRect area = button->area;
    touch_at({area.x + area.w / 2.0F, area.y + area.h / 2.0F});
    return true;
  }
  void touch_at(SDL_FPoint at) {
    view().handle(app::pointer_event(app::InputEvent::Kind::pointer_down, at), desk_);
    view().handle(app::pointer_event(app::InputEvent::Kind::pointer_up, at), desk_);
    draw();
  }
  // As the shell hands keys on.
  void key(SDL_Keycode key, bool shift = false) {
    const bool back = key == SDLK_ESCAPE || (key == SDLK_q && !view().wants_text() && !view().wants_keys());
    if (!back) {
      view().handle(app::key_event(key, shift), desk_);
    } else if (!view().go_back(desk_)) {
      desk_.back();
    }
    draw();
  }
  void type(const std::string& text) {
    app::InputEvent event;
    event.kind = app::InputEvent::Kind::text;
    event.text = text;
    view().handle(event, desk_);
    draw();
  }
  const app::Button* find(const std::string& label) {
    for (const app::Button& button : page().buttons())
      if (button.label == label) return &button;
    return nullptr;
  }
  // What the desk says just now; empty: nothing.
  std::string told() {
    const app::Message* message = desk_.message(1.0);
    return message != nullptr ? message->text : "";
  }
  const app::PageView& page() { return dynamic_cast<const app::PageView&>(view()); }
  app::StationView& view() { return *views_[static_cast<std::size_t>(desk_.view())]; }
  app::Text& text() { return text_; }
  cv::Size size() const { return window_->size(); }
  cv::Mat picture() const { return window_->picture(); }

 private:
  app::Desk& desk_;
  std::unique_ptr<app::Window> window_;
  app::Canvas canvas_;
  app::Text text_;
  app::Views views_ = app::make_views();
  app::ViewId shown_ = app::ViewId::work;
};
