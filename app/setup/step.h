// One step of the station's set-up (lens, board, hoop, proof), fed with frames: live ones from a source, or the
// pictures of a folder. It says what is still missing, and in the end computes and writes its result.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace app {

// Drawn over the live picture. Points in image px.
struct StepMark {
  enum class Kind {
    found,  // seen and used
    doubt,  // seen, but something is wrong with it
    aim,    // where something should be brought
    done,   // a part of the picture that needs nothing more
  };
  Kind kind = Kind::found;
  std::vector<cv::Point2d> points_px;
  bool closed = false;  // the last point is joined to the first; a single point is drawn as a dot
  std::string label;    // short, beside the first point; may be empty
};

// What the person is told after a frame.
struct StepAdvice {
  std::string headline;              // a few words: "Hold the sheet still"
  std::string sentence;              // what to do next
  std::vector<std::string> details;  // small lines: "12 of 20 pictures", "missing: top left, tilted to the right"
  double progress = 0.0;             // 0 to 1
  bool enough = false;               // finish() could give a result already, a poorer one: "compute now" is offered
  bool taken = false;                // this frame was kept: the screen flashes
  bool complete = false;             // finish() has all that it needs
  std::vector<StepMark> marks;
};

// What came of it.
struct StepOutcome {
  bool good = false;
  std::string headline;                      // "The lens is known to 1.2 px"
  std::vector<std::string> lines;            // the figures, in plain words
  std::vector<std::filesystem::path> files;  // written
  cv::Mat picture;                           // 8 bit BGR, for the screen; may be empty
};

// Too little or unfit material for a result; what() says what to do.
class StepError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

class SetupStep {
 public:
  virtual ~SetupStep() = default;
  virtual std::string title() const = 0;  // "Lens"
  // grey: 8 bit, one channel, any stride, valid during the call only; time on the source's clock. `name` is the
  // picture's, for messages; empty for live frames. Called from one thread. Never throws for what a frame shows.
  virtual StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) = 0;
  // Computes and writes; may take seconds. Throws StepError, calib::FileError.
  virtual StepOutcome finish() = 0;
  // The person takes the last kept picture back. False when there is none.
  virtual bool undo() { return false; }
};

}  // namespace app
