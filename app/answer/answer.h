// From a reading to what is to be done with it: where the design belongs, what to enter at the machine, whether it
// fits.
#pragma once

#include <optional>

#include "app/fit/fit.h"
#include "app/fit/fit_advice.h"
#include "app/machine/entry.h"
#include "vision/reading.h"

namespace app {

struct PieceAnswer {
  vision::Pose2 hoop_from_design;     // as the reading says
  Design design;                      // the job's
  std::optional<MachineEntry> entry;  // where a machine is chosen
  // Of the design where the machine's entry puts it; without a machine where the reading says.
  Fit fit;
  FitAdvice advice;  // what to do about it

  // Where that is.
  const vision::Pose2& fitted_at() const { return entry ? entry->hoop_from_design : hoop_from_design; }
};

// Where a design belongs whose sticker lies on its centre: hoop_from_design.
vision::Pose2 pose_of(const vision::Reading& reading);

// Nothing without a design. `choices` are what the advice has to choose from; the machine says whether it turns.
std::optional<PieceAnswer> piece_answer(const vision::Reading& reading, const std::optional<Design>& design,
                                        const std::optional<Machine>& machine, const vision::Hoop& hoop,
                                        const FitChoices& choices = {}, const FitOptions& options = {});

}  // namespace app
