// The screen that is looked at all day: what to do now, the numbers, the live picture and the plan.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/screen/live_picture.h"
#include "app/screen/picture_region.h"
#include "app/views/station_view.h"
#include "app/views/work_layout.h"
#include "app/views/work_readout.h"

namespace app {

class WorkView : public StationView {
 public:
  enum Id { kOperator = 1, kJob, kMenu, kTake, kRepeat, kStartOver, kRendered };

  void handle(const InputEvent& event, Desk& desk) override;
  void draw(Canvas& canvas, Text& text, cv::Size screen, const Desk& desk, double now_s) override;
  void entered(Desk& desk) override;
  void textures_lost() override { picture_.textures_lost(); }

  // As last drawn.
  const Buttons& buttons() const { return buttons_; }
  const WorkReadout& readout() const { return readout_; }
  const WorkLayout& layout() const { return layout_; }

 private:
  void follow(const Desk& desk);
  // What the digits show now, if anything: nothing outlives its frame.
  const ShownReading* shown(const Desk& desk) const;
  void press(int id, Desk& desk);
  void swap(Desk& desk);
  std::vector<Button> wanted_buttons(const Desk& desk) const;
  void draw_headline(Canvas& canvas, Text& text, const Desk& desk) const;
  void draw_readout(Canvas& canvas, Text& text, const Desk& desk) const;
  void draw_live(Canvas& canvas, Text& text, const Desk& desk, const SDL_FRect& area);
  void draw_plan_in(Canvas& canvas, const Desk& desk, const SDL_FRect& area, Text& text) const;
  std::string notices(const Desk& desk) const;
  SDL_FRect draw_notices(Canvas& canvas, Text& text, const Desk& desk) const;
  void draw_proof(Canvas& canvas, Text& text, const Desk& desk) const;
  void draw_caution(Text& text) const;

  void count_pieces(const Desk& desk);

  WorkLayout layout_;
  Buttons buttons_;
  WorkReadout readout_;
  RegionChooser chooser_;
  LivePicture picture_;
  bool pressing_small_ = false;       // the pointer went down on the small picture
  bool asked_to_start_over_ = false;  // pressed once, with a reading that nobody took
  std::optional<double> asked_at_s_;  // when that was first drawn
  int pieces_of_job_ = 0;             // in the log
  int counted_at_pieces_ = -1;        // how many there had been since the start, then
  std::string counted_job_;
};

}  // namespace app
