// Whether a taught hoop is found again: bare on the board, shifted and turned by hand, three times.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/format.h"
#include "app/setup/step.h"
#include "app/setup/still_watch.h"
#include "app/words/words.h"
#include "calib/teach_check.h"
#include "vision/station.h"

namespace app {

// A hoop from its file as it was taught: without the cloth below it, and as yet nowhere on the board.
calib::TaughtRing taught_ring_of(const vision::Hoop& hoop);

class HoopCheckStep : public SetupStep {
 public:
  HoopCheckStep(vision::Station station, const vision::Hoop& hoop);

  std::string title() const override { return format(tr("Check the hoop %s"), name_); }
  // A picture with a name is taken as still.
  StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override;
  // Writes nothing.
  StepOutcome finish() override;

 private:
  StepAdvice waiting() const;

  vision::Station station_;
  std::string name_;
  calib::HoopCheck check_;
  StillWatch still_;
  std::optional<StepAdvice> said_;
};

}  // namespace app
