// The large part of the screen: what to do with the cloth, or why there is no reading.
#pragma once

#include <string>
#include <string_view>

#include "app/nudge.h"
#include "app/screen/canvas.h"
#include "app/screen/layout.h"
#include "app/screen/text.h"
#include "vision/reading.h"

namespace app {

class Readout {
 public:
  // Takes the numbers to show from a reading; the rows follow them with a little hysteresis.
  void update(const vision::Reading& reading, const vision::Pose2& board_from_hoop, const Tolerance& tolerance);
  // There is no reading: the next one starts anew.
  void forget();
  // The three rows, of the last reading taken.
  void draw_rows(Canvas& canvas, Text& text, const MeasureLayout& layout);
  // Instead of the rows: a symbol, a few words, a sentence.
  void draw_reason(Canvas& canvas, Text& text, const MeasureLayout& layout, vision::Status status,
                   std::string_view headline, std::string_view sentence) const;

  // The whole of it in two or three words, with its sign: the way to slide, else the way to turn, else a tick.
  std::string verdict() const;
  void draw_verdict_sign(Canvas& canvas, SDL_FPoint centre, float radius) const;

  const WithinTolerance& within() const { return within_; }

 private:
  SteadyNumber right_, away_, turn_;
  Instruction slide_right_, slide_away_, turn_cloth_;
  WithinTolerance within_;
  Nudge nudge_;
};

}  // namespace app
