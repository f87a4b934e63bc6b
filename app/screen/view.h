// One view of the station: what the whole screen shows in one step of the work.
#pragma once

#include <opencv2/core.hpp>
#include <string>

#include "app/measuring.h"
#include "app/nudge.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"

namespace app {

// What every view may show besides the frames.
struct StationState {
  std::string source;         // what delivers the frames
  std::string notice;         // to be said plainly as long as it holds: "No camera found: ..."
  std::string trouble;        // what is wrong just now
  std::string proof;          // when the station was proved, and what came of it; shown while no hoop lies there
  bool proof_wanted = false;  // a new proof is asked for
  bool stale = false;         // no frame for so long that the last one says nothing any more
  double frames_per_s = 0.0;
  double latency_ms = 0.0;  // from a frame's arrival to its picture on the screen
  Tolerance tolerance;
};

class View {
 public:
  virtual ~View() = default;
  // A new frame. The view gives its pixels back by the end of the next draw().
  virtual void take(Measured measured) = 0;
  virtual void draw(Canvas& canvas, Text& text, cv::Size screen, const StationState& state) = 0;
  // The graphics driver lost all textures.
  virtual void textures_lost() {}
};

}  // namespace app
