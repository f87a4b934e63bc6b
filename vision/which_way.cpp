#include "vision/which_way.h"

#include <cmath>

namespace vision {
namespace {

// The notch that stands at a notch's place when the hoop is given `turns` more turns; nothing when the notches are not
// spaced alike.
const Notch* notch_there(const Hoop& hoop, cv::Point2d place_in_hoop, double turn_rad) {
  const cv::Point2d in_turned = apply_inverse(Pose2{{0.0, 0.0}, turn_rad}, place_in_hoop);
  for (const Notch& notch : hoop.notches) {
    if (cv::norm(notch.at_mm - in_turned) < 3.0) return &notch;
  }
  return nullptr;
}

std::optional<int> by_teeth(const Hoop& hoop, int n, const std::array<FoundNotch, 4>& found) {
  std::optional<int> decided;
  for (int turns = 0; turns < n; ++turns) {
    int agree = 0, contradict = 0;
    for (size_t k = 0; k < 4; ++k) {
      const Notch* there = notch_there(hoop, hoop.notches[k].at_mm, turns * 2.0 * kPi / n);
      if (found[k].found && found[k].teeth > 0) (there && there->teeth == found[k].teeth ? agree : contradict)++;
      // A bare stretch of rim where a notch should be.
      if (!found[k].found && found[k].clear_rim && there) ++contradict;
    }
    if (agree == 0 || contradict > 0) continue;
    if (decided) return std::nullopt;  // two positions look alike
    decided = turns;
  }
  return decided;
}

}  // namespace

int positions(const RimModel& model) { return model.symmetry == 0 ? 4 : model.symmetry; }

std::optional<int> turns_to_north(const Hoop& hoop, const RimModel& model, const Pose2& board_from_hoop,
                                  const std::array<FoundNotch, 4>& found, const std::optional<cv::Point2d>& mark) {
  const int n = positions(model);
  const double step = 2.0 * kPi / n;
  if (hoop.north_by == NorthBy::taught) return by_teeth(hoop, n, found);
  double wanted = 0.0;  // board angle of the hoop
  if (hoop.north_by == NorthBy::mark) {
    if (!mark) return std::nullopt;
    const cv::Point2d out = *mark - board_from_hoop.origin_mm;
    if (cv::norm(out) < 0.67 * model.mean_radius_mm || cv::norm(out) > 1.5 * model.reach_mm) return std::nullopt;
    wanted = std::atan2(out.y, out.x) - 0.5 * kPi;
  }
  const double away = wrapped_rad(wanted - board_from_hoop.angle_rad);
  const int turns = static_cast<int>(std::lround(away / step));
  const double left = std::abs(away - turns * step);
  // Half way between two positions the evidence is as good for either; with one position it must still fit.
  const double limit = std::min(kPi / 4.0, 0.4 * step);
  if (!(left < limit)) return std::nullopt;
  return ((turns % n) + n) % n;
}

}  // namespace vision
