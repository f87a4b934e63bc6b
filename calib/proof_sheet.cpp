#include "calib/proof_sheet.h"

#include "calib/outline_shapes.h"

namespace calib {
namespace {

void scale(std::vector<cv::Point2d>& points, double factor) {
  for (cv::Point2d& p : points) p *= factor;
}

}  // namespace

vision::Hoop proof_hoop(double print_scale) {
  vision::Hoop hoop;
  hoop.name = "proof sheet";
  hoop.rim_height_mm = kPaperThicknessMm;
  hoop.inner_edge_drop_mm = hoop.outer_edge_drop_mm = 0.0;  // ink has no bevel
  hoop.cloth_height_mm = kPaperThicknessMm;
  hoop.field_mm = {(kProofInnerWidthMm - 10.0) * print_scale, (kProofInnerHeightMm - 10.0) * print_scale};
  hoop.inner_mm = rounded_rectangle(kProofInnerWidthMm, kProofInnerHeightMm, kProofInnerRadiusMm);
  hoop.outer_mm = rounded_rectangle(kProofInnerWidthMm + 2.0 * kProofRimMm, kProofInnerHeightMm + 2.0 * kProofRimMm,
                                    kProofInnerRadiusMm + kProofRimMm);
  scale(hoop.inner_mm, print_scale);
  scale(hoop.outer_mm, print_scale);
  const double x = 0.5 * kProofInnerWidthMm * print_scale, y = 0.5 * kProofInnerHeightMm * print_scale;
  hoop.notches = {{{vision::Side::north, {0.0, y}, 2},
                   {vision::Side::east, {x, 0.0}, 1},
                   {vision::Side::south, {0.0, -y}, 1},
                   {vision::Side::west, {-x, 0.0}, 1}}};
  return hoop;
}

std::vector<std::array<cv::Point2d, 3>> proof_notches() {
  const double half = 0.5 * kProofNotchWidthMm, pitch = 0.5 * kProofNotchPitchMm;
  const double x = 0.5 * kProofInnerWidthMm, y = 0.5 * kProofInnerHeightMm;
  const auto cut = [&](cv::Point2d mouth, cv::Point2d out) {
    const cv::Point2d along(-out.y, out.x);
    return std::array<cv::Point2d, 3>{mouth - half * along, mouth + kProofNotchDepthMm * out, mouth + half * along};
  };
  return {cut({-pitch, y}, {0.0, 1.0}), cut({pitch, y}, {0.0, 1.0}), cut({x, 0.0}, {1.0, 0.0}),
          cut({0.0, -y}, {0.0, -1.0}), cut({-x, 0.0}, {-1.0, 0.0})};
}

vision::Pose2 proof_pose(const ProofSticker& sticker, double print_scale) {
  return {{sticker.x_mm * print_scale, sticker.y_mm * print_scale}, sticker.angle_deg * vision::kRadPerDeg};
}

}  // namespace calib
