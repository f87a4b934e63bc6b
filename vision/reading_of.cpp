#include "vision/reading_of.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/calib3d.hpp>

#include "vision/fits.h"
#include "vision/sticker_pose.h"

namespace vision {
namespace {

// Image points that stand for what was measured of a planar thing: four, a quarter turn apart.
struct Witness {
  std::array<cv::Point2d, 4> in_plane;
  std::array<cv::Point2d, 4> image_px;
};

Witness witness(const ReadingInputs& in, const Pose2& board_from_plane, double reach_mm, double height_mm) {
  Witness w;
  for (size_t k = 0; k < 4; ++k) {
    const double phi = static_cast<double>(k) * kPi / 2.0 + kPi / 4.0;
    w.in_plane[k] = {reach_mm * std::cos(phi), reach_mm * std::sin(phi)};
    const cv::Point2d p = apply(board_from_plane, w.in_plane[k]);
    w.image_px[k] = image_from_board(in.lens, in.camera_from_board, {p.x, p.y, height_mm});
  }
  return w;
}

// The pose that the same image points give under other parameters.
Pose2 pose_again(const Witness& w, const Lens& lens, const CameraPose& pose, double height_mm) {
  std::array<cv::Point2d, 4> p;
  for (size_t k = 0; k < 4; ++k) p[k] = board_at_height(lens, pose, w.image_px[k], height_mm);
  return fit_rigid(w.in_plane, p).a_from_b;
}

struct Changed {
  Lens lens;
  CameraPose pose;
  double rim_height_mm, cloth_height_mm;
};

class Sensitivity {
 public:
  explicit Sensitivity(const ReadingInputs& in)
      : in_(in), rim_(witness(in, in.board_from_hoop, in.hoop_reach_mm, in.rim_height_mm)) {
    if (!in.group.ok()) stickers_.push_back(of_sticker(in.board_from_sticker));
    for (const Pose2& board_from_sticker : in.group.board_from_sticker)
      stickers_.push_back(of_sticker(board_from_sticker));
    poses_.resize(stickers_.size());
  }

  // d(offset x, offset y, rotation rad) / d(parameter), by central differences over +-step.
  template <class Change>
  cv::Vec3d of(double step, const Change& change) const {
    const cv::Vec3d up = value(step, change), down = value(-step, change);
    return {(up[0] - down[0]) / (2.0 * step), (up[1] - down[1]) / (2.0 * step),
            wrapped_rad(up[2] - down[2]) / (2.0 * step)};
  }

 private:
  Witness of_sticker(const Pose2& board_from_sticker) const {
    return witness(in_, board_from_sticker, kStickerTagOffsetMm * std::sqrt(2.0), in_.cloth_height_mm);
  }

  template <class Change>
  cv::Vec3d value(double by, const Change& change) const {
    Changed c{in_.lens, in_.camera_from_board, in_.rim_height_mm, in_.cloth_height_mm};
    change(c, by);
    for (size_t i = 0; i < stickers_.size(); ++i)
      poses_[i] = pose_again(stickers_[i], c.lens, c.pose, c.cloth_height_mm);
    const Pose2 on_cloth = in_.group.ok() ? in_.group.board_from_design(poses_) : poses_.front();
    const Pose2 p = hoop_from_sticker(pose_again(rim_, c.lens, c.pose, c.rim_height_mm), on_cloth);
    return {p.origin_mm.x, p.origin_mm.y, p.angle_rad};
  }

  const ReadingInputs& in_;
  Witness rim_;
  std::vector<Witness> stickers_;
  mutable std::vector<Pose2> poses_;  // of one call
};

Covariance3 outer(const cv::Vec3d& j, double variance) { return variance * (j * j.t()); }

Covariance3 from_camera_pose(const Sensitivity& sensitivity, const cv::Matx66d& covariance) {
  cv::Matx<double, 3, 6> j;
  for (int k = 0; k < 6; ++k) {
    const cv::Vec3d column = sensitivity.of(k < 3 ? 1e-5 : 1e-2, [k](Changed& c, double by) {
      if (k >= 3) {
        c.pose.translation_mm[k - 3] += by;
        return;
      }
      cv::Vec3d turn(0.0, 0.0, 0.0);
      turn[k] = by;
      cv::Matx33d r;
      cv::Rodrigues(turn, r);
      c.pose.rotation = r * c.pose.rotation;
    });
    for (int row = 0; row < 3; ++row) j(row, k) = column[row];
  }
  return j * covariance * j.t();
}

Covariance3 from_lens(const Sensitivity& sensitivity, const cv::Matx<double, 9, 9>& covariance) {
  cv::Matx<double, 3, 9> j;
  for (int k = 0; k < 9; ++k) {
    const cv::Vec3d column = sensitivity.of(k < 4 ? 0.5 : 1e-4, [k](Changed& c, double by) {
      std::array<double*, 9> all{&c.lens.fx, &c.lens.fy, &c.lens.cx, &c.lens.cy, nullptr,
                                 nullptr,    nullptr,    nullptr,    nullptr};
      for (size_t d = 0; d < 5; ++d) all[4 + d] = &c.lens.distortion[d];
      *all[static_cast<size_t>(k)] += by;
    });
    for (int row = 0; row < 3; ++row) j(row, k) = column[row];
  }
  return j * covariance * j.t();
}

}  // namespace

Pose2 hoop_from_sticker(const Pose2& board_from_hoop, const Pose2& board_from_sticker) {
  return compose(inverse(board_from_hoop), board_from_sticker);
}

Reading reading_of(const ReadingInputs& in) {
  const Pose2 pose = hoop_from_sticker(in.board_from_hoop, in.board_from_sticker);
  const double ox = pose.origin_mm.x, oy = pose.origin_mm.y;
  // A change (d, turn) of the hoop moves the sticker's place in it by -d and turns that place back.
  const cv::Matx33d by_hoop(-1.0, 0.0, oy, 0.0, -1.0, -ox, 0.0, 0.0, -1.0);
  const double c = std::cos(in.board_from_hoop.angle_rad), s = std::sin(in.board_from_hoop.angle_rad);
  const cv::Matx33d by_sticker(c, s, 0.0, -s, c, 0.0, 0.0, 0.0, 1.0);

  const Sensitivity sensitivity(in);
  const Covariance3 sticker = by_sticker * in.sticker_covariance * by_sticker.t();
  const Covariance3 camera = from_camera_pose(sensitivity, in.camera_from_board.covariance);
  Reading reading;
  reading.covariance = by_hoop * in.hoop_covariance * by_hoop.t() + sticker + camera;
  reading.covariance += by_sticker * in.sticker_shared_covariance * by_sticker.t();
  reading.noise_covariance = by_hoop * in.hoop_noise_covariance * by_hoop.t() + sticker + camera;
  if (in.lens.covariance) reading.covariance += from_lens(sensitivity, *in.lens.covariance);
  reading.covariance += outer(sensitivity.of(0.1, [](Changed& k, double by) { k.rim_height_mm += by; }),
                              in.rim_height_u_mm * in.rim_height_u_mm);
  reading.covariance += outer(sensitivity.of(0.1, [](Changed& k, double by) { k.cloth_height_mm += by; }),
                              in.cloth_height_u_mm * in.cloth_height_u_mm);
  // The survey was made with a printed sheet: its scale is that of every length on the board.
  reading.covariance += outer({ox, oy, 0.0}, in.print_scale_u * in.print_scale_u);

  reading.offset_x_mm = ox;
  reading.offset_y_mm = oy;
  reading.rotation_deg = pose.angle_rad * kDegPerRad;
  state_uncertainty(reading);
  return reading;
}

void state_uncertainty(Reading& reading) {
  const double xx = reading.covariance(0, 0), yy = reading.covariance(1, 1), xy = reading.covariance(0, 1);
  const double largest = 0.5 * (xx + yy) + std::hypot(0.5 * (xx - yy), xy);
  reading.u_offset_mm = 2.0 * std::sqrt(largest);
  reading.u_rotation_deg = 2.0 * std::sqrt(reading.covariance(2, 2)) * kDegPerRad;
}

}  // namespace vision
