#include "app/machine/entry.h"

namespace app {

MachineEntry machine_entry(const Machine&, const Design&, const vision::Pose2& hoop_from_design) {
  MachineEntry entry;
  entry.hoop_from_design = hoop_from_design;
  entry.rotation = hoop_from_design.angle_rad * vision::kDegPerRad;
  entry.jog_right_mm = hoop_from_design.origin_mm.x;
  entry.jog_up_mm = hoop_from_design.origin_mm.y;
  return entry;
}

}  // namespace app
