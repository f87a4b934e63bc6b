#include "calib/lens_adjust.h"

#include <cmath>
#include <limits>
#include <opencv2/core.hpp>

#include "calib/lens_jacobian.h"

namespace calib {
namespace {

constexpr int kMostSteps = 60;
constexpr double kSettled = 1e-10;  // of the sum of squares, from one step to the next
constexpr double kMostDamping = 1e8;

// The normal equations of one picture.
struct PictureSums {
  cv::Matx66d pose = cv::Matx66d::zeros();
  cv::Matx<double, 6, 9> pose_lens = cv::Matx<double, 6, 9>::zeros();
  cv::Vec6d right = cv::Vec6d::all(0.0);
};

// All of them; the lens's part is common.
struct Sums {
  std::vector<PictureSums> pictures;
  cv::Matx<double, 9, 9> lens = cv::Matx<double, 9, 9>::zeros();
  cv::Vec<double, 9> right = cv::Vec<double, 9>::all(0.0);
};

using Weights = std::vector<double>;

double squares(const LensPicture& picture, const Weights& weights, const vision::Lens& lens,
               const vision::CameraPose& pose) {
  double sum = 0.0;
  for (std::size_t i = 0; i < picture.image_px.size(); ++i) {
    const cv::Point2d p = picture.in_sheet_mm[i];
    const cv::Vec3d in_camera = pose.rotation * cv::Vec3d(p.x, p.y, 0.0) + pose.translation_mm;
    if (!(in_camera[2] > 1e-6 * cv::norm(in_camera))) return std::numeric_limits<double>::infinity();
    const cv::Point2d left = picture.image_px[i] - vision::project(lens, in_camera);
    sum += weights[i] * left.dot(left);
  }
  return sum;
}

double squares(const std::vector<LensPicture>& pictures, const PointWeights& weights, const LensAndPoses& state) {
  double sum = 0.0;
  for (std::size_t i = 0; i < pictures.size(); ++i)
    sum += squares(pictures[i], weights[i], state.lens, state.camera_from_sheet[i]);
  return sum;
}

// Adds one picture's share; false where a point lies behind the camera.
bool add(const LensPicture& picture, const Weights& weights, const vision::Lens& lens, const vision::CameraPose& pose,
         PictureSums& own, Sums* common) {
  LensJacobian j;
  for (std::size_t i = 0; i < picture.image_px.size(); ++i) {
    if (!lens_jacobian(lens, pose, picture.in_sheet_mm[i], j)) return false;
    const cv::Point2d left_px = picture.image_px[i] - j.image_px;
    const cv::Vec2d left(left_px.x, left_px.y);
    own.pose += weights[i] * (j.by_pose.t() * j.by_pose);
    own.right += weights[i] * (j.by_pose.t() * left);
    if (common == nullptr) continue;
    own.pose_lens += weights[i] * (j.by_pose.t() * j.by_lens);
    common->lens += weights[i] * (j.by_lens.t() * j.by_lens);
    common->right += weights[i] * (j.by_lens.t() * left);
  }
  return true;
}

std::optional<Sums> sums_of(const std::vector<LensPicture>& pictures, const PointWeights& weights,
                            const LensAndPoses& state) {
  Sums sums;
  sums.pictures.resize(pictures.size());
  for (std::size_t i = 0; i < pictures.size(); ++i)
    if (!add(pictures[i], weights[i], state.lens, state.camera_from_sheet[i], sums.pictures[i], &sums))
      return std::nullopt;
  return sums;
}

// Inverse of a symmetric positive definite matrix whose diagonal spans many decades; false where it is not definite.
bool invert(const cv::Mat& matrix, cv::Mat& inverse) {
  cv::Mat scale(matrix.rows, 1, CV_64F);
  for (int i = 0; i < matrix.rows; ++i) {
    if (!(matrix.at<double>(i, i) > 0.0)) return false;
    scale.at<double>(i) = 1.0 / std::sqrt(matrix.at<double>(i, i));
  }
  const cv::Mat scales = scale * scale.t();
  const cv::Mat scaled = matrix.mul(scales);
  cv::Mat inverted;
  if (cv::invert(scaled, inverted, cv::DECOMP_CHOLESKY) == 0.0) return false;
  // Cholesky's factors of a singular matrix may exist by rounding alone.
  for (int i = 0; i < inverted.rows; ++i)
    if (!(inverted.at<double>(i, i) >= 0.9 && inverted.at<double>(i, i) < 1e12)) return false;
  inverse = inverted.mul(scales);
  return true;
}

// The lens's equations after the poses have been eliminated (Schur's complement), for the model's own parameters.
struct Reduced {
  cv::Mat matrix, right;                  // of the active parameters
  std::vector<cv::Matx66d> pose_inverse;  // a picture each
  std::vector<std::size_t> active;
};

bool reduce(const Sums& sums, LensModel model, double damping, Reduced& out) {
  cv::Matx<double, 9, 9> lens = sums.lens;
  cv::Vec<double, 9> right = sums.right;
  for (int i = 0; i < 9; ++i) lens(i, i) *= 1.0 + damping;
  out.pose_inverse.clear();
  for (const PictureSums& picture : sums.pictures) {
    cv::Matx66d pose = picture.pose;
    for (int i = 0; i < 6; ++i) pose(i, i) *= 1.0 + damping;
    cv::Mat inverse;
    if (!invert(cv::Mat(pose), inverse)) return false;
    out.pose_inverse.emplace_back(inverse);
    const cv::Matx<double, 9, 6> lens_by_pose = picture.pose_lens.t() * out.pose_inverse.back();
    lens -= lens_by_pose * picture.pose_lens;
    right -= lens_by_pose * picture.right;
  }
  out.active = parameters_of(model);
  const int n = static_cast<int>(out.active.size());
  out.matrix.create(n, n, CV_64F);
  out.right.create(n, 1, CV_64F);
  for (int i = 0; i < n; ++i) {
    const int row = static_cast<int>(out.active[static_cast<std::size_t>(i)]);
    out.right.at<double>(i) = right[row];
    for (int k = 0; k < n; ++k) {
      const int column = static_cast<int>(out.active[static_cast<std::size_t>(k)]);
      out.matrix.at<double>(i, k) = 0.5 * (lens(row, column) + lens(column, row));
    }
  }
  return true;
}

// The state after one damped step of Gauss and Newton; false where the equations do not hold the parameters.
bool step(const Sums& sums, LensModel model, double damping, const LensAndPoses& from, LensAndPoses& to) {
  Reduced reduced;
  cv::Mat inverse;
  if (!reduce(sums, model, damping, reduced) || !invert(reduced.matrix, inverse)) return false;
  const cv::Mat change = inverse * reduced.right;
  cv::Vec<double, 9> lens_change = cv::Vec<double, 9>::all(0.0);
  to = from;
  for (std::size_t i = 0; i < reduced.active.size(); ++i) {
    const std::size_t index = reduced.active[i];
    lens_change[static_cast<int>(index)] = change.at<double>(static_cast<int>(i));
    set_parameter(to.lens, index, parameter(from.lens, index) + change.at<double>(static_cast<int>(i)));
  }
  for (std::size_t i = 0; i < sums.pictures.size(); ++i) {
    const cv::Vec6d right = sums.pictures[i].right - sums.pictures[i].pose_lens * lens_change;
    to.camera_from_sheet[i] = moved(from.camera_from_sheet[i], reduced.pose_inverse[i] * right);
  }
  return true;
}

bool fits(const std::vector<LensPicture>& pictures, const PointWeights& weights, const LensAndPoses& state) {
  if (pictures.empty() || weights.size() != pictures.size() || state.camera_from_sheet.size() != pictures.size())
    return false;
  for (std::size_t i = 0; i < pictures.size(); ++i)
    if (pictures[i].image_px.size() != pictures[i].in_sheet_mm.size() ||
        weights[i].size() != pictures[i].image_px.size())
      return false;
  return true;
}

}  // namespace

std::string_view name(LensModel model) {
  constexpr std::array<std::string_view, 5> kNames{"none", "k1", "k1 k2", "k1 k2 p1 p2", "k1 k2 p1 p2 k3"};
  return kNames[static_cast<std::size_t>(model)];
}

std::vector<std::size_t> parameters_of(LensModel model) {
  constexpr std::array<std::size_t, 5> kCounts{4, 5, 6, 8, 9};
  std::vector<std::size_t> out;
  for (std::size_t i = 0; i < kCounts[static_cast<std::size_t>(model)]; ++i) out.push_back(i);
  return out;
}

double parameter(const vision::Lens& lens, std::size_t index) {
  const double pinhole[] = {lens.fx, lens.fy, lens.cx, lens.cy};
  return index < 4 ? pinhole[index] : lens.distortion.at(index - 4);
}

void set_parameter(vision::Lens& lens, std::size_t index, double value) {
  double* pinhole[] = {&lens.fx, &lens.fy, &lens.cx, &lens.cy};
  (index < 4 ? *pinhole[index] : lens.distortion.at(index - 4)) = value;
}

std::vector<cv::Point2d> residuals_px(const vision::Lens& lens, const vision::CameraPose& camera_from_sheet,
                                      const LensPicture& picture) {
  std::vector<cv::Point2d> out;
  for (std::size_t i = 0; i < picture.image_px.size(); ++i) {
    const cv::Point2d p = picture.in_sheet_mm[i];
    out.push_back(picture.image_px[i] - vision::image_from_board(lens, camera_from_sheet, {p.x, p.y, 0.0}));
  }
  return out;
}

bool adjust(const std::vector<LensPicture>& pictures, const PointWeights& weights, LensModel model, LensAndPoses& state,
            cv::Matx<double, 9, 9>* unit_covariance) {
  if (!fits(pictures, weights, state)) return false;
  double damping = 1e-4, best = squares(pictures, weights, state);
  if (!std::isfinite(best)) return false;
  for (int round = 0; round < kMostSteps; ++round) {
    const std::optional<Sums> sums = sums_of(pictures, weights, state);
    if (!sums) return false;
    double now = best;
    bool better = false;
    while (!better && damping < kMostDamping) {
      LensAndPoses next;
      if (step(*sums, model, damping, state, next)) {
        now = squares(pictures, weights, next);
        better = now <= best;
        if (better) state = next;
      }
      damping *= better ? 0.1 : 10.0;
    }
    if (!better) break;  // as good as the arithmetic allows
    const bool settled = best - now <= kSettled * best;
    best = now;
    damping = std::max(damping, 1e-12);
    if (settled) break;
  }
  if (unit_covariance == nullptr) return true;
  const std::optional<Sums> sums = sums_of(pictures, weights, state);
  Reduced reduced;
  cv::Mat inverse;
  if (!sums || !reduce(*sums, model, 0.0, reduced) || !invert(reduced.matrix, inverse)) return false;
  *unit_covariance = cv::Matx<double, 9, 9>::zeros();
  for (std::size_t i = 0; i < reduced.active.size(); ++i)
    for (std::size_t k = 0; k < reduced.active.size(); ++k)
      (*unit_covariance)(static_cast<int>(reduced.active[i]), static_cast<int>(reduced.active[k])) =
          0.5 * (inverse.at<double>(static_cast<int>(i), static_cast<int>(k)) +
                 inverse.at<double>(static_cast<int>(k), static_cast<int>(i)));
  return true;
}

bool adjust_pose(const LensPicture& picture, const std::vector<double>& weights, const vision::Lens& lens,
                 vision::CameraPose& pose) {
  double damping = 1e-4, best = squares(picture, weights, lens, pose);
  if (!std::isfinite(best)) return false;
  for (int round = 0; round < kMostSteps; ++round) {
    PictureSums sums;
    if (!add(picture, weights, lens, pose, sums, nullptr)) return false;
    double now = best;
    bool better = false;
    while (!better && damping < kMostDamping) {
      cv::Matx66d matrix = sums.pose;
      for (int i = 0; i < 6; ++i) matrix(i, i) *= 1.0 + damping;
      cv::Mat inverse;
      if (invert(cv::Mat(matrix), inverse)) {
        const vision::CameraPose next = moved(pose, cv::Matx66d(inverse) * sums.right);
        now = squares(picture, weights, lens, next);
        better = now <= best;
        if (better) pose = next;
      }
      damping *= better ? 0.1 : 10.0;
    }
    if (!better || best - now <= kSettled * best) return true;
    best = now;
  }
  return true;
}

}  // namespace calib
