// The large numbers of the work view: what to do with the cloth, or what is held to be entered at the machine.
#pragma once

#include <array>
#include <string>

#include "app/nudge.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/settings.h"
#include "app/views/work_layout.h"
#include "app/work/work.h"

namespace app {

class WorkReadout {
 public:
  // Takes the numbers to show; guide and live ones follow with a little hysteresis, held ones are shown as they are.
  void update(const ShownReading& shown, const Tolerance& tolerance, Units units);
  // There are no numbers: the next ones start anew.
  void forget();
  void draw_rows(Canvas& canvas, Text& text, const WorkLayout& layout) const;

  const WithinTolerance& within() const { return within_; }
  // The numbers as they are drawn: right or left, away or toward (held: up or down in the hoop), turn.
  const std::array<Instruction, 3>& rows() const { return rows_; }
  // The whole of it in one sign: the way to slide, else the way to turn, else a tick.
  void draw_sign(Canvas& canvas, SDL_FPoint centre, float radius) const;

 private:
  void guide(const ShownReading& shown, Units units);
  void hold(const vision::Reading& reading, Units units);
  void draw_row_sign(Canvas& canvas, std::size_t row, SDL_FPoint centre, float radius) const;

  SteadyNumber right_, away_, turn_;
  Units units_ = Units::mm;
  bool held_ = false;
  std::array<Instruction, 3> rows_;
  WithinTolerance within_;
  Nudge nudge_;
};

// A sign in two parts: where the sticker lies off the hoop's centre. dx, dy: screen directions.
void draw_place_sign(Canvas& canvas, SDL_FPoint centre, float radius, float dx, float dy, Colour line, Colour dot);
// A line that leans against an upright one.
void draw_lean_sign(Canvas& canvas, SDL_FPoint centre, float radius, bool counter_clockwise, Colour line,
                    Colour leaning);

}  // namespace app
