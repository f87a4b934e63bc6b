#include "app/answer/answer.h"

namespace app {

vision::Pose2 pose_of(const vision::Reading& reading) {
  return {{reading.offset_x_mm, reading.offset_y_mm}, reading.rotation_deg * vision::kRadPerDeg};
}

std::optional<PieceAnswer> piece_answer(const vision::Reading& reading, const std::optional<Design>& design,
                                        const std::optional<Machine>& machine, const vision::Hoop& hoop,
                                        const FitChoices& choices, const FitOptions& options) {
  if (!design) return std::nullopt;
  PieceAnswer answer;
  answer.hoop_from_design = pose_of(reading);
  answer.design = *design;
  if (machine) answer.entry = machine_entry(*machine, *design, answer.hoop_from_design);
  answer.fit = fit(*design, field_of(hoop), answer.fitted_at(), options);
  FitChoices possible = choices;
  possible.can_turn = choices.can_turn && (!machine || machine->rotation_step_deg > 0.0);
  answer.advice = fit_advice(answer.fit, *design, answer.fitted_at(), hoop, possible, options);
  return answer;
}

}  // namespace app
