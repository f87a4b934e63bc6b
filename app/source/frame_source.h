// Where frames come from: the camera, the rendered station, a folder of pictures.
#pragma once

#include <chrono>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <string>

namespace app {

struct Frame {
  cv::Mat grey;         // 8 bit, one channel, any stride
  double time_s = 0.0;  // of exposure, on a steady clock that the source chooses
  long number = 0;
  // When the exposure began, on the program's own clock, where the source can tell; for the delay to the screen.
  std::optional<std::chrono::steady_clock::time_point> exposed;
  std::shared_ptr<const void> owner;  // keeps the pixels alive; its deleter gives the buffer back
};

class FrameSource {
 public:
  virtual ~FrameSource() = default;
  // The next frame; waits for it. Nothing when there is none (see trouble()): a live camera is then asked again, for as
  // long as it takes, and gives an answer within three seconds each time; any other source has ended.
  virtual std::optional<Frame> next() = 0;
  // From any thread: next() returns nothing within a quarter of a second, now and from here on.
  virtual void stop() {}
  // From any thread: exposure and colours that were fixed are wrong by now and shall be found anew. Nothing happens
  // where the source fixes none.
  virtual void resettle() {}
  // One line for the screen: what delivers the frames, such as "rendered station, no camera". From any thread.
  virtual std::string title() const = 0;
  // Why next() gave nothing, in the operator's words (app/source/trouble.h); empty at an ordinary end. On next()'s
  // thread, as detail().
  virtual std::string trouble() const { return {}; }
  // What the system said of the trouble, for the log and the service page; may be empty.
  virtual std::string detail() const { return {}; }
  // A rendered or recorded source is not a camera, and the screen says so.
  virtual bool is_live_camera() const = 0;
};

}  // namespace app
