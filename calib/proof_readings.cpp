#include "calib/proof_readings.h"

#include <cmath>
#include <utility>

namespace calib {

std::optional<ProofTurn> turn_of(const vision::Pose2& board_from_sheet) {
  const double off_deg = std::abs(vision::wrapped_rad(board_from_sheet.angle_rad)) * vision::kDegPerRad;
  if (off_deg <= kProofTurnLimitDeg) return ProofTurn::upright;
  if (off_deg >= 180.0 - kProofTurnLimitDeg) return ProofTurn::turned;
  return std::nullopt;
}

std::optional<std::size_t> ProofReadings::place_at(cv::Point2d middle_mm) const {
  std::optional<std::size_t> nearest;
  double least_mm = kProofPlaceMm;
  for (std::size_t i = 0; i < places_.size(); ++i) {
    const double away_mm = cv::norm(places_[i].middle_mm - middle_mm);
    if (!(away_mm <= least_mm)) continue;
    least_mm = away_mm;
    nearest = i;
  }
  return nearest;
}

bool ProofReadings::add(ProofFrame frame) {
  const std::optional<ProofTurn> turn = turn_of(frame.board_from_sheet);
  if (!turn) return false;
  const cv::Point2d middle = frame.board_from_sheet.origin_mm;
  std::size_t index = places_.size();
  if (const auto known = place_at(middle)) {
    index = *known;
  } else {
    places_.push_back({middle, {}});
  }
  places_[index].at(*turn).push_back(std::move(frame));
  order_.emplace_back(index, *turn);
  return true;
}

bool ProofReadings::undo() {
  if (order_.empty()) return false;
  const auto [index, turn] = order_.back();
  order_.pop_back();
  places_[index].at(turn).pop_back();
  // A place is opened by its first frame, so an empty one is the last.
  if (places_[index].frames[0].empty() && places_[index].frames[1].empty()) places_.pop_back();
  return true;
}

}  // namespace calib
