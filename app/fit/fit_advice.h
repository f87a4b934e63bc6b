// What to do about a design that does not fit: move it a little, hoop again, or take another hoop.
#pragma once

#include <span>
#include <string>

#include "app/fit/fit.h"
#include "app/nudge.h"
#include "vision/station.h"

namespace app {

enum class FitWay {
  none_needed,  // it fits
  move,         // the nearest place and rotation that fit are within the tolerance
  hoop_again,   // in the middle and square it lies in this field
  other_hoop,   // it does only in another taught hoop's
  no_hoop,      // in none's
};

struct FitAdvice {
  FitWay way = FitWay::none_needed;
  // hoop_again and other_hoop, with the design in the field's middle:
  bool quarter_turn = false;  // only with the cloth a quarter turn on from how it lies now
  double gap_mm = 0.0;        // its smallest gap then, clearance taken off
  bool close = false;         // a hooping that is off by the whole tolerance would not fit
  std::string hoop;           // other_hoop: its name
};

struct FitChoices {
  std::span<const vision::Hoop> taught;  // all that there are
  Tolerance tolerance;
  bool can_turn = true;  // the machine turns a design, so a quarter turn on is of use
};

// A hooping within the tolerance has to fit for certain: else a taught hoop with so much room, the smallest field of
// them, comes first. NaN anywhere: no_hoop.
FitAdvice fit_advice(const Fit& fit, const Design& design, const vision::Pose2& hoop_from_design,
                     const vision::Hoop& hoop, const FitChoices& choices, const FitOptions& options = {});

}  // namespace app
