// The guide on the screen: one stage at a time, and how far all of them are.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/guide/stage_state.h"
#include "app/guide/stages.h"
#include "app/screen/button.h"
#include "app/screen/page.h"

namespace app {

enum class GuideWish { previous, next, first_open, start, leave };

class GuideView {
 public:
  // The states in the order of stages(); `station_file` is named on the screen. Begins with the first open stage.
  GuideView(std::vector<StageNow> states, std::string station_file);
  // After a stage was worked on.
  void update(std::vector<StageNow> states);

  void draw(Canvas& canvas, Text& text, cv::Size screen);
  // Moves about by itself; what is left to the owner comes back: start (of stage()), leave.
  std::optional<GuideWish> handle(const InputEvent& event);
  const Stage& stage() const { return stages()[static_cast<std::size_t>(at_)]; }
  void go_to_first_open();

 private:
  const StageNow& now() const { return states_[static_cast<std::size_t>(at_)]; }
  std::vector<Button> wanted_buttons() const;
  void draw_steps(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area) const;
  void draw_list(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area) const;

  std::vector<StageNow> states_;
  std::string station_file_;
  int at_ = 0;
  Buttons buttons_;
};

}  // namespace app
