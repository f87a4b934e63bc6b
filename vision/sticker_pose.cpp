#include "vision/sticker_pose.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "vision/fits.h"

namespace vision {
namespace {

struct TagOnCloth {
  int index = 0;
  std::array<cv::Point2d, 4> in_board;
  std::array<cv::Point2d, 4> in_sticker;
  double sigma_mm = 0.0;
};

struct Similarity {
  Pose2 pose;
  double scale = 1.0;
  double swell_mm = 0.0;
  double rms_mm = 0.0;
  double spread2 = 0.0;  // mean square distance of the points from their centroid, mm^2
  cv::Point2d centroid_in_sticker{0.0, 0.0};
};

// The way a corner moves when its black square swells.
cv::Point2d outward(size_t corner) {
  static constexpr std::array<std::array<double, 2>, 4> kSigns{{{-1.0, 1.0}, {1.0, 1.0}, {1.0, -1.0}, {-1.0, -1.0}}};
  return {kSigns[corner][0], kSigns[corner][1]};
}

struct Corners {
  std::array<cv::Point2d, 16> in_sticker, in_board, outward;
  size_t count = 0;
};

Corners corners_of(const std::vector<TagOnCloth>& tags, size_t left_out) {
  Corners corners;
  for (size_t i = 0; i < tags.size(); ++i) {
    if (i == left_out) continue;
    for (size_t k = 0; k < 4; ++k, ++corners.count) {
      corners.in_sticker[corners.count] = tags[i].in_sticker[k];
      corners.in_board[corners.count] = tags[i].in_board[k];
      corners.outward[corners.count] = outward(k);
    }
  }
  return corners;
}

// A rigid fit; the scale is a check, not applied. A camera's tone curve and spread ink move all sides of the black
// squares in or out by one small amount: it moves no tag's centre, so it does not touch the pose, and is taken out of
// the residuals and of the scale.
Similarity fit(const std::vector<TagOnCloth>& tags, size_t left_out) {
  const Corners c = corners_of(tags, left_out);
  Similarity f;
  const RigidFit rigid = fit_rigid(Points(c.in_sticker.data(), c.count), Points(c.in_board.data(), c.count));
  if (rigid.status != FitStatus::ok) {
    f.rms_mm = std::numeric_limits<double>::infinity();
    return f;
  }
  f.pose = rigid.a_from_b;
  const double n = static_cast<double>(c.count);
  for (size_t i = 0; i < c.count; ++i) f.centroid_in_sticker += c.in_sticker[i] * (1.0 / n);
  // Scale and swelling together, from what is left: e = (scale - 1) p + swell * outward.
  std::array<cv::Point2d, 16> error;
  double spread = 0.0, swell_spread = 0.0, ep = 0.0, eo = 0.0;
  for (size_t i = 0; i < c.count; ++i) {
    const cv::Point2d p = c.in_sticker[i] - f.centroid_in_sticker;
    error[i] = apply_inverse(f.pose, c.in_board[i]) - c.in_sticker[i];
    spread += p.dot(p);
    swell_spread += p.dot(c.outward[i]);
    ep += error[i].dot(p);
    eo += error[i].dot(c.outward[i]);
  }
  f.spread2 = spread / n;
  const double outward2 = 2.0 * n, det = spread * outward2 - swell_spread * swell_spread;
  if (det > 1e-9 * spread * outward2) {
    f.scale = 1.0 + (ep * outward2 - eo * swell_spread) / det;
    f.swell_mm = (eo * spread - ep * swell_spread) / det;
  }
  double squares = 0.0;
  for (size_t i = 0; i < c.count; ++i) {
    const cv::Point2d left = error[i] - f.swell_mm * c.outward[i];
    squares += left.dot(left);
  }
  f.rms_mm = std::sqrt(squares / n);
  return f;
}

// Translation and rotation of a rigid fit are uncorrelated about the centroid; carried over to the cross. `noise2` is a
// tag's own variance; what the corners scatter beyond it is unflatness. A crease moves half of the sticker at once, so
// the place is no better than the mean of two such halves.
Covariance3 covariance_at_cross(const Similarity& f, double noise2, double tags) {
  const double scatter2 = 0.5 * f.rms_mm * f.rms_mm;  // an axis
  const double unflat2 = std::max(0.0, scatter2 - noise2);
  const double centre = noise2 / tags + 0.5 * unflat2;
  // Of a turn the corners of a tag know half apart from one another.
  const double turn = (noise2 + 0.5 * unflat2) / (tags * f.spread2);
  const cv::Point2d lever = apply(Pose2{{0.0, 0.0}, f.pose.angle_rad}, -f.centroid_in_sticker);
  // cross = centroid + R * (-centroid_in_sticker); d cross / d angle = (-lever.y, lever.x).
  const double dx = -lever.y, dy = lever.x;
  return {centre + dx * dx * turn,
          dx * dy * turn,
          dx * turn,  //
          dx * dy * turn,
          centre + dy * dy * turn,
          dy * turn,  //
          dx * turn,
          dy * turn,
          turn};
}

std::vector<TagOnCloth> lay_on_cloth(const std::vector<SeenTag>& tags, const Lens& lens, const CameraPose& pose,
                                     double cloth_height_mm, double print_scale) {
  std::vector<TagOnCloth> laid;
  for (size_t i = 0; i < tags.size(); ++i) {
    TagOnCloth tag;
    tag.index = static_cast<int>(i);
    tag.in_sticker = sticker_tag_corners(tags[i].id, print_scale);
    bool finite = true;
    for (size_t k = 0; k < 4; ++k) {
      tag.in_board[k] = board_at_height_normalised(pose, tags[i].corners_normalised[k], cloth_height_mm);
      finite = finite && std::isfinite(tag.in_board[k].x) && std::isfinite(tag.in_board[k].y);
    }
    if (!finite) continue;
    const double px_per_mm = 0.5 * (lens.fx + lens.fy) / std::abs(pose.translation_mm[2]);
    // Four corners of independent sides make the tag's centre twice as sure; print and paper leave some hundredths.
    tag.sigma_mm = std::hypot(0.5 * tags[i].sigma_px / px_per_mm, 0.006);
    laid.push_back(tag);
  }
  return laid;
}

}  // namespace

std::array<cv::Point2d, 4> sticker_tag_corners(int tag_id, double print_scale) {
  static constexpr std::array<std::array<double, 2>, 4> kCentres{{{-1.0, 1.0}, {1.0, 1.0}, {1.0, -1.0}, {-1.0, -1.0}}};
  const auto& [east, north] = kCentres[static_cast<size_t>(tag_id % 4)];
  const cv::Point2d centre{east * kStickerTagOffsetMm, north * kStickerTagOffsetMm};
  const double half = 0.5 * kStickerTagSizeMm;
  return {print_scale * (centre + cv::Point2d(-half, half)), print_scale * (centre + cv::Point2d(half, half)),
          print_scale * (centre + cv::Point2d(half, -half)), print_scale * (centre + cv::Point2d(-half, -half))};
}

StickerPose sticker_pose(const std::vector<SeenTag>& tags, const Lens& lens, const CameraPose& pose,
                         double cloth_height_mm, double print_scale, const StickerOptions& options) {
  StickerPose outcome;
  const std::vector<TagOnCloth> laid = lay_on_cloth(tags, lens, pose, cloth_height_mm, print_scale);
  if (laid.size() < 2 || laid.size() > 4) return outcome;
  size_t left_out = laid.size();
  Similarity best = fit(laid, left_out);
  if (best.rms_mm > options.drop_limit_mm && laid.size() > 2) {
    for (size_t i = 0; i < laid.size(); ++i) {
      const Similarity without = fit(laid, i);
      // A tag is only blamed where the others agree far better without it.
      if (without.rms_mm < best.rms_mm && without.rms_mm < 0.5 * options.drop_limit_mm) {
        best = without;
        left_out = i;
      }
    }
  }
  double sigma2 = 0.0, used = 0.0;
  for (size_t i = 0; i < laid.size(); ++i) {
    if (i == left_out) continue;
    outcome.used.push_back(laid[i].index);
    sigma2 += laid[i].sigma_mm * laid[i].sigma_mm;
    used += 1.0;
  }
  sigma2 /= used;
  outcome.board_from_sticker = best.pose;
  outcome.rms_mm = best.rms_mm;
  outcome.scale = best.scale;
  outcome.covariance = covariance_at_cross(best, sigma2, used);
  outcome.swell_mm = best.swell_mm;
  const bool flat = best.rms_mm <= options.flat_limit_mm && std::abs(best.scale - 1.0) <= options.scale_limit;
  outcome.fault = flat ? StickerFault::none : StickerFault::not_flat;
  return outcome;
}

}  // namespace vision
