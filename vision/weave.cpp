#include "vision/weave.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <opencv2/imgproc.hpp>

#include "vision/small_solve.h"

namespace vision {
namespace {

constexpr double kLeastCloth = 1500.0;  // mm^2 in sight
constexpr double kFadeMm = 10.0;
constexpr double kLocalMeanMm = 18.0;             // broader than this is light and folds, no pattern
constexpr double kLeastPatchMm = 9.0;             // of which the phase is told by itself; two periods at least
constexpr double kTwistRad = 0.012 * kRadPerDeg;  // of the cloth itself, standard uncertainty
constexpr double kLeastShareInSight = 0.2;
constexpr double kLeastEvenness = 0.6;
constexpr size_t kMostPeaks = 14;
constexpr double kBentCoherence = 0.45;  // a strong peak that keeps step this badly is a bent weave

// The pattern alone: relative to the light about it, faded out towards what is not in sight.
struct Pattern {
  cv::Mat1f value, weight;
  double mm_per_px = 0.0;
  cv::Point2d first_mm;
};

Pattern pattern_of(const ClothPatch& patch) {
  Pattern p;
  p.mm_per_px = patch.mm_per_px;
  p.first_mm = patch.first_mm;
  cv::Mat1f mask;
  patch.usable.convertTo(mask, CV_32F, 1.0 / 255.0);
  cv::Mat1f sum, count;
  cv::GaussianBlur(patch.grey.mul(mask), sum, {}, kLocalMeanMm / p.mm_per_px);
  cv::GaussianBlur(mask, count, {}, kLocalMeanMm / p.mm_per_px);
  // Faded out over some way: a sharp end answers at every frequency.
  cv::Mat1f distance;
  cv::distanceTransform(patch.usable, distance, cv::DIST_L2, 5);
  p.weight.create(mask.size());
  for (int y = 0; y < mask.rows; ++y)
    for (int x = 0; x < mask.cols; ++x) {
      const double inside = std::min(1.0, static_cast<double>(distance(y, x)) * p.mm_per_px / kFadeMm);
      p.weight(y, x) = static_cast<float>(0.5 - 0.5 * std::cos(kPi * inside));
    }
  p.value.create(mask.size());
  for (int y = 0; y < mask.rows; ++y)
    for (int x = 0; x < mask.cols; ++x) {
      const float mean = sum(y, x) / std::max(1e-3F, count(y, x));
      const float relative = patch.grey(y, x) / std::max(4.0F, mean) - 1.0F;
      p.value(y, x) = p.weight(y, x) * std::clamp(relative, -1.0F, 1.0F);
    }
  return p;
}

// Cycles a mm along x and y of the hoop frame.
using Frequency = cv::Point2d;
struct Peak {
  Frequency f;
  double power = 0.0, standing_out = 0.0;
};

class Spectrum {
 public:
  explicit Spectrum(const Pattern& pattern) {
    const cv::Size size(cv::getOptimalDFTSize(pattern.value.cols), cv::getOptimalDFTSize(pattern.value.rows));
    cv::Mat1f padded(size, 0.0F);
    pattern.value.copyTo(padded(cv::Rect({0, 0}, pattern.value.size())));
    cv::Mat2f transformed;
    cv::dft(padded, transformed, cv::DFT_COMPLEX_OUTPUT);
    power_.create(size);
    for (int y = 0; y < size.height; ++y)
      for (int x = 0; x < size.width; ++x) {
        const cv::Vec2f z = transformed(y, x);
        power_(y, x) = z[0] * z[0] + z[1] * z[1];
      }
    per_x_ = 1.0 / (size.width * pattern.mm_per_px);
    per_y_ = 1.0 / (size.height * pattern.mm_per_px);
  }

  cv::Point2d bin_mm() const { return {per_x_, per_y_}; }

  // Local maxima within the band, the strongest first.
  std::vector<Peak> peaks(double lowest, double highest, double least_standing_out) const {
    const std::vector<double> usual = usual_power(highest);
    std::vector<Peak> found;
    for (int y = 0; y < power_.rows; ++y)
      for (int x = 0; x <= power_.cols / 2; ++x) {
        const Frequency f = frequency(x, y);
        const double r = std::hypot(f.x, f.y);
        if (r < lowest || r > highest || (f.x == 0.0 && f.y < 0.0) || !highest_around(x, y)) continue;
        const double standing_out = power_(y, x) / usual[ring(r)];
        if (standing_out >= least_standing_out) found.push_back({f, power_(y, x), standing_out});
      }
    std::sort(found.begin(), found.end(), [](const Peak& a, const Peak& b) { return a.power > b.power; });
    if (found.size() > kMostPeaks) found.resize(kMostPeaks);
    return found;
  }

 private:
  // Rows run against y.
  Frequency frequency(int x, int y) const {
    return {x * per_x_, -(y <= power_.rows / 2 ? y : y - power_.rows) * per_y_};
  }

  // Rings of a quarter octave: texture is stronger at longer periods.
  static size_t ring(double r) { return static_cast<size_t>(std::max(0.0, 4.0 * std::log2(r / 0.01))); }

  // The peaks themselves hardly change the median. For noise it is 0.69 of the mean.
  std::vector<double> usual_power(double highest) const {
    std::vector<std::vector<float>> rings(ring(highest) + 2);
    for (int y = 0; y < power_.rows; ++y)
      for (int x = 0; x <= power_.cols / 2; ++x) {
        const Frequency f = frequency(x, y);
        const double r = std::hypot(f.x, f.y);
        if (r > 0.01 && ring(r) < rings.size()) rings[ring(r)].push_back(power_(y, x));
      }
    std::vector<double> usual;
    for (std::vector<float>& values : rings) {
      if (values.empty()) {
        usual.push_back(1e30);
        continue;
      }
      const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
      std::nth_element(values.begin(), middle, values.end());
      usual.push_back(std::max(1e-9, static_cast<double>(*middle) / 0.69));
    }
    return usual;
  }

  bool highest_around(int x, int y) const {
    for (int dy = -1; dy <= 1; ++dy)
      for (int dx = -1; dx <= 1; ++dx) {
        const int cx = (x + dx + power_.cols) % power_.cols, cy = (y + dy + power_.rows) % power_.rows;
        if (power_(cy, cx) > power_(y, x)) return false;
      }
    return true;
  }

  cv::Mat1f power_;
  double per_x_ = 0.0, per_y_ = 0.0;
};

// The pattern's part at one frequency, told for each piece of the cloth by itself.
struct Piece {
  cv::Point2d at_mm;
  std::complex<double> z;
  double weight = 1.0;  // of the pattern there
};

std::vector<Piece> pieces_of(const Pattern& pattern, Frequency f) {
  const double size_mm = std::max(kLeastPatchMm, 2.0 / std::hypot(f.x, f.y));
  cv::Mat1f real(pattern.value.size()), imaginary(pattern.value.size());
  // e^(-i 2 pi f p) along a row by turning on.
  const double turn = -2.0 * kPi * f.x * pattern.mm_per_px;
  const std::complex<double> step(std::cos(turn), std::sin(turn));
  for (int y = 0; y < real.rows; ++y) {
    const double phase = -2.0 * kPi * (f.x * pattern.first_mm.x + f.y * (pattern.first_mm.y - y * pattern.mm_per_px));
    std::complex<double> carrier(std::cos(phase), std::sin(phase));
    for (int x = 0; x < real.cols; ++x) {
      const double v = static_cast<double>(pattern.value(y, x));
      real(y, x) = static_cast<float>(v * carrier.real());
      imaginary(y, x) = static_cast<float>(v * carrier.imag());
      carrier *= step;
    }
  }
  const double sigma = size_mm / 2.5 / pattern.mm_per_px;
  cv::Mat1f weight;
  for (cv::Mat1f* m : {&real, &imaginary}) cv::GaussianBlur(*m, *m, {}, sigma);
  cv::GaussianBlur(pattern.weight, weight, {}, sigma);
  std::vector<Piece> pieces;
  const int pitch = std::max(1, static_cast<int>(size_mm / pattern.mm_per_px));
  for (int y = pitch / 2; y < real.rows; y += pitch)
    for (int x = pitch / 2; x < real.cols; x += pitch) {
      if (weight(y, x) < kLeastShareInSight) continue;
      pieces.push_back({{pattern.first_mm.x + x * pattern.mm_per_px, pattern.first_mm.y - y * pattern.mm_per_px},
                        {static_cast<double>(real(y, x)), static_cast<double>(imaginary(y, x))},
                        static_cast<double>(weight(y, x))});
    }
  return pieces;
}

std::complex<double> sum_at(const std::vector<Piece>& pieces, Frequency change) {
  std::complex<double> sum;
  for (const Piece& piece : pieces) {
    const double phase = -2.0 * kPi * change.dot(piece.at_mm);
    sum += piece.z * std::complex<double>(std::cos(phase), std::sin(phase));
  }
  return sum;
}

struct Tuned {
  bool ok = false;
  Frequency f;
  cv::Matx22d covariance;  // of f
  double coherence = 0.0, phase = 0.0, phase_rms = 0.0;
  double evenness = 0.0;  // 1: as strong everywhere; a single line is seen in a few pieces only
};

// Least squares of the pieces' phases about a plane, weighted by their size.
bool fit_phases(const std::vector<Piece>& pieces, Tuned& tuned, Frequency& change) {
  const double common = std::arg(sum_at(pieces, change));
  SmallSystem<3> system;
  double weights = 0.0;
  std::vector<double> off, weight;
  for (const Piece& piece : pieces) {
    const double expected = common + 2.0 * kPi * change.dot(piece.at_mm);
    off.push_back(wrapped_rad(std::arg(piece.z) - expected));
    weight.push_back(std::abs(piece.z));
    weights += weight.back();
    const std::array<double, 3> j{1.0, 2.0 * kPi * piece.at_mm.x, 2.0 * kPi * piece.at_mm.y};
    for (size_t a = 0; a < 3; ++a) {
      for (size_t b = 0; b <= a; ++b) system.matrix[a][b] += weight.back() * j[a] * j[b];
      system.right[a] += weight.back() * j[a] * off.back();
    }
  }
  std::array<SmallSystem<3>, 3> inverse{system, system, system};
  std::array<double, 3> x{};
  if (!system.solve(x)) return false;
  double squares = 0.0;
  for (size_t i = 0; i < pieces.size(); ++i) {
    const cv::Point2d p = pieces[i].at_mm;
    const double r = off[i] - x[0] - 2.0 * kPi * (x[1] * p.x + x[2] * p.y);
    squares += weight[i] * r * r;
  }
  tuned.phase_rms = std::sqrt(squares / weights);
  // Neighbouring pieces overlap: half as many again would be needed for what they say.
  constexpr double kOverlap = 1.5;
  const double n = static_cast<double>(pieces.size());
  const double variance = kOverlap * squares / std::max(1.0, n - 3.0);
  for (size_t k = 1; k < 3; ++k) {
    std::array<double, 3> column{};
    inverse[k].right = {};
    inverse[k].right[k] = 1.0;
    if (!inverse[k].solve(column)) return false;
    for (size_t row = 1; row < 3; ++row)
      tuned.covariance(static_cast<int>(row - 1), static_cast<int>(k - 1)) = variance * column[row];
  }
  change += Frequency(x[1], x[2]);
  tuned.phase = common + x[0];
  return true;
}

// One look at the pieces at a frequency; whether they tell a better one.
bool tune_once(const Pattern& pattern, Frequency f, cv::Point2d bin, Tuned& tuned) {
  const std::vector<Piece> pieces = pieces_of(pattern, f);
  if (pieces.size() < 5) return false;
  double best = 0.0, all = 0.0, strengths = 0.0, squares = 0.0;
  for (const Piece& piece : pieces) {
    const double strength = std::abs(piece.z) / piece.weight;
    all += std::abs(piece.z), strengths += strength, squares += strength * strength;
  }
  tuned.evenness = strengths * strengths / std::max(1e-12, squares * static_cast<double>(pieces.size()));
  if (tuned.evenness < kLeastEvenness) return false;
  // To within a fraction of a bin, so that no phase is off by a turn.
  Frequency change;
  for (int y = -6; y <= 6; ++y)
    for (int x = -6; x <= 6; ++x) {
      const Frequency tried(x * bin.x / 6.0, y * bin.y / 6.0);
      const double size = std::abs(sum_at(pieces, tried));
      if (size > best) best = size, change = tried;
    }
  for (int round = 0; round < 3; ++round)
    if (!fit_phases(pieces, tuned, change)) return false;
  tuned.coherence = std::abs(sum_at(pieces, change)) / std::max(1e-12, all);
  tuned.f = f + change;
  return std::hypot(tuned.f.x, tuned.f.y) > 1e-4;
}

// A piece at the cloth's edge has its weight off its middle, which tells while the frequency is not yet right.
Tuned tune(const Pattern& pattern, Frequency f, cv::Point2d bin) {
  Tuned tuned;
  tuned.f = f;
  for (int round = 0; round < 3; ++round) {
    tuned.ok = tune_once(pattern, tuned.f, bin, tuned);
    if (!tuned.ok) break;
    bin *= 0.25;
  }
  return tuned;
}

WeaveDirection direction_of(const Tuned& tuned, const Peak& peak) {
  const double r = std::hypot(tuned.f.x, tuned.f.y);
  const cv::Vec2d along(tuned.f.x / r, tuned.f.y / r), across(-along[1], along[0]);
  WeaveDirection d;
  double angle = std::atan2(across[1], across[0]);
  double side = 1.0;  // which way the frequency points: to the right of `across`
  if (angle > kPi / 2.0) angle -= kPi, side = -1.0;
  if (angle <= -kPi / 2.0) angle += kPi, side = -1.0;
  d.angle_deg = angle * kDegPerRad;
  const double turn_variance = across.dot(tuned.covariance * across) / (r * r);
  d.u_angle_deg = 2.0 * std::sqrt(std::max(0.0, turn_variance) + kTwistRad * kTwistRad) * kDegPerRad;
  d.period_mm = 1.0 / r;
  d.u_period_mm = 2.0 * std::sqrt(std::max(0.0, along.dot(tuned.covariance * along))) / (r * r);
  // Bright where the phase 2 pi f p + phase is a whole turn; the left of the run is opposite to f.
  d.distance_mm = side * wrapped_rad(tuned.phase) / (2.0 * kPi * r);
  d.coherence = tuned.coherence;
  d.standing_out = peak.standing_out;
  d.wave_mm = tuned.phase_rms / (2.0 * kPi * r);
  return d;
}

double apart_deg(double a_deg, double b_deg) { return std::abs(std::remainder(a_deg - b_deg, 180.0)); }
double direction_deg(Frequency f) { return std::atan2(f.y, f.x) * kDegPerRad; }

// A stripe pattern answers at multiples of its frequency as well, and a narrow stripe's second is as strong as its
// first: the lowest that is there counts, of which the others are multiples.
const Peak& fundamental(const std::vector<Peak>& peaks, const Peak& strongest) {
  const double r = std::hypot(strongest.f.x, strongest.f.y);
  const Peak* lowest = &strongest;
  for (const Peak& peak : peaks) {
    const double lower = std::hypot(peak.f.x, peak.f.y), times = r / lower;
    if (times < 1.5 || times > 6.5 || apart_deg(direction_deg(peak.f), direction_deg(strongest.f)) > 4.0) continue;
    if (std::abs(times - std::round(times)) > 0.06 || peak.power < 0.05 * strongest.power) continue;
    if (lower < std::hypot(lowest->f.x, lowest->f.y)) lowest = &peak;
  }
  return *lowest;
}

// Squares of two colours answer on their diagonals, too, at a frequency larger by the root of two.
const Peak& side_of_squares(const std::vector<Peak>& peaks, const Peak& strongest) {
  const double r = std::hypot(strongest.f.x, strongest.f.y);
  for (const Peak& peak : peaks) {
    const double share = std::hypot(peak.f.x, peak.f.y) / r;
    const double apart = apart_deg(direction_deg(peak.f), direction_deg(strongest.f));
    if (peak.power >= 0.1 * strongest.power && share > 0.62 && share < 0.80 && std::abs(apart - 45.0) < 8.0)
      return peak;
  }
  return strongest;
}

}  // namespace

std::string_view name(WeaveStatus status) {
  switch (status) {
    case WeaveStatus::ok:
      return "ok";
    case WeaveStatus::out_of_sight:
      return "out_of_sight";
    case WeaveStatus::no_direction:
      return "no_direction";
    case WeaveStatus::not_straight:
      return "not_straight";
  }
  return "unknown";
}

WeaveReading weave_of(const ClothPatch& patch, const WeaveOptions& options) {
  WeaveReading reading;
  if (cv::countNonZero(patch.usable) * patch.mm_per_px * patch.mm_per_px < kLeastCloth) {
    reading.status = WeaveStatus::out_of_sight;
    return reading;
  }
  const Pattern pattern = pattern_of(patch);
  const Spectrum spectrum(pattern);
  const std::vector<Peak> peaks =
      spectrum.peaks(1.0 / options.longest_mm, 1.0 / options.shortest_mm, options.least_standing_out);
  if (peaks.empty()) return reading;
  const Peak& main = fundamental(peaks, side_of_squares(peaks, peaks.front()));
  const Tuned tuned = tune(pattern, main.f, spectrum.bin_mm());
  if (!tuned.ok || tuned.coherence < kBentCoherence) return reading;
  reading.main = direction_of(tuned, main);
  if (tuned.coherence < options.least_coherence || reading.main->wave_mm > options.wave_limit_mm) {
    reading.status = WeaveStatus::not_straight;
    return reading;
  }
  reading.status = WeaveStatus::ok;
  for (const Peak& peak : peaks) {
    const double apart = apart_deg(direction_deg(peak.f), direction_deg(main.f));
    if (apart < 90.0 - options.square_limit_deg || peak.power < options.cross_share * peaks.front().power) continue;
    const Peak& other = fundamental(peaks, peak);
    const Tuned across = tune(pattern, other.f, spectrum.bin_mm());
    if (!across.ok || across.coherence < options.least_coherence) continue;
    reading.cross = direction_of(across, other);
    const double period = reading.main->period_mm;
    reading.quarter_turn_alike = std::abs(reading.cross->period_mm - period) <= options.alike_share * period;
    break;
  }
  return reading;
}

WeaveReading read_weave(const cv::Mat& grey, const ClothSight& sight, const WeaveOptions& options) {
  WeaveReading reading = weave_of(cloth_patch(grey, sight), options);
  for (std::optional<WeaveDirection>* direction : {&reading.main, &reading.cross}) {
    if (!*direction) continue;
    const double angle_rad = (*direction)->angle_deg * kRadPerDeg, u_rad = (*direction)->u_angle_deg * kRadPerDeg;
    const Covariance3 own = Covariance3::diag({0.0, 0.0, 0.25 * u_rad * u_rad});
    const Covariance3 all = covariance_in_hoop(sight, {{0.0, 0.0}, angle_rad}, own);
    (*direction)->u_angle_deg = 2.0 * std::sqrt(all(2, 2)) * kDegPerRad;
    // Heights and print scale stretch every length alike.
    const double height = std::max(1.0, std::abs(sight.camera_from_board.translation_mm[2]));
    const double scale_u = std::hypot(sight.cloth_height_u_mm / height, sight.print_scale_u);
    (*direction)->u_period_mm = std::hypot((*direction)->u_period_mm, 2.0 * scale_u * (*direction)->period_mm);
  }
  return reading;
}

}  // namespace vision
