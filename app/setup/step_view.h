// The screen of a set-up step: the live picture with what was found in it, what to do next, how far it is, and the
// buttons; while it computes; and what came of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/screen/colour_picture.h"
#include "app/screen/live_picture.h"
#include "app/screen/page.h"
#include "app/setup/step.h"
#include "app/source/frame_source.h"

namespace app {

// What the screen shows besides the frames.
struct StepState {
  std::string title;    // the step's
  std::string source;   // what delivers the frames
  std::string notice;   // said plainly as long as it holds: "This is the rendered station"
  std::string trouble;  // what is wrong just now
  std::string remark;   // what came of a button: "The last picture was taken back"
  bool stale = false;   // no frame for so long that the last one says nothing any more
  bool flash = false;   // a picture was taken just now
  bool computing = false;
  double computing_s = 0.0;  // for so long
  bool can_undo = true;      // a picture was taken
};

enum class StepWish { undo, compute, more, leave };

class StepView {
 public:
  // A new frame. Its pixels are given back by the end of the next draw().
  void take(Frame frame, StepAdvice advice);
  // From now on what came of it is shown; nothing: the live picture again.
  void show(std::optional<StepOutcome> outcome);

  void draw(Canvas& canvas, Text& text, cv::Size screen, const StepState& state);
  // What the person wants by this event: buttons as they were drawn last, Escape and q.
  std::optional<StepWish> handle(const InputEvent& event);
  void textures_lost();

 private:
  void draw_live(Canvas& canvas, Text& text, const PageLayout& layout, const StepState& state);
  void draw_picture(Canvas& canvas, Text& text, const PageLayout& layout, const StepState& state);
  void draw_progress(Canvas& canvas, Text& text, const PageLayout& layout, const StepState& state) const;
  void draw_outcome(Canvas& canvas, Text& text, const PageLayout& layout);
  PageHeader header(const StepState& state) const;
  std::vector<Button> wanted_buttons(const StepState& state) const;

  std::optional<StepAdvice> advice_;
  std::optional<StepOutcome> outcome_;
  bool enlarged_ = false;  // the outcome's picture instead of its lines
  Frame pending_;          // pixels that are not yet on the texture
  LivePicture picture_;
  ColourPicture result_;
  Buttons buttons_;
};

}  // namespace app
