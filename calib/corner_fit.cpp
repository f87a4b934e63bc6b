#include "calib/corner_fit.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "vision/small_solve.h"

namespace calib {
namespace {

constexpr double kLargestReachPx = 12.0;  // beyond, the lens bends the edges
constexpr double kLeastReachPx = 2.5;
constexpr double kEdgesKeepOffBlurs = 2.5;  // a neighbouring edge's spread, in blurs, stays out of the window
constexpr std::size_t kFewestPixels = 30;
constexpr double kLeastContrast = 15.0;  // grey levels
constexpr double kMostTurnRad = 0.30;    // of an edge from its expected direction
constexpr double kMostSigmaPx = 0.5;
constexpr double kSigmaFloorPx = 0.01;  // what the model leaves out: finite pixels, bent edges
constexpr int kMostSteps = 30;
constexpr double kSettledPx = 2e-4;

enum : std::size_t { kX, kY, kTurnU, kTurnV, kBlur, kBlack, kWhite, kSlopeX, kSlopeY, kBend, kSpread, kParameters };
using Parameters = std::array<double, kParameters>;

// The window: pixels, their grey levels and in which of 3 x 3 cells they lie.
struct Pixel {
  double x, y, grey;
  std::size_t cell;
};

// The normal distribution, at a place in standard deviations. Read off a table, since nearly all the time goes here;
// straight lines between its entries are right to a millionth.
class Normal {
 public:
  Normal() {
    for (std::size_t i = 0; i < kEntries; ++i) {
      const double at = (static_cast<double>(i) - kMiddle) / kPerUnit;
      share_[i] = 0.5 * std::erfc(-at * std::numbers::sqrt2 / 2.0);
      density_[i] = std::exp(-0.5 * at * at) / std::sqrt(2.0 * std::numbers::pi);
    }
  }
  struct Value {
    double share_below, density;
  };
  Value at(double place) const {
    const double scaled = std::clamp(place * kPerUnit + kMiddle, 0.0, kMiddle * 2.0 - 1.0);
    const auto i = static_cast<std::size_t>(scaled);
    const double part = scaled - static_cast<double>(i);
    return {share_[i] + part * (share_[i + 1] - share_[i]), density_[i] + part * (density_[i + 1] - density_[i])};
  }

 private:
  static constexpr double kPerUnit = 256.0, kMiddle = 6.0 * kPerUnit;
  static constexpr std::size_t kEntries = 2 * 6 * 256 + 1;
  std::array<double, kEntries> share_, density_;
};

const Normal& normal() {
  static const Normal table;
  return table;
}

class CornerFit {
 public:
  CornerFit(const cv::Mat& grey, const CornerGuess& guess, const CornerTolerance& tolerance)
      : grey_(grey), guess_(guess), tolerance_(tolerance) {
    spreads_ = guess.white == kBlackFirst || guess.white == kWhiteFirst;
    turn_sign_ = guess.u_px[0] * guess.v_px[1] - guess.u_px[1] * guess.v_px[0] > 0.0 ? 1.0 : -1.0;
  }

  std::optional<FittedCorner> run() {
    p_[kX] = guess_.at_px.x;
    p_[kY] = guess_.at_px.y;
    p_[kTurnU] = std::atan2(guess_.u_px[1], guess_.u_px[0]);
    p_[kTurnV] = std::atan2(guess_.v_px[1], guess_.v_px[0]);
    p_[kBlur] = 1.5;
    // First with little room and a wide blur, which reaches far; then around the place found, until it rests.
    for (int round = 0; round < 3; ++round) {
      if (!look(round == 0 ? 1.0 : p_[kBlur])) return std::nullopt;
      if (round == 0 && !begin_levels()) return std::nullopt;
      const cv::Point2d before(p_[kX], p_[kY]);
      if (!settle() || !plausible()) return std::nullopt;
      if (round > 0 && std::hypot(p_[kX] - before.x, p_[kY] - before.y) < 0.05) break;
    }
    return report();
  }

 private:
  // Gathers the pixels around the present place; false where the picture ends there or too few are left.
  bool look(double blur_px) {
    const double length_u = cv::norm(guess_.u_px), length_v = cv::norm(guess_.v_px);
    const double det = guess_.u_px[0] * guess_.v_px[1] - guess_.u_px[1] * guess_.v_px[0];
    if (!(std::abs(det) > 0.2 * length_u * length_v)) return false;  // seen too much from the side
    // How far a and b may go: the edges at `reach` lie across, so it is the height above the other direction.
    const double height_a = std::abs(det) / length_v, height_b = std::abs(det) / length_u;
    const double keep_off = kEdgesKeepOffBlurs * blur_px;
    const double reach_a = std::min(guess_.reach * height_a - keep_off, kLargestReachPx) / height_a;
    const double reach_b = std::min(guess_.reach * height_b - keep_off, kLargestReachPx) / height_b;
    if (!(reach_a * height_a >= kLeastReachPx && reach_b * height_b >= kLeastReachPx)) return false;
    const cv::Vec2d far = guess_.u_px * reach_a + guess_.v_px * reach_b,
                    other = guess_.u_px * reach_a - guess_.v_px * reach_b;
    const double half_width = std::max(std::abs(far[0]), std::abs(other[0]));
    const double half_height = std::max(std::abs(far[1]), std::abs(other[1]));
    const double x0 = p_[kX], y0 = p_[kY];
    if (!(x0 - half_width >= 0 && y0 - half_height >= 0 && x0 + half_width <= grey_.cols - 1 &&
          y0 + half_height <= grey_.rows - 1))
      return false;
    pixels_.clear();
    for (int y = static_cast<int>(std::ceil(y0 - half_height)); y <= y0 + half_height; ++y) {
      const uchar* row = grey_.ptr<uchar>(y);
      for (int x = static_cast<int>(std::ceil(x0 - half_width)); x <= x0 + half_width; ++x) {
        const double a = ((x - x0) * guess_.v_px[1] - (y - y0) * guess_.v_px[0]) / det / reach_a;
        const double b = ((y - y0) * guess_.u_px[0] - (x - x0) * guess_.u_px[1]) / det / reach_b;
        if (!(std::abs(a) <= 1.0 && std::abs(b) <= 1.0)) continue;
        const auto third = [](double at) {
          return static_cast<std::size_t>(std::min(2.0, std::floor((at + 1.0) * 1.5)));
        };
        pixels_.push_back(
            {static_cast<double>(x), static_cast<double>(y), static_cast<double>(row[x]), third(a) + 3 * third(b)});
      }
    }
    return pixels_.size() >= kFewestPixels;
  }

  bool begin_levels() {
    std::vector<double> levels;
    for (const Pixel& pixel : pixels_) levels.push_back(pixel.grey);
    std::sort(levels.begin(), levels.end());
    p_[kBlack] = levels[levels.size() / 10];
    p_[kWhite] = levels[levels.size() - 1 - levels.size() / 10];
    return p_[kWhite] - p_[kBlack] >= kLeastContrast;
  }

  struct Directions {
    explicit Directions(const Parameters& p)
        : cos_u(std::cos(p[kTurnU])),
          sin_u(std::sin(p[kTurnU])),
          cos_v(std::cos(p[kTurnV])),
          sin_v(std::sin(p[kTurnV])) {}
    double cos_u, sin_u, cos_v, sin_v;
  };

  // How white it is, and its slopes over the distances from the edges and the spread, all in blurs.
  struct Light {
    double white = 1.0, per_u = 0.0, per_v = 0.0, per_spread = 0.0;
  };

  // Each black sector is a product of two blurred edges, drawn back by the spread; white is what none of them covers.
  Light light_at(double from_u, double from_v, double spread) const {
    Light light;
    for (std::size_t sector = 0; sector < 4; ++sector) {
      if (guess_.white[sector]) continue;
      const double sign_v = sector % 2 == 1 ? 1.0 : -1.0, sign_u = sector >= 2 ? 1.0 : -1.0;
      const auto [share_u, density_u] = normal_table_.at(sign_u * from_u - spread);
      const auto [share_v, density_v] = normal_table_.at(sign_v * from_v - spread);
      const double left = 1.0 - share_u * share_v;
      const double by_u = density_u * share_v, by_v = density_v * share_u;
      light.per_u = light.per_u * left - light.white * sign_u * by_u;
      light.per_v = light.per_v * left - light.white * sign_v * by_v;
      light.per_spread = light.per_spread * left + light.white * (by_u + by_v);
      light.white *= left;
    }
    return light;
  }

  // Grey level of a pixel and its slopes.
  double level(const Pixel& pixel, const Parameters& p, const Directions& directions, Parameters* slope) const {
    const double x = pixel.x - p[kX], y = pixel.y - p[kY];
    const auto [cos_u, sin_u, cos_v, sin_v] = directions;
    // Distances from u's line, positive towards v, and from v's line, positive towards u; in blurs.
    const double from_u = turn_sign_ * (y * cos_u - x * sin_u) / p[kBlur];
    const double from_v = turn_sign_ * (x * sin_v - y * cos_v) / p[kBlur];
    const Light light = light_at(from_u, from_v, p[kSpread] / p[kBlur]);
    const double tone = light.white + p[kBend] * light.white * (1.0 - light.white);
    const double contrast = p[kWhite] - p[kBlack], base = p[kBlack] + contrast * tone;
    const double lit = 1.0 + p[kSlopeX] * x + p[kSlopeY] * y;
    if (slope == nullptr) return base * lit;
    const double per_light = contrast * (1.0 + p[kBend] * (1.0 - 2.0 * light.white)) * lit / p[kBlur];
    const double per_u = per_light * light.per_u, per_v = per_light * light.per_v;
    const double per_spread = per_light * light.per_spread;
    Parameters& s = *slope;
    s[kX] = turn_sign_ * (per_u * sin_u - per_v * sin_v) - base * p[kSlopeX];
    s[kY] = turn_sign_ * (per_v * cos_v - per_u * cos_u) - base * p[kSlopeY];
    s[kTurnU] = -turn_sign_ * per_u * (y * sin_u + x * cos_u);
    s[kTurnV] = turn_sign_ * per_v * (x * cos_v + y * sin_v);
    s[kBlur] = -(per_u * from_u + per_v * from_v + per_spread * p[kSpread] / p[kBlur]);
    s[kSpread] = spreads_ ? per_spread : 0.0;
    s[kBlack] = (1.0 - tone) * lit;
    s[kWhite] = tone * lit;
    s[kSlopeX] = base * x;
    s[kSlopeY] = base * y;
    s[kBend] = !spreads_ ? 0.0 : contrast * light.white * (1.0 - light.white) * lit;
    return base * lit;
  }

  double squares(const Parameters& p) const {
    const Directions directions(p);
    double sum = 0.0;
    for (const Pixel& pixel : pixels_) {
      const double left = pixel.grey - level(pixel, p, directions, nullptr);
      sum += left * left;
    }
    return sum + prior(p);
  }

  // Where the picture is too sharp or too soft to tell the tone curve from the spread, they are small: worth a pixel
  // that is off by a twentieth of the contrast for a bend of 1 or a spread of 1 px. Bears on no corner that looks the
  // same after half a turn.
  double prior_weight(const Parameters& p) const { return 0.0025 * std::pow(p[kWhite] - p[kBlack], 2); }
  double prior(const Parameters& p) const { return prior_weight(p) * (p[kBend] * p[kBend] + p[kSpread] * p[kSpread]); }

  void normal_equations() {
    normal_ = {};
    const Directions directions(p_);
    Parameters slope{};
    for (const Pixel& pixel : pixels_) {
      const double left = pixel.grey - level(pixel, p_, directions, &slope);
      for (std::size_t i = 0; i < kParameters; ++i) {
        for (std::size_t j = 0; j <= i; ++j) normal_.matrix[i][j] += slope[i] * slope[j];
        normal_.right[i] += slope[i] * left;
      }
    }
    for (const std::size_t i : {kBend, kSpread}) {
      normal_.matrix[i][i] += prior_weight(p_);
      normal_.right[i] -= prior_weight(p_) * p_[i];
    }
  }

  // Levenberg's and Marquardt's way to the least squares.
  bool settle() {
    double damping = 1e-3, best = squares(p_);
    for (int step = 0; step < kMostSteps; ++step) {
      normal_equations();
      Parameters change{};
      bool better = false;
      for (int attempt = 0; attempt < 8 && !better; ++attempt) {
        vision::SmallSystem<kParameters> damped = normal_;
        for (std::size_t i = 0; i < kParameters; ++i) damped.matrix[i][i] *= 1.0 + damping;
        if (damped.solve(change)) {
          Parameters next = p_;
          for (std::size_t i = 0; i < kParameters; ++i) next[i] += change[i];
          next[kBlur] = std::clamp(next[kBlur], 0.25, 6.0);
          next[kBend] = std::clamp(next[kBend], -0.9, 0.9);
          next[kSpread] = std::clamp(next[kSpread], -2.0, 2.0);
          const double now = squares(next);
          if (now <= best) {
            p_ = next;
            best = now;
            better = true;
          }
        }
        damping *= better ? 0.1 : 10.0;
      }
      if (!better || std::hypot(change[kX], change[kY]) < kSettledPx) return true;
    }
    return false;
  }

  bool plausible() const {
    const auto turned = [](double now, cv::Vec2d from) {
      return std::abs(std::remainder(now - std::atan2(from[1], from[0]), 2.0 * std::numbers::pi));
    };
    const double nearer = std::min(cv::norm(guess_.u_px), cv::norm(guess_.v_px)) * guess_.reach;
    return p_[kWhite] - p_[kBlack] >= kLeastContrast && turned(p_[kTurnU], guess_.u_px) <= kMostTurnRad &&
           turned(p_[kTurnV], guess_.v_px) <= kMostTurnRad &&
           std::hypot(p_[kX] - guess_.at_px.x, p_[kY] - guess_.at_px.y) <= 0.5 * nearer;
  }

  std::optional<FittedCorner> report() {
    const double contrast = p_[kWhite] - p_[kBlack];
    std::array<double, 9> left_in_cell{}, pixels_in_cell{};
    const Directions directions(p_);
    double sum = 0.0;
    for (const Pixel& pixel : pixels_) {
      const double left = pixel.grey - level(pixel, p_, directions, nullptr);
      sum += left * left;
      left_in_cell[pixel.cell] += left;
      pixels_in_cell[pixel.cell] += 1.0;
    }
    const double variance = sum / static_cast<double>(pixels_.size() - kParameters);
    if (!(std::sqrt(variance) <= tolerance_.misfit * contrast)) return std::nullopt;
    for (std::size_t i = 0; i < 9; ++i)
      if (!(std::abs(left_in_cell[i]) <= tolerance_.part_misfit * contrast * std::max(1.0, pixels_in_cell[i])))
        return std::nullopt;
    normal_equations();
    const std::optional<double> looseness = worst_variance();
    if (!looseness) return std::nullopt;
    FittedCorner corner{
        {p_[kX], p_[kY]}, std::sqrt(*looseness * variance + kSigmaFloorPx * kSigmaFloorPx), p_[kBlur], contrast};
    if (!(corner.sigma_px <= kMostSigmaPx)) return std::nullopt;
    return corner;
  }

  // Larger variance of the place, over its directions, when a pixel's is 1.
  std::optional<double> worst_variance() const {
    std::array<Parameters, 2> column{};
    for (std::size_t i = 0; i < 2; ++i) {
      vision::SmallSystem<kParameters> system = normal_;
      system.right = {};
      system.right[i] = 1.0;
      if (!system.solve(column[i])) return std::nullopt;
    }
    const double xx = column[0][kX], yy = column[1][kY], xy = column[0][kY];
    return 0.5 * (xx + yy) + std::hypot(0.5 * (xx - yy), xy);
  }

  const Normal& normal_table_ = normal();
  const cv::Mat& grey_;
  const CornerGuess& guess_;
  const CornerTolerance& tolerance_;
  bool spreads_ = false;  // whether tone curve and spread can be told from a corner that moved
  double turn_sign_ = 1.0;
  Parameters p_{};
  std::vector<Pixel> pixels_;
  vision::SmallSystem<kParameters> normal_;
};

}  // namespace

std::optional<FittedCorner> fit_corner(const cv::Mat& grey, const CornerGuess& guess,
                                       const CornerTolerance& tolerance) {
  CV_Assert(grey.type() == CV_8UC1);
  return CornerFit(grey, guess, tolerance).run();
}

}  // namespace calib
