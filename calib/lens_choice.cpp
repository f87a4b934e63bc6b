#include "calib/lens_choice.h"

#include <algorithm>
#include <cmath>

namespace calib {
namespace {

constexpr std::size_t kFewestPictures = 4;
constexpr std::size_t kMostFolds = 5;

// The pose of a picture from every other corner; then what it leaves at the corners between.
struct HeldOut {
  double squares = 0.0, weighted = 0.0;  // sums
  double corners = 0.0;
  bool good = true;
};

void foretell(const LensPicture& picture, const std::vector<double>& weights, const vision::Lens& lens,
              vision::CameraPose pose, std::size_t parity, HeldOut& out) {
  std::vector<double> known = weights;
  for (std::size_t i = 0; i < known.size(); ++i)
    if (i % 2 != parity) known[i] = 0.0;
  if (!adjust_pose(picture, known, lens, pose)) {
    out.good = false;
    return;
  }
  const std::vector<cv::Point2d> left = residuals_px(lens, pose, picture);
  for (std::size_t i = 0; i < left.size(); ++i) {
    if (i % 2 == parity || weights[i] <= 0.0) continue;
    out.squares += left[i].dot(left[i]);
    out.weighted += weights[i] * left[i].dot(left[i]);
    out.corners += 1.0;
  }
}

template <class Value>
std::vector<Value> without_fold(const std::vector<Value>& all, std::size_t fold, std::size_t folds) {
  std::vector<Value> out;
  for (std::size_t i = 0; i < all.size(); ++i)
    if (i % folds != fold) out.push_back(all[i]);
  return out;
}

// A model's held-out errors, picture by picture; nothing where it could not be fitted.
std::optional<std::vector<HeldOut>> held_out(const std::vector<LensPicture>& pictures, const PointWeights& weights,
                                             LensModel model, const LensAndPoses& start) {
  const std::size_t folds = std::min(kMostFolds, pictures.size());
  std::vector<HeldOut> errors(pictures.size());
  for (std::size_t fold = 0; fold < folds; ++fold) {
    LensAndPoses state = start;
    state.camera_from_sheet = without_fold(start.camera_from_sheet, fold, folds);
    if (!adjust(without_fold(pictures, fold, folds), without_fold(weights, fold, folds), model, state))
      return std::nullopt;
    for (std::size_t i = fold; i < pictures.size(); i += folds) {
      for (const std::size_t parity : {std::size_t{0}, std::size_t{1}})
        foretell(pictures[i], weights[i], state.lens, start.camera_from_sheet[i], parity, errors[i]);
      if (!errors[i].good || !(errors[i].corners > 0.0)) return std::nullopt;
    }
  }
  return errors;
}

double mean_error(const HeldOut& picture) { return picture.weighted / picture.corners; }

// Whether `simple` is no worse than `best` but for the luck of these pictures.
bool within_noise(const std::vector<HeldOut>& simple, const std::vector<HeldOut>& best) {
  const auto n = static_cast<double>(best.size());
  double mean = 0.0, square = 0.0;
  for (std::size_t i = 0; i < best.size(); ++i) {
    const double difference = mean_error(simple[i]) - mean_error(best[i]);
    mean += difference / n;
    square += difference * difference / n;
  }
  return mean <= std::sqrt(std::max(0.0, square - mean * mean) / (n - 1.0));
}

double sum_of_means(const std::vector<HeldOut>& errors) {
  double sum = 0.0;
  for (const HeldOut& picture : errors) sum += mean_error(picture);
  return sum;
}

double rms_px(const std::vector<HeldOut>& errors) {
  double squares = 0.0, corners = 0.0;
  for (const HeldOut& picture : errors) {
    squares += picture.squares;
    corners += picture.corners;
  }
  return std::sqrt(squares / corners);
}

}  // namespace

bool is_one_to_one(const vision::Lens& lens) {
  constexpr int kSteps = 8;
  for (int i = 0; i <= kSteps; ++i)
    for (int k = 0; k <= kSteps; ++k) {
      const cv::Point2d p((lens.width_px - 1.0) * i / kSteps, (lens.height_px - 1.0) * k / kSteps);
      const cv::Point2d n = vision::undistort(lens, p);
      if (!std::isfinite(n.x) || !std::isfinite(n.y)) return false;
    }
  return true;
}

LensChoice choose_model(const std::vector<LensPicture>& pictures, const PointWeights& weights,
                        const LensAndPoses& state) {
  LensChoice choice;
  if (pictures.size() < kFewestPictures) return choice;
  std::vector<std::optional<std::vector<HeldOut>>> errors;
  std::optional<std::size_t> best;
  for (const LensModel model : kLensModels) {
    LensAndPoses own = state;
    for (std::size_t i = parameters_of(model).size(); i < kLensParameters; ++i) set_parameter(own.lens, i, 0.0);
    errors.emplace_back();
    if (adjust(pictures, weights, model, own) && is_one_to_one(own.lens))
      errors.back() = held_out(pictures, weights, model, own);
    const bool fitted = errors.back().has_value();
    choice.scores.push_back({model, fitted ? rms_px(*errors.back()) : 0.0, fitted});
    if (fitted && (!best || sum_of_means(*errors.back()) < sum_of_means(*errors[*best]))) best = errors.size() - 1;
  }
  if (!best) return choice;
  for (std::size_t i = 0; i <= *best; ++i) {
    if (!errors[i] || (i != *best && !within_noise(*errors[i], *errors[*best]))) continue;
    choice.model = kLensModels[i];
    break;
  }
  return choice;
}

}  // namespace calib
