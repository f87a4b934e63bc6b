// Teaching a hoop live: the bare rings lie still and are found, then the person shifts and turns them by hand, three
// times. What is made of the pictures is another matter (app/hoops/teaching.h).
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "app/hoops/teaching.h"
#include "app/setup/step.h"
#include "app/setup/still_watch.h"
#include "app/words/words.h"

namespace app {

class TeachStep : public SetupStep {
 public:
  // `keep`: called by finish() with all that was seen; says what came of it, and may throw StepError or
  // calib::FileError. `rim_height_mm`: of the bare rings over the board, as far as it is known.
  using Keep = std::function<StepOutcome(Teaching& teaching)>;
  TeachStep(vision::Station station, double rim_height_mm, Keep keep);

  // What a still picture shows: the camera, where the board is seen, and the ring.
  struct Look {
    std::optional<vision::CameraPose> camera_from_board;
    calib::TeachOutcome seen;
  };
  using Find = std::function<Look(const cv::Mat& grey)>;
  // With another way to find the ring than calib::teach_ring.
  TeachStep(vision::Station station, Find find, Keep keep);

  std::string title() const override { return tr("Teach a hoop"); }
  // A picture with a name is taken as still.
  StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override;
  StepOutcome finish() override;
  bool undo() override;

  // After a finish(), until the next picture is kept.
  std::optional<Teaching>& teaching() { return teaching_; }

 private:
  struct Seen {
    TeachingFrame frame;
    calib::TaughtRing ring;
  };
  // Finds the ring, keeps the frame when it is new.
  StepAdvice look(const cv::Mat& grey, const std::string& name);
  bool moved(const vision::Pose2& board_from_hoop) const;
  StepAdvice waiting() const;
  StepAdvice refused(const std::string& sentence) const;
  void add_progress(StepAdvice& advice) const;

  vision::Station station_;
  Find find_;
  Keep keep_;
  StillWatch still_;
  std::vector<Seen> seen_;
  std::optional<StepAdvice> said_;  // of this stillness: a still picture is looked at once
  std::optional<Teaching> teaching_;
};

}  // namespace app
