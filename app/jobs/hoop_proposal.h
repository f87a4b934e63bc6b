// The smallest taught hoop that holds a design.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/fit/fit.h"

namespace app {

struct HoopProposal {
  std::string hoop;
  bool turned = false;  // the design lies turned by 90 degrees in it
  double gap_mm = 0.0;  // that is left beyond the clearance
};

// By the field's area. In the field's middle, upright; where the design may be turned, by 90 degrees as well, upright
// going before turned in the same hoop. Nothing where none holds it.
std::optional<HoopProposal> smallest_hoop(const Design& design, const std::vector<vision::Hoop>& hoops, bool may_turn,
                                          const FitOptions& options = {});

// How it lies in this one; nothing where it does not fit either way.
std::optional<HoopProposal> held_by(const Design& design, const vision::Hoop& hoop, bool may_turn,
                                    const FitOptions& options = {});

}  // namespace app
