// The station's main loop: frames to the desk, the desk's view to the screen, what a person does to both.
#pragma once

#include <optional>

#include "app/desk/desk.h"
#include "app/live_options.h"
#include "app/measuring.h"
#include "app/screen/screen.h"
#include "app/shell/pace.h"
#include "app/shell/pedal.h"
#include "app/sounds.h"
#include "app/stop_signal.h"
#include "app/system/watchdog.h"
#include "app/views/station_view.h"
#include "app/work/idle_watch.h"

namespace app {

struct ShellEnd {
  Leave leave = Leave::end;
  int code = 0;  // the process's, when it ends: 1 when the frames failed for good
};

class Shell {
 public:
  // All of them outlive the shell.
  Shell(Window& window, Desk& desk, Measuring& measuring);

  // Until the desk leaves, a signal, options.seconds, or a source that is no camera has ended. Writes options.picture.
  ShellEnd run(const LiveOptions& options, const StopSignal& stop);
  // One turn: input, the next frame if it comes within a few milliseconds, and the screen where it has to be drawn.
  // Whether a frame came.
  bool turn();
  // Whether the frames have ended for good, and for long enough that this was seen.
  bool over();
  bool resting() const { return resting_; }

 private:
  void handle(const WindowEvents& events);
  void handle(const InputEvent& event);
  // A new frame, if one came within a few milliseconds.
  std::optional<Measured> next_frame();
  void look_after_frames();
  void look_after_rest();
  void sound();
  void draw();
  // Tells the service manager while frames and screen make progress.
  void beat();
  double now_s() const;

  Desk& desk_;
  Measuring& measuring_;
  Screen screen_;
  Views views_ = make_views();
  std::optional<ViewId> shown_;
  Pace pace_;
  Pedal pedal_;
  Sounds sounds_;
  IdleWatch idle_;
  bool resting_ = false, redraw_ = true, lost_ = false;
  const Clock::time_point start_ = Clock::now();
  Watchdog watchdog_;
  Clock::time_point last_frame_ = start_, last_drawn_ = start_;
  std::optional<Clock::time_point> ended_;
  std::string trouble_logged_;
};

}  // namespace app
