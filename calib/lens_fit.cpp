#include "calib/lens_fit.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "calib/lens_choice.h"
#include "calib/lens_start.h"
#include "calib/lens_weights.h"

namespace calib {
namespace {

// A picture is an outlier when its corners lie so many times further off than those of the typical one. Pictures of
// one sitting differ by blur and distance by less than that.
constexpr double kOutlierTimes = 2.5;
// A few corners may be off (a thumb, a glint) in a picture whose others fit as the typical one's do.
constexpr double kFewCorners = 0.1, kOthersFit = 1.8;
constexpr std::size_t kFewestToCompare = 4;  // pictures
constexpr double kMostLeftOut = 1.0 / 3.0;   // of the pictures
constexpr double kMostFocalDoubt = 0.02;     // standard uncertainty of fx and fy, of them
constexpr int kGentleRounds = 1, kSharpRounds = 6;

std::string text(const char* format, double a, double b = 0.0) {
  char out[160];
  std::snprintf(out, sizeof out, format, a, b);
  return out;
}

// The pictures that are still in, with where they stand in the result.
class LensFitting {
 public:
  LensFitting(const std::vector<LensPicture>& pictures, cv::Size size_px, const LensFitOptions& options)
      : options_(options), size_px_(size_px) {
    for (const LensPicture& picture : pictures) {
      LensPictureFit& fit = result_.each.emplace_back();
      fit.name = picture.name;
      if (picture.image_px.size() != picture.in_sheet_mm.size() ||
          (!picture.sigma_px.empty() && picture.sigma_px.size() != picture.image_px.size()))
        fit.why = "its corners' lists differ in length";
      else if (picture.image_px.size() < std::max<std::size_t>(options.fewest_corners, 4))
        fit.why = "too few corners: " + std::to_string(picture.image_px.size());
      else if (!lens_start({picture}, size_px))
        fit.why = "its corners show no flat sheet";
      fit.used = fit.why.empty();
      if (fit.used) {
        pictures_.push_back(picture);
        index_.push_back(result_.each.size() - 1);
      }
    }
  }

  LensFit run() {
    result_.fault = find();
    if (result_.fault == LensFault::none || result_.fault == LensFault::pictures_disagree) report();
    if (result_.fault != LensFault::none) result_.lens.covariance.reset();
    return result_;
  }

 private:
  LensFault find() {
    if (pictures_.size() < std::max<std::size_t>(options_.fewest_pictures, 2)) return LensFault::too_few_pictures;
    const std::optional<LensAndPoses> start = lens_start(pictures_, size_px_);
    if (!start) return LensFault::too_few_pictures;
    state_ = *start;
    if (const LensFault fault = climb(); fault != LensFault::none) return fault;
    if (const LensFault fault = clean(); fault != LensFault::none) return fault;
    if (!options_.model) {
      const LensChoice choice = choose_model(pictures_, weighed_.weights, state_);
      result_.scores = choice.scores;
      model_ = choice.model;
      for (std::size_t i = parameters_of(model_).size(); i < kLensParameters; ++i) set_parameter(state_.lens, i, 0.0);
      if (const LensFault fault = clean(); fault != LensFault::none) return fault;
    }
    return conclude();
  }

  // From no distortion to the fullest model, or the one that is wanted, each starting at the last.
  LensFault climb() {
    const LensModel fullest =
        options_.model.value_or(pictures_.size() < kFewestToCompare ? LensModel::k1_k2 : kLensModels.back());
    bool any = false;
    for (const LensModel model : kLensModels) {
      if (model > fullest) break;
      weighed_ = weigh(Weighing::gentle);
      LensAndPoses next = state_;
      if (!adjust(pictures_, weighed_.weights, model, next)) break;
      state_ = next;
      model_ = model;
      any = true;
    }
    if (!any || (options_.model && model_ != *options_.model)) return LensFault::too_flat;
    return LensFault::none;
  }

  WeighedCorners weigh(Weighing weighing) const {
    WeighedCorners out = weigh_corners(pictures_, state_, weighing);
    if (options_.robust) return out;
    for (std::vector<double>& weights : out.weights) std::fill(weights.begin(), weights.end(), 1.0);
    return out;
  }

  bool settle() {
    for (int round = 0; round < kGentleRounds; ++round) {
      weighed_ = weigh(Weighing::gentle);
      if (!adjust(pictures_, weighed_.weights, model_, state_)) return false;
    }
    for (int round = 0; round < kSharpRounds; ++round) {
      weighed_ = weigh(Weighing::sharp);
      const vision::Lens before = state_.lens;
      if (!adjust(pictures_, weighed_.weights, model_, state_)) return false;
      if (std::abs(before.fx - state_.lens.fx) + std::abs(before.cx - state_.lens.cx) < 1e-6 * state_.lens.fx) break;
    }
    return true;
  }

  // Fits, and leaves out the worst picture as long as one is an outlier.
  LensFault clean() {
    while (true) {
      if (!settle()) return LensFault::too_flat;
      const std::optional<std::size_t> worst = options_.remove_pictures ? outlier() : std::nullopt;
      if (!worst) return LensFault::none;
      if (static_cast<double>(left_out_ + 1) > kMostLeftOut * static_cast<double>(left_out_ + pictures_.size()))
        return LensFault::pictures_disagree;
      leave_out(*worst);
      if (pictures_.size() < std::max<std::size_t>(options_.fewest_pictures, 2)) return LensFault::too_few_pictures;
    }
  }

  struct Misfit {
    double all = 0.0, inliers = 0.0;  // root mean square distance in standard deviations
    double share_off = 0.0;           // of the corners
  };

  Misfit misfit(std::size_t picture) const {
    Misfit out;
    double inliers = 0.0;
    const std::vector<double>& distances = weighed_.distance[picture];
    for (std::size_t i = 0; i < distances.size(); ++i) {
      out.all += distances[i] * distances[i];
      if (weighed_.weights[picture][i] <= 0.0) continue;
      out.inliers += distances[i] * distances[i];
      inliers += 1.0;
    }
    const auto count = static_cast<double>(distances.size());
    out.all = std::sqrt(out.all / count);
    out.inliers = inliers > 0.0 ? std::sqrt(out.inliers / inliers) : out.all;
    out.share_off = 1.0 - inliers / count;
    return out;
  }

  std::optional<std::size_t> outlier() const {
    if (pictures_.size() < kFewestToCompare) return std::nullopt;
    std::vector<double> sorted;
    for (std::size_t i = 0; i < pictures_.size(); ++i) sorted.push_back(misfit(i).inliers);
    std::sort(sorted.begin(), sorted.end());
    const double typical = sorted[(sorted.size() - 1) / 2];
    std::optional<std::size_t> worst;
    for (std::size_t i = 0; i < pictures_.size(); ++i) {
      const Misfit own = misfit(i);
      const bool single_corners = own.share_off <= kFewCorners && own.inliers <= kOthersFit * typical;
      if (!(own.all <= kOutlierTimes * typical) && !single_corners && (!worst || own.all > misfit(*worst).all))
        worst = i;
    }
    return worst;
  }

  void leave_out(std::size_t picture) {
    LensPictureFit& fit = result_.each[index_[picture]];
    record(picture);
    fit.used = false;
    fit.why = text("its corners lie %.2f px off, the others' %.2f px: misread corners, a bent sheet or motion",
                   fit.rms_px, typical_rms_px(picture));
    const auto at = static_cast<std::ptrdiff_t>(picture);
    pictures_.erase(pictures_.begin() + at);
    index_.erase(index_.begin() + at);
    state_.camera_from_sheet.erase(state_.camera_from_sheet.begin() + at);
    ++left_out_;
  }

  double typical_rms_px(std::size_t except) const {
    std::vector<double> all;
    for (std::size_t i = 0; i < pictures_.size(); ++i)
      if (i != except) all.push_back(rms_of(residuals(i), {}));
    std::nth_element(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2), all.end());
    return all[all.size() / 2];
  }

  std::vector<cv::Point2d> residuals(std::size_t i) const {
    return residuals_px(state_.lens, state_.camera_from_sheet[i], pictures_[i]);
  }

  static double rms_of(const std::vector<cv::Point2d>& left, const std::vector<bool>& used) {
    double sum = 0.0, count = 0.0;
    for (std::size_t i = 0; i < left.size(); ++i) {
      if (!used.empty() && !used[i]) continue;
      sum += left[i].dot(left[i]);
      count += 1.0;
    }
    return std::sqrt(sum / std::max(1.0, count));
  }

  // How a picture stands to the present state.
  void record(std::size_t picture) {
    LensPictureFit& fit = result_.each[index_[picture]];
    fit.camera_from_sheet = state_.camera_from_sheet[picture];
    fit.residuals_px = residuals(picture);
    fit.corner_used.clear();
    for (const double weight : weighed_.weights[picture]) fit.corner_used.push_back(weight > 0.0);
    fit.rms_px = rms_of(fit.residuals_px, {});
  }

  // The covariance for the scatter that is there.
  LensFault conclude() {
    cv::Matx<double, 9, 9> covariance;
    if (!adjust(pictures_, weighed_.weights, model_, state_, &covariance)) return LensFault::too_flat;
    double sum = 0.0, count = 0.0;
    for (std::size_t i = 0; i < pictures_.size(); ++i) {
      const std::vector<cv::Point2d> left = residuals(i);
      for (std::size_t k = 0; k < left.size(); ++k) {
        sum += weighed_.weights[i][k] * left[k].dot(left[k]);
        count += weighed_.weights[i][k] > 0.0 ? 2.0 : 0.0;
      }
    }
    const double freedom =
        count - 6.0 * static_cast<double>(pictures_.size()) - static_cast<double>(parameters_of(model_).size());
    if (!(freedom >= 1.0)) return LensFault::too_few_pictures;
    state_.lens.covariance = covariance * (sum / freedom);
    return doubts();
  }

  LensFault doubts() const {
    const vision::Lens& lens = state_.lens;
    if (!(standard_uncertainty(lens, 0) <= kMostFocalDoubt * lens.fx) ||
        !(standard_uncertainty(lens, 1) <= kMostFocalDoubt * lens.fy))
      return LensFault::too_flat;
    for (std::size_t i = 0; i < kLensParameters; ++i)
      if (!std::isfinite(parameter(lens, i)) || std::abs(parameter(lens, i)) > (i < 4 ? 1e6 : 50.0))
        return LensFault::not_a_lens;
    const bool centred = lens.cx > 0.0 && lens.cx < lens.width_px && lens.cy > 0.0 && lens.cy < lens.height_px;
    const bool square = lens.fx > 0.0 && lens.fx < 1.5 * lens.fy && lens.fy < 1.5 * lens.fx;
    return centred && square && is_one_to_one(lens) ? LensFault::none : LensFault::not_a_lens;
  }

  void report() {
    result_.lens = state_.lens;
    result_.model = model_;
    result_.pictures = pictures_.size();
    double sum = 0.0;
    for (std::size_t i = 0; i < pictures_.size(); ++i) {
      record(i);
      const LensPictureFit& fit = result_.each[index_[i]];
      for (std::size_t k = 0; k < fit.residuals_px.size(); ++k) {
        if (!fit.corner_used[k]) continue;
        sum += fit.residuals_px[k].dot(fit.residuals_px[k]);
        ++result_.corners;
      }
    }
    result_.rms_px = std::sqrt(sum / static_cast<double>(std::max<std::size_t>(1, result_.corners)));
  }

  const LensFitOptions& options_;
  cv::Size size_px_;
  std::vector<LensPicture> pictures_;
  std::vector<std::size_t> index_;  // of each in the result
  LensAndPoses state_;
  WeighedCorners weighed_;
  LensModel model_ = LensModel::none;
  std::size_t left_out_ = 0;
  LensFit result_;
};

}  // namespace

std::string advice(LensFault fault) {
  switch (fault) {
    case LensFault::none:
      return {};
    case LensFault::too_few_pictures:
      return "too few pictures show the calibration sheet well enough; take more, each at another place and tilt";
    case LensFault::too_flat:
      return "the pictures are too much alike to tell the lens; tilt the sheet to all sides and bring it to the rim";
    case LensFault::pictures_disagree:
      return "the pictures do not fit one another; check that the focus is locked, the sheet flat and held still";
    case LensFault::not_a_lens:
      return "the pictures lead to a lens that cannot be; check the sheet against its print, and take new pictures";
  }
  return {};
}

LensFit fit_lens(const std::vector<LensPicture>& pictures, cv::Size size_px, const LensFitOptions& options) {
  return LensFitting(pictures, size_px, options).run();
}

double standard_uncertainty(const vision::Lens& lens, std::size_t index) {
  if (!lens.covariance) return 0.0;
  const int i = static_cast<int>(index);
  return std::sqrt(std::max(0.0, (*lens.covariance)(i, i)));
}

LensPicture lens_picture(const SeenChart& chart, const std::string& name, double print_scale) {
  LensPicture picture;
  picture.name = name;
  for (const ChartCorner& corner : chart.corners) {
    picture.in_sheet_mm.push_back(chart_corner_mm(corner.id) * print_scale);
    picture.image_px.push_back(corner.image_px);
    picture.sigma_px.push_back(corner.sigma_px);
  }
  return picture;
}

}  // namespace calib
