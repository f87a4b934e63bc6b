#include "app/resume/resume_box.h"

#include <algorithm>
#include <cmath>

#include "app/words/words.h"

namespace app {

using vision::RectangleStatus;

ResumeAnswer resume_by_box(const vision::StitchedRectangle& box, const Design& design, double margin_mm,
                           bool other_way_up, const ResumeOptions& options) {
  ResumeAnswer answer;
  if (box.status != RectangleStatus::ok || box.look_alikes > 2) return answer;
  answer.hoop_from_design = box.hoop_from_rectangle;
  if (other_way_up)
    answer.hoop_from_design.angle_rad = vision::wrapped_rad(answer.hoop_from_design.angle_rad + vision::kPi);
  answer.covariance = box.covariance;
  state_uncertainty(answer, design);
  const double width_mm = design.size_mm.width + 2.0 * margin_mm, height_mm = design.size_mm.height + 2.0 * margin_mm;
  const double wider = box.size_mm.width - width_mm, higher = box.size_mm.height - height_mm;
  answer.misfit_mm = 0.5 * std::max(std::abs(wider), std::abs(higher));
  answer.scale_percent = 50.0 * (wider / width_mm + higher / height_mm);
  answer.u_scale_percent = 100.0 * box.u_size_mm / std::min(width_mm, height_mm);
  answer.fault = ResumeFault::none;
  if (!(answer.misfit_mm <= options.tolerance_mm)) {
    answer.fault = ResumeFault::misfit;
  } else if (!(answer.far_corner_u_mm <= options.tolerance_mm)) {
    answer.fault = ResumeFault::too_close;
  }
  return answer;
}

std::string box_trouble(const vision::StitchedRectangle& box) {
  switch (box.status) {
    case RectangleStatus::ok:
      return box.look_alikes > 2 ? tr("A square box does not tell which side is the top. Use two stickers.") : "";
    case RectangleStatus::out_of_sight:
      return tr("The basting box does not lie wholly inside the ring.");
    case RectangleStatus::weak_contrast:
    case RectangleStatus::side_not_found:
      return tr("The basting box is not seen: its thread must stand out, and nothing may lie on it.");
    case RectangleStatus::not_straight:
    case RectangleStatus::not_square:
      return tr("The basting box is bent or out of square: smooth the cloth, or hoop it again.");
    case RectangleStatus::wrong_size:
      return tr("The box that is seen has another size: set how far outside of the design it was sewn.");
    case RectangleStatus::several:
      return tr("More than one box is seen: use two stickers.");
  }
  return tr("The basting box is not seen: its thread must stand out, and nothing may lie on it.");
}

}  // namespace app
