// What all views but the work view share: a headline, a main part, and along the lower edge the buttons, "Back" at the
// left; a list that may be longer than its place; questions that are asked before something is lost.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/screen/page.h"
#include "app/screen/touch_list.h"
#include "app/views/station_view.h"

namespace app {

// px of the output. The parts do not overlap and lie inside the screen.
struct ViewLayout {
  Scale scale;
  SDL_FRect header{};
  SDL_FRect main{};
  SDL_FRect back{};  // the button
  SDL_FRect row{};   // right of it: the other buttons
  bool landscape = true;
};

// `sentence`: the header has room for some lines below the headline.
ViewLayout view_layout(cv::Size screen, bool sentence = false);

// Asked over a view; "Back" is the other answer.
struct ViewQuestion {
  std::string headline, sentence, yes;
  std::function<void(Desk&)> on_yes;
};

class PageView : public StationView {
 public:
  void handle(const InputEvent& event, Desk& desk) final;
  void draw(Canvas& canvas, Text& text, cv::Size screen, const Desk& desk, double now_s) final;
  bool go_back(Desk& desk) override;
  void entered(Desk&) override { question_.reset(); }

  // What can be pressed now, as drawn last; for tests.
  const std::vector<Button>& buttons() const { return buttons_.all(); }
  const TouchList& list() const { return list_; }

 protected:
  static constexpr int kBack = 900, kYes = 901;

  // What a view draws on, handed to its parts.
  struct Sheet {
    Canvas& canvas;
    Text& text;
    const ViewLayout& layout;
    const Desk& desk;
    double now_s;
  };

  // Before anything of a drawing, also of the header, is asked for.
  virtual void about_to_draw(const Desk&) {}
  virtual PageHeader header(const Desk& desk) const = 0;
  // Beside "Back", in order; without places.
  virtual std::vector<Button> row(const Desk&) const { return {}; }
  // Draws the main part and gives its buttons, with places.
  virtual std::vector<Button> draw_main(Sheet& sheet) = 0;
  // What stands over the buttons' faces.
  virtual void draw_over(Sheet&) {}
  virtual void pressed(int id, Desk& desk) = 0;
  // Before the buttons see it; true: it was meant for the view.
  virtual bool typed(const InputEvent&, Desk&) { return false; }

  void ask(ViewQuestion question) { question_ = std::move(question); }
  bool asking() const { return question_.has_value(); }
  void go(Desk& desk);

  TouchList list_;
  Buttons buttons_;

 private:
  std::optional<ViewQuestion> question_;
};

// A quiet text in the middle of the main part: why there is nothing to be seen.
void draw_nothing(Canvas& canvas, Text& text, const ViewLayout& layout, const SDL_FRect& area,
                  const std::string& words);

Button view_button(int id, std::string label, SDL_Keycode key = 0, bool enabled = true);

}  // namespace app
