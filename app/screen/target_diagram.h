// The target seen closely, to scale: the hoop's centre and axes, the tolerance around it, the sticker's cross as it
// lies and the way it has to go. Drawn as the operator sees the board.
#pragma once

#include <SDL.h>

#include "app/nudge.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/settings.h"

namespace app {

class TargetDiagram {
 public:
  // Without a reading only the target is drawn.
  void draw(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area, const Tolerance& tolerance,
            const vision::Reading* reading, const vision::Pose2* board_from_hoop, Units units = Units::mm);

 private:
  void choose_range(double needed_mm);

  double range_mm_ = 10.0;  // from the centre to the edge
};

}  // namespace app
