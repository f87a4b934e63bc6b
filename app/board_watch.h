// Watches the board while the station works: marks that left their place are named, a knocked camera is noted.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "vision/reading.h"
#include "vision/station.h"

namespace app {

struct Knock {
  double way_mm = 0.0;    // of the camera's centre
  double turn_deg = 0.0;  // of its view
  double shift_mm = 0.0;  // by which the marks would be misplaced on the board without a correction, at most
};

// From one camera pose to another over the same marks.
Knock knock_between(const vision::CameraPose& from, const vision::CameraPose& to,
                    const std::vector<vision::BoardMark>& marks);

// One frame may be deceived by a hand or a reflection: only what several frames in a row say is said.
class BoardWatch {
 public:
  explicit BoardWatch(vision::Station station);

  void update(const vision::FrameResult& result);

  // What holds now, for the person; empty when all is in order.
  const std::vector<int>& moved_marks() const { return moved_; }
  const std::vector<int>& marks_twice() const { return twice_; }
  // Against the survey's camera; without one, against the first frame's.
  const std::optional<Knock>& knock() const { return knock_; }
  // The same as sentences of 90 characters at most; a knock, which needs nothing done, only for kKnockShown frames.
  std::vector<std::string> notes() const;
  // Those that were not there yet when asked last, each to be said once.
  std::vector<std::string> news();

  static constexpr int kFrames = 5, kKnockShown = 150;
  // From here on a camera was knocked: well above what a survey leaves.
  static constexpr double kKnockMm = 0.5;

 private:
  // Counts frames in a row that say the same; true once there are enough.
  void count(std::map<int, int>& frames, const std::vector<int>& now, const std::vector<int>& denied,
             std::vector<int>& said) const;
  void watch_camera(const vision::FrameResult& result);

  vision::Station station_;
  std::optional<vision::CameraPose> usual_, candidate_, noted_;
  int candidate_frames_ = 0, usual_frames_ = 0, knock_frames_ = 0;
  std::map<int, int> moved_frames_, twice_frames_;
  std::vector<int> moved_, twice_;
  std::optional<Knock> knock_;
  std::vector<std::string> told_;
};

}  // namespace app
