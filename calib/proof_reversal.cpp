#include "calib/proof_reversal.h"

#include <cmath>

namespace calib {
namespace {

cv::Point2d turned(cv::Point2d p, double angle_rad) {
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  return {c * p.x - s * p.y, s * p.x + c * p.y};
}

// The mean over the frames of one turn at one place.
struct CellMean {
  double angle_rad = 0.0;
  std::array<ProofDeviation, kProofStickerCount> of{};
};

CellMean mean_of(const std::vector<ProofFrame>& frames, double print_scale) {
  CellMean mean;
  const double share = 1.0 / static_cast<double>(frames.size());
  const double first_rad = frames.front().board_from_sheet.angle_rad;
  mean.angle_rad = first_rad;
  for (const ProofFrame& frame : frames) {
    mean.angle_rad += share * vision::wrapped_rad(frame.board_from_sheet.angle_rad - first_rad);
    for (std::size_t s = 0; s < kProofStickerCount; ++s) {
      const ProofDeviation one = deviation(frame, s, print_scale);
      mean.of[s].offset_mm += share * one.offset_mm;
      mean.of[s].rotation_deg += share * one.rotation_deg;
    }
  }
  return mean;
}

// x of R(-t0) x - R(-t1) x = d. With R(-t) as a complex number the factor is 2 sin((t1 - t0) / 2) e^(i phi).
cv::Point2d divided_by_turns(cv::Point2d d, double t0, double t1) {
  const cv::Point2d factor{std::cos(-t0) - std::cos(-t1), std::sin(-t0) - std::sin(-t1)};
  const double size = factor.dot(factor);
  return {(d.x * factor.x + d.y * factor.y) / size, (d.y * factor.x - d.x * factor.y) / size};
}

ReversedPlace reversed(const ProofPlace& place, double print_scale) {
  const CellMean up = mean_of(place.at(ProofTurn::upright), print_scale);
  const CellMean down = mean_of(place.at(ProofTurn::turned), print_scale);
  ReversedPlace result;
  result.middle_mm = place.middle_mm;
  result.frames = {static_cast<int>(place.frames[0].size()), static_cast<int>(place.frames[1].size())};
  for (std::size_t s = 0; s < kProofStickerCount; ++s) {
    result.station_mm[s] = divided_by_turns(up.of[s].offset_mm - down.of[s].offset_mm, up.angle_rad, down.angle_rad);
    result.sheet_mm[s] = up.of[s].offset_mm - turned(result.station_mm[s], -up.angle_rad);
    result.station_deg[s] = 0.5 * (up.of[s].rotation_deg - down.of[s].rotation_deg);
    result.shared_deg[s] = 0.5 * (up.of[s].rotation_deg + down.of[s].rotation_deg);
  }
  return result;
}

}  // namespace

ProofDeviation deviation(const ProofFrame& frame, std::size_t sticker, double print_scale) {
  const vision::Pose2 designed = proof_pose(kProofStickers[sticker], print_scale);
  const vision::Pose2& read = frame.sheet_from_sticker[sticker];
  return {read.origin_mm - designed.origin_mm,
          vision::wrapped_rad(read.angle_rad - designed.angle_rad) * vision::kDegPerRad};
}

std::vector<ReversedPlace> reverse(const std::vector<ProofPlace>& places, double print_scale) {
  std::vector<ReversedPlace> result;
  for (const ProofPlace& place : places)
    if (place.has_both()) result.push_back(reversed(place, print_scale));
  return result;
}

LinearError linear_part(const std::array<cv::Point2d, kProofStickerCount>& errors_mm,
                        const std::array<cv::Point2d, kProofStickerCount>& places_mm) {
  cv::Point2d error_mean, place_mean;
  for (std::size_t s = 0; s < kProofStickerCount; ++s) {
    error_mean += errors_mm[s] * (1.0 / static_cast<double>(kProofStickerCount));
    place_mean += places_mm[s] * (1.0 / static_cast<double>(kProofStickerCount));
  }
  cv::Matx22d spread = cv::Matx22d::zeros(), together = cv::Matx22d::zeros();
  for (std::size_t s = 0; s < kProofStickerCount; ++s) {
    const cv::Vec2d p(places_mm[s].x - place_mean.x, places_mm[s].y - place_mean.y);
    const cv::Vec2d e(errors_mm[s].x - error_mean.x, errors_mm[s].y - error_mean.y);
    spread += p * p.t();
    together += e * p.t();
  }
  return {together * spread.inv()};
}

}  // namespace calib
