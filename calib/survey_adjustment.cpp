#include "calib/survey_adjustment.h"

#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>
#include <utility>

#include "calib/survey_rows.h"

namespace calib {
namespace {

// Where the lens does not fit the rounds shrink slowly; a hundredth of a standard deviation is near enough.
constexpr int kMostRounds = 100;
constexpr double kSmallGain = 1e-9, kSmallGainShare = 1e-4;
constexpr int kLensParameters = 9;
constexpr int kMarkParameters = 12;

class Equations {
 public:
  Equations(const SurveyProblem& problem, const SurveyState& state, Adjustment& out)
      : problem_(problem), state_(state), out_(out) {
    number_parameters();
  }

  int size() const { return size_; }
  const cv::Mat1d& normal() const { return normal_; }
  const cv::Mat1d& right() const { return right_; }

  void build() {
    normal_ = cv::Mat1d(size_, size_, 0.0);
    right_ = cv::Mat1d(size_, 1, 0.0);
    out_.chi2 = 0.0;
    out_.dof = -size_;
    each_row([this](const SurveyRow& row, int, cv::Point2d) { add(row); });
    add_knowledge();
  }

  // The parameters' response to the lens and to the marks' heights: normal^-1 times these columns.
  cv::Mat1d granted_columns() const {
    const int marks = static_cast<int>(problem_.ids.size());
    cv::Mat1d columns(size_, kLensParameters + marks, 0.0);
    each_row([&](const SurveyRow& row, int mark, cv::Point2d image_px) {
      const std::array<cv::Point2d, kLensParameters> by_lens = seen_by_lens(image_px);
      for (int i = 0; i < row.count; ++i) {
        const auto k = static_cast<std::size_t>(i);
        double* to = columns[row.at[k]];
        for (std::size_t j = 0; j < by_lens.size(); ++j) to[j] += row.weight * row.slope[k].dot(by_lens[j]);
        if (mark >= 0) to[kLensParameters + mark] += row.weight * row.slope[k].dot(row.height_slope);
      }
    });
    return columns;
  }

 private:
  void number_parameters() {
    const auto take = [this](int count) { return std::exchange(size_, size_ + count); };
    for (std::size_t i = 0; i < state_.cameras.size(); ++i) out_.camera_at.push_back(take(6));
    for (std::size_t i = 0; i < state_.sheets.size(); ++i) {
      const bool used = state_.camera_of[i] >= 0;
      out_.sheet_at.push_back(used && static_cast<int>(i) != state_.datum ? take(3) : -1);
      out_.lift_at.push_back(used ? take(6) : -1);
    }
    for (const MarkState& mark : state_.marks) out_.mark_at.push_back(mark.in_use ? take(kMarkParameters) : -1);
  }

  template <class Use>
  void each_row(Use use) const {
    for (std::size_t i = 0; i < problem_.pictures.size(); ++i) {
      if (state_.camera_of[i] < 0) continue;
      for (const SheetCorner& corner : problem_.pictures[i].corners)
        if (corner.in_use) use(sheet_row(problem_, state_, out_, i, corner), -1, corner.image_px);
      for (const MarkSight& sight : problem_.pictures[i].marks) {
        if (!state_.marks[static_cast<std::size_t>(sight.mark)].in_use) continue;
        for (std::size_t k = 0; k < 4; ++k)
          use(mark_row(problem_, state_, out_, i, sight, k), sight.mark, sight.image_px[k]);
      }
    }
  }

  void add(const SurveyRow& row) {
    for (int i = 0; i < row.count; ++i) {
      const auto a = static_cast<std::size_t>(i);
      double* to = normal_[row.at[a]];
      for (int j = 0; j < row.count; ++j) {
        const auto b = static_cast<std::size_t>(j);
        to[row.at[b]] += row.weight * row.slope[a].dot(row.slope[b]);
      }
      right_(row.at[a], 0) += row.weight * row.slope[a].dot(row.error);
    }
    out_.chi2 += row.weight * row.error.dot(row.error);
    out_.dof += 2.0;
  }

  // A parameter is known beforehand to be 0 within u.
  void know(int at, double value, double u) {
    const double weight = 1.0 / (u * u);
    normal_(at, at) += weight;
    right_(at, 0) -= weight * value;
    out_.chi2 += weight * value * value;
    out_.dof += 1.0;
  }

  void add_knowledge() {
    const SurveyOptions& o = problem_.options;
    const std::array<double, 6> u{o.sheet_height_u_mm, o.sheet_tilt_u_mm, o.sheet_tilt_u_mm,
                                  o.sheet_bend_u_mm,   o.sheet_bend_u_mm, o.sheet_bend_u_mm};
    for (std::size_t i = 0; i < state_.sheets.size(); ++i) {
      if (out_.lift_at[i] < 0) continue;
      for (std::size_t k = 0; k < 6; ++k) know(out_.lift_at[i] + static_cast<int>(k), state_.sheets[i].lift[k], u[k]);
    }
    for (std::size_t m = 0; m < state_.marks.size(); ++m) {
      const int at = out_.mark_at[m];
      if (at < 0) continue;
      know(at + 3, state_.marks[m].swell_mm, o.swell_u_mm);
      for (int k = 0; k < 4; ++k) {
        const cv::Point2d bias = state_.marks[m].bias_px[static_cast<std::size_t>(k)];
        know(at + 4 + 2 * k, bias.x, o.corner_bias_u_px);
        know(at + 5 + 2 * k, bias.y, o.corner_bias_u_px);
      }
    }
  }

  // How the undistorted point moves with each parameter of the lens, by central differences over one standard
  // uncertainty. Order as in Lens::covariance.
  std::array<cv::Point2d, kLensParameters> seen_by_lens(cv::Point2d image_px) const {
    std::array<cv::Point2d, kLensParameters> out{};
    if (!problem_.lens.covariance) return out;
    for (int j = 0; j < kLensParameters; ++j) {
      const double u = std::sqrt(std::max(0.0, (*problem_.lens.covariance)(j, j)));
      if (!(u > 0.0)) continue;
      const auto moved = [&](double by) {
        vision::Lens lens = problem_.lens;
        double* const parameters[] = {&lens.fx, &lens.fy, &lens.cx, &lens.cy};
        (j < 4 ? *parameters[j] : lens.distortion[static_cast<std::size_t>(j - 4)]) += by;
        return vision::undistort(lens, image_px);
      };
      const cv::Point2d slope = (moved(u) - moved(-u)) * (0.5 / u);
      if (std::isfinite(slope.x) && std::isfinite(slope.y)) out[static_cast<std::size_t>(j)] = slope;
    }
    return out;
  }

  const SurveyProblem& problem_;
  const SurveyState& state_;
  Adjustment& out_;
  int size_ = 0;
  cv::Mat1d normal_, right_;
};

void turn_and_shift(vision::CameraPose& pose, const double* step) {
  cv::Matx33d turn;
  cv::Rodrigues(cv::Vec3d(step[0], step[1], step[2]), turn);
  pose.rotation = turn * pose.rotation;
  pose.translation_mm += cv::Vec3d(step[3], step[4], step[5]);
}

void move(vision::Pose2& pose, const double* step) {
  pose.origin_mm += cv::Point2d(step[0], step[1]);
  pose.angle_rad = vision::wrapped_rad(pose.angle_rad + step[2]);
}

void take_step(SurveyState& state, const Adjustment& places, const cv::Mat1d& step) {
  const auto from = [&step](int at) { return step[0] + at; };
  for (std::size_t i = 0; i < state.cameras.size(); ++i) turn_and_shift(state.cameras[i], from(places.camera_at[i]));
  for (std::size_t i = 0; i < state.sheets.size(); ++i) {
    if (places.sheet_at[i] >= 0) move(state.sheets[i].board_from_sheet, from(places.sheet_at[i]));
    if (places.lift_at[i] < 0) continue;
    for (std::size_t k = 0; k < 6; ++k) state.sheets[i].lift[k] += from(places.lift_at[i])[k];
  }
  for (std::size_t m = 0; m < state.marks.size(); ++m) {
    if (places.mark_at[m] < 0) continue;
    move(state.marks[m].board_from_mark, from(places.mark_at[m]));
    const double* const of_mark = from(places.mark_at[m]);
    state.marks[m].swell_mm += of_mark[3];
    for (std::size_t k = 0; k < 4; ++k) state.marks[m].bias_px[k] += {of_mark[4 + 2 * k], of_mark[5 + 2 * k]};
  }
}

// What is taken for granted and not estimated, as covariance: the lens, then the marks' heights.
cv::Mat1d granted_covariance(const SurveyProblem& problem) {
  const int marks = static_cast<int>(problem.ids.size());
  cv::Mat1d out(kLensParameters + marks, kLensParameters + marks, 0.0);
  if (problem.lens.covariance)
    for (int i = 0; i < kLensParameters; ++i)
      for (int j = 0; j < kLensParameters; ++j) out(i, j) = (*problem.lens.covariance)(i, j);
  const double u = problem.options.mark_height_u_mm;
  for (int m = 0; m < marks; ++m) out(kLensParameters + m, kLensParameters + m) = u * u;
  return out;
}

}  // namespace

double sheet_lift(const SheetState& sheet, cv::Point2d in_sheet_mm) {
  const std::array<double, 6> slopes = sheet_lift_slopes(in_sheet_mm);
  double sum = 0.0;
  for (std::size_t k = 0; k < 6; ++k) sum += slopes[k] * sheet.lift[k];
  return sum;
}

std::array<double, 6> sheet_lift_slopes(cv::Point2d in_sheet_mm) {
  const double u = in_sheet_mm.x / 100.0, v = in_sheet_mm.y / 100.0;
  return {1.0, u, v, u * u, u * v, v * v};
}

double Adjustment::sigma0() const { return dof > 0.0 ? std::sqrt(chi2 / dof) : 1.0; }

Adjustment adjust(const SurveyProblem& problem, SurveyState& state) {
  Adjustment out;
  Equations equations(problem, state, out);
  for (int round = 0;; ++round) {
    equations.build();
    cv::Mat1d step;
    if (!cv::solve(equations.normal(), equations.right(), step, cv::DECOMP_CHOLESKY) || !cv::checkRange(step))
      throw SurveyError("the pictures do not determine the marks; take more of them, the sheet at other places");
    const double gain = step.dot(equations.right());  // in units of chi2
    if (gain < std::max(kSmallGain, kSmallGainShare * out.chi2 / std::max(1.0, out.dof))) break;
    if (round == kMostRounds) throw SurveyError("the pictures do not fit together; take them again");
    take_step(state, out, step);
  }
  const cv::Mat1d inverse(equations.normal().inv(cv::DECOMP_CHOLESKY));
  const double scatter = std::max(1.0, out.sigma0());
  const cv::Mat1d response(inverse * equations.granted_columns());
  out.covariance = cv::Mat1d(inverse * (scatter * scatter) + response * granted_covariance(problem) * response.t());
  for (std::size_t i = 0; i < state.cameras.size(); ++i)
    for (int a = 0; a < 6; ++a)
      for (int b = 0; b < 6; ++b)
        state.cameras[i].covariance(a, b) = out.covariance(out.camera_at[i] + a, out.camera_at[i] + b);
  return out;
}

}  // namespace calib
