#include "vision/board_pose.h"

#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>

#include "vision/geometry.h"

namespace vision {
namespace {

// One seen mark with what the survey says of it.
struct Pair {
  int index = 0;
  const SeenTag* seen = nullptr;
  std::array<cv::Point2d, 4> corners_in_board;
  std::array<cv::Point2d, 4> outward;  // the way a corner moves when the black square swells by 1 mm
  double sigma = 0.0;                  // normalised coordinates
};

constexpr double kMostSwellMm = 0.5;

std::vector<Pair> pair_up(const std::vector<SeenTag>& tags, const Station& station) {
  std::vector<Pair> pairs;
  const double focal = 0.5 * (station.lens.fx + station.lens.fy);
  for (size_t i = 0; i < tags.size(); ++i) {
    for (const BoardMark& mark : station.board_marks) {
      if (mark.id != tags[i].id) continue;
      // Survey and print leave a few hundredths of a pixel however fine the corners are.
      Pair pair{static_cast<int>(i),
                &tags[i],
                board_mark_corners(mark, station.print_scale),
                {},
                std::max(tags[i].sigma_px, 0.03) / focal};
      for (size_t k = 0; k < 4; ++k) {
        const cv::Point2d half_diagonal = 0.5 * (pair.corners_in_board[k] - pair.corners_in_board[(k + 2) % 4]);
        pair.outward[k] = half_diagonal * (std::sqrt(2.0) / cv::norm(half_diagonal));
      }
      pairs.push_back(pair);
    }
  }
  return pairs;
}

cv::Vec3d in_camera(const CameraPose& pose, cv::Point2d p_in_board) {
  return pose.rotation * cv::Vec3d(p_in_board.x, p_in_board.y, 0.0) + pose.translation_mm;
}

// Mean square distance of a mark's corners, normalised coordinates, when its black square may have swollen or shrunk
// evenly by up to half a millimetre: that says nothing of where it is stuck.
double mean_square(const Pair& pair, const CameraPose& pose) {
  std::array<cv::Point2d, 4> error, out;
  double swell = 0.0, depth = 0.0;
  for (size_t k = 0; k < 4; ++k) {
    const cv::Vec3d p = in_camera(pose, pair.corners_in_board[k]);
    if (!(p[2] > 0.0)) return 1e9;
    error[k] = pair.seen->corners_normalised[k] - cv::Point2d(p[0] / p[2], p[1] / p[2]);
    const cv::Point2d diagonal = pair.seen->corners_normalised[k] - pair.seen->corners_normalised[(k + 2) % 4];
    out[k] = diagonal * (1.0 / cv::norm(diagonal));
    swell += 0.25 * error[k].dot(out[k]);
    depth += 0.25 * p[2];
  }
  const double most = kMostSwellMm * std::sqrt(2.0) / depth;
  swell = std::clamp(swell, -most, most);
  double sum = 0.0;
  for (size_t k = 0; k < 4; ++k) {
    const cv::Point2d left = error[k] - swell * out[k];
    sum += left.dot(left);
  }
  return std::isfinite(sum) ? sum / 4.0 : 1e9;
}

bool agrees(const Pair& pair, const CameraPose& pose, const BoardPoseOptions& options) {
  return std::sqrt(mean_square(pair, pose)) <= options.mark_limit_per_mille * 1e-3;
}

cv::Matx33d rotation_from_vector(const cv::Vec3d& v) {
  cv::Matx33d r;
  cv::Rodrigues(v, r);
  return r;
}

// Pose from a homography normalised_from_board, the rotation made orthonormal (Zhang 2000, section 3.1).
std::optional<CameraPose> pose_from_homography(const cv::Matx33d& h) {
  const cv::Vec3d h1(h(0, 0), h(1, 0), h(2, 0)), h2(h(0, 1), h(1, 1), h(2, 1)), h3(h(0, 2), h(1, 2), h(2, 2));
  const double scale = 0.5 * (cv::norm(h1) + cv::norm(h2)) * (h3[2] < 0.0 ? -1.0 : 1.0);
  if (!(std::abs(scale) > 1e-15)) return std::nullopt;
  const cv::Vec3d r1 = h1 * (1.0 / scale), r2 = h2 * (1.0 / scale), r3 = r1.cross(r2);
  const cv::Matx33d raw(r1[0], r2[0], r3[0], r1[1], r2[1], r3[1], r1[2], r2[2], r3[2]);
  cv::Matx31d w;
  cv::Matx33d u, vt;
  cv::SVD::compute(raw, w, u, vt);
  CameraPose pose;
  pose.rotation = u * vt;
  if (cv::determinant(pose.rotation) < 0.0) return std::nullopt;
  pose.translation_mm = h3 * (1.0 / scale);
  return pose;
}

// The tone curve of a camera and spread ink move all sides of the black squares in or out by one small amount. It is
// read off the residuals and put into the corners, so that it neither pulls the pose nor passes for scatter.
void take_out_swelling(std::vector<Pair>& pairs, const std::vector<char>& in_use, const CameraPose& pose) {
  double sum = 0.0, squares = 0.0;
  for (size_t i = 0; i < pairs.size(); ++i) {
    if (!in_use[i]) continue;
    for (size_t k = 0; k < 4; ++k) {
      const cv::Point2d seen = board_at_height_normalised(pose, pairs[i].seen->corners_normalised[k], 0.0);
      sum += (seen - pairs[i].corners_in_board[k]).dot(pairs[i].outward[k]);
      squares += pairs[i].outward[k].dot(pairs[i].outward[k]);
    }
  }
  const double swell_mm = sum / std::max(squares, 1e-9);
  if (!(std::abs(swell_mm) < kMostSwellMm)) return;
  for (Pair& pair : pairs) {
    for (size_t k = 0; k < 4; ++k) pair.corners_in_board[k] += swell_mm * pair.outward[k];
  }
}

std::optional<CameraPose> pose_of(std::vector<Pair> pairs) {
  std::optional<CameraPose> pose;
  const std::vector<char> all(pairs.size(), 1);
  // Once as printed and once with the swelling taken out, which would tilt a pose that rests on two marks.
  for (int round = 0; round < 2; ++round) {
    std::vector<cv::Point2d> board, image;
    for (const Pair& pair : pairs) {
      board.insert(board.end(), pair.corners_in_board.begin(), pair.corners_in_board.end());
      image.insert(image.end(), pair.seen->corners_normalised.begin(), pair.seen->corners_normalised.end());
    }
    const cv::Mat h = cv::findHomography(board, image, 0);
    if (h.empty()) return std::nullopt;
    pose = pose_from_homography(cv::Matx33d(h));
    if (!pose) return std::nullopt;
    take_out_swelling(pairs, all, *pose);
  }
  return pose;
}

// Gauss-Newton on the marks in use; false when they do not determine a pose.
bool refine(const std::vector<Pair>& pairs, const std::vector<char>& in_use, CameraPose& pose, double& chi2) {
  for (int round = 0; round < 10; ++round) {
    cv::Matx66d normal = cv::Matx66d::zeros();
    cv::Vec6d right = cv::Vec6d::all(0.0);
    chi2 = 0.0;
    for (size_t i = 0; i < pairs.size(); ++i) {
      if (!in_use[i]) continue;
      const double weight = 1.0 / (pairs[i].sigma * pairs[i].sigma);
      for (size_t k = 0; k < 4; ++k) {
        const cv::Vec3d rotated =
            pose.rotation * cv::Vec3d(pairs[i].corners_in_board[k].x, pairs[i].corners_in_board[k].y, 0.0);
        const cv::Vec3d p = rotated + pose.translation_mm;
        if (!(p[2] > 0.0)) return false;
        const double iz = 1.0 / p[2], u = p[0] * iz, v = p[1] * iz;
        // d(u, v)/dp times dp/d(rotation vector, translation); the turn is about the board's origin.
        const cv::Vec3d du(iz, 0.0, -u * iz), dv(0.0, iz, -v * iz);
        const cv::Vec3d du_turn = rotated.cross(du), dv_turn = rotated.cross(dv);
        const cv::Vec6d ju(du_turn[0], du_turn[1], du_turn[2], du[0], du[1], du[2]);
        const cv::Vec6d jv(dv_turn[0], dv_turn[1], dv_turn[2], dv[0], dv[1], dv[2]);
        const cv::Point2d error = pairs[i].seen->corners_normalised[k] - cv::Point2d(u, v);
        normal += weight * (ju * ju.t() + jv * jv.t());
        right += weight * (error.x * ju + error.y * jv);
        chi2 += weight * error.dot(error);
      }
    }
    cv::Vec6d step;
    if (!cv::solve(normal, right, step, cv::DECOMP_CHOLESKY)) return false;
    pose.rotation = rotation_from_vector({step[0], step[1], step[2]}) * pose.rotation;
    pose.translation_mm += cv::Vec3d(step[3], step[4], step[5]);
    pose.covariance = normal.inv(cv::DECOMP_CHOLESKY);
    if (std::abs(step[0]) + std::abs(step[1]) + std::abs(step[2]) < 1e-9 && cv::norm(step) < 1e-5) break;
  }
  return std::isfinite(chi2);
}

int count(const std::vector<char>& flags) { return static_cast<int>(std::count(flags.begin(), flags.end(), 1)); }

std::vector<char> agreeing(const std::vector<Pair>& pairs, const CameraPose& pose, const BoardPoseOptions& options) {
  std::vector<char> flags(pairs.size(), 0);
  for (size_t i = 0; i < pairs.size(); ++i) flags[i] = agrees(pairs[i], pose, options) ? 1 : 0;
  return flags;
}

// The pose that most marks agree with, tried from every pair of them. Two marks extrapolate: the limit is eased here.
std::optional<CameraPose> consensus(const std::vector<Pair>& pairs, const BoardPoseOptions& options) {
  BoardPoseOptions eased = options;
  eased.mark_limit_per_mille *= 4.0;
  std::optional<CameraPose> best;
  int most = 0;
  double least = 1e300;
  for (size_t a = 0; a < pairs.size(); ++a) {
    for (size_t b = a + 1; b < pairs.size(); ++b) {
      const std::optional<CameraPose> pose = pose_of({pairs[a], pairs[b]});
      if (!pose) continue;
      int agree = 0;
      double sum = 0.0;
      for (const Pair& pair : pairs) {
        if (!agrees(pair, *pose, eased)) continue;
        ++agree;
        sum += mean_square(pair, *pose);
      }
      if (agree > most || (agree == most && sum < least)) {
        most = agree;
        least = sum;
        best = pose;
      }
    }
  }
  return most >= options.least_marks ? best : std::nullopt;
}

// Refines, drops what disagrees, takes back what agrees again, until the set is stable.
bool settle(std::vector<Pair>& pairs, std::vector<char>& in_use, CameraPose& pose, double& chi2,
            const BoardPoseOptions& options) {
  for (int round = 0; round < 6; ++round) {
    if (count(in_use) < options.least_marks || !refine(pairs, in_use, pose, chi2)) return false;
    if (round == 0) {
      take_out_swelling(pairs, in_use, pose);
      if (!refine(pairs, in_use, pose, chi2)) return false;
    }
    const std::vector<char> now = agreeing(pairs, pose, options);
    if (now == in_use) return true;
    if (count(now) >= options.least_marks) {
      in_use = now;
      continue;
    }
    return false;
  }
  return false;
}

}  // namespace

std::array<cv::Point2d, 4> board_mark_corners(const BoardMark& mark, double print_scale) {
  const double half = 0.5 * mark.size_mm * print_scale;
  const Pose2 board_from_mark{{mark.x_mm, mark.y_mm}, mark.angle_deg * kRadPerDeg};
  return {apply(board_from_mark, {-half, half}), apply(board_from_mark, {half, half}),
          apply(board_from_mark, {half, -half}), apply(board_from_mark, {-half, -half})};
}

BoardPose board_pose(const std::vector<SeenTag>& marks, const Station& station, const std::optional<CameraPose>& start,
                     const BoardPoseOptions& options) {
  BoardPose outcome;
  std::vector<Pair> pairs = pair_up(marks, station);
  if (static_cast<int>(pairs.size()) < options.least_marks) {
    outcome.error = BoardPoseError::too_few_marks;
    return outcome;
  }
  std::vector<char> in_use;
  CameraPose pose;
  double chi2 = 0.0;
  bool settled = false;
  if (start) {
    pose = *start;
    in_use = agreeing(pairs, pose, options);
    // A start is only followed where most marks agree with it, so that no other pose can have more; anything else
    // deserves the search.
    const auto most = [&] { return 2 * count(in_use) > static_cast<int>(pairs.size()); };
    settled = most() && settle(pairs, in_use, pose, chi2, options) && most();
  }
  if (!settled) {
    pairs = pair_up(marks, station);
    // Most often all marks are in order; only where they are not is the agreement of every two worth its time.
    if (const std::optional<CameraPose> of_all = pose_of(pairs)) {
      pose = *of_all;
      in_use.assign(pairs.size(), 1);
      settled = settle(pairs, in_use, pose, chi2, options) && count(in_use) == static_cast<int>(pairs.size());
    }
  }
  if (!settled) {
    pairs = pair_up(marks, station);
    const std::optional<CameraPose> agreed = consensus(pairs, options);
    if (agreed) {
      pose = *agreed;
      BoardPoseOptions eased = options;
      eased.mark_limit_per_mille *= 4.0;
      in_use = agreeing(pairs, pose, eased);
      settled = settle(pairs, in_use, pose, chi2, options);
    }
  }
  if (!settled) {
    outcome.error = BoardPoseError::marks_disagree;
    for (const Pair& pair : pairs) outcome.disagreeing.push_back(pair.index);
    return outcome;
  }
  double squares = 0.0;
  for (size_t i = 0; i < pairs.size(); ++i) {
    (in_use[i] ? outcome.agreeing : outcome.disagreeing).push_back(pairs[i].index);
    if (in_use[i]) squares += mean_square(pairs[i], pose);
  }
  const int agree = count(in_use);
  outcome.rms_px = std::sqrt(squares / agree) * 0.5 * (station.lens.fx + station.lens.fy);
  // Birge's ratio: where the corners scatter more than their sigma says, the scatter is believed.
  const double birge = std::max(1.0, chi2 / (8.0 * agree - 6.0));
  pose.covariance *= birge;
  outcome.camera_from_board = pose;
  return outcome;
}

bool marks_agree(const std::vector<SeenTag>& marks, const Station& station, const CameraPose& pose,
                 const BoardPoseOptions& options) {
  const std::vector<Pair> pairs = pair_up(marks, station);
  // Of a number that is there twice one in its place is enough.
  return !pairs.empty() && std::all_of(pairs.begin(), pairs.end(), [&](const Pair& pair) {
    return std::any_of(pairs.begin(), pairs.end(), [&](const Pair& other) {
      return other.seen->id == pair.seen->id && agrees(other, pose, options);
    });
  });
}

}  // namespace vision
