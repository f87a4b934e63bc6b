#include "app/fit/fit.h"

#include <algorithm>

namespace app {

Field field_of(const vision::Hoop& hoop) {
  return {hoop.field_is_round ? Field::Shape::oval : Field::Shape::rectangle, hoop.field_mm, 0.0};
}

Fit fit(const Design& design, const Field& field, const vision::Pose2& hoop_from_design, const FitOptions& options) {
  Fit found;
  found.gap_mm = 1e9;
  for (const cv::Point2d& p_in_design : design.hull_mm) {
    const cv::Point2d p = vision::apply(hoop_from_design, p_in_design);
    const double gap = std::min(field.size_mm.width / 2.0 - std::abs(p.x), field.size_mm.height / 2.0 - std::abs(p.y)) -
                       options.clearance_mm;
    if (gap >= found.gap_mm) continue;
    found.gap_mm = gap;
    found.at_mm = found.on_edge_mm = p;
  }
  found.fits = found.gap_mm >= 0.0;
  return found;
}

}  // namespace app
