#include "calib/proof.h"

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <stdexcept>

namespace calib {
namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
constexpr double kStickers = static_cast<double>(kProofStickerCount);
constexpr std::array<const char*, 2> kTurnNames{"upright", "turned by half"};

// A number out of a place for a sticker.
using FromPlace = std::function<double(const ReversedPlace&, std::size_t)>;

ProofTable table_of(const std::vector<ReversedPlace>& places, const FromPlace& value) {
  ProofTable table;
  for (const ReversedPlace& place : places) {
    table.emplace_back();
    for (std::size_t s = 0; s < kProofStickerCount; ++s) table.back()[s] = value(place, s);
  }
  return table;
}

// Each value is a mean over the places, whose scatter tells its uncertainty.
ProofValue over_places(const std::vector<double>& values) {
  ProofValue mean;
  const double count = static_cast<double>(values.size());
  for (const double value : values) mean.value += value / count;
  double ss = 0.0;
  for (const double value : values) ss += (value - mean.value) * (value - mean.value);
  mean.dof = count - 1.0;
  mean.u = mean.dof > 0.0 ? std::sqrt(ss / mean.dof / count) : kNan;
  return mean;
}

std::vector<double> column(const ProofTable& table, std::size_t sticker, bool less_the_mean) {
  std::vector<double> values;
  const std::vector<double> means = place_means(table);
  for (std::size_t p = 0; p < table.size(); ++p) values.push_back(table[p][sticker] - (less_the_mean ? means[p] : 0.0));
  return values;
}

// Variance of the frames within the cells. The stickers of one frame share its ring: the degrees of freedom are counted
// as if there were one sticker.
VariancePart frame_variance(const std::vector<ProofPlace>& places, double print_scale,
                            double (*value)(const ProofDeviation&)) {
  double ss = 0.0, dof = 0.0;
  for (const ProofPlace& place : places)
    for (const std::vector<ProofFrame>& frames : place.frames) {
      if (!place.has_both() || frames.size() < 2) continue;
      dof += static_cast<double>(frames.size() - 1);
      for (std::size_t s = 0; s < kProofStickerCount; ++s) {
        double mean = 0.0;
        for (const ProofFrame& frame : frames)
          mean += value(deviation(frame, s, print_scale)) / static_cast<double>(frames.size());
        for (const ProofFrame& frame : frames) {
          const double away = value(deviation(frame, s, print_scale)) - mean;
          ss += away * away;
        }
      }
    }
  return dof > 0.0 ? VariancePart{ss / (dof * kStickers), dof} : VariancePart{};
}

double x_of(const ProofDeviation& d) { return d.offset_mm.x; }
double y_of(const ProofDeviation& d) { return d.offset_mm.y; }
double rotation_of(const ProofDeviation& d) { return d.rotation_deg; }

double harmonic_frames(const std::vector<ReversedPlace>& places) {
  double inverse = 0.0;
  for (const ReversedPlace& place : places)
    for (const int frames : place.frames) inverse += 1.0 / (2.0 * static_cast<double>(places.size() * frames));
  return 1.0 / inverse;
}

std::array<cv::Point2d, kProofStickerCount> designed_places(double print_scale) {
  std::array<cv::Point2d, kProofStickerCount> places;
  for (std::size_t s = 0; s < kProofStickerCount; ++s) places[s] = proof_pose(kProofStickers[s], print_scale).origin_mm;
  return places;
}

// The largest that the fitted linear part's variance is, at one of the stickers, of a sticker's own.
double largest_leverage(const std::array<cv::Point2d, kProofStickerCount>& places) {
  cv::Matx22d spread = cv::Matx22d::zeros();
  for (const cv::Point2d& p : places) spread += cv::Vec2d(p.x, p.y) * cv::Vec2d(p.x, p.y).t();
  const cv::Matx22d inverse = spread.inv();
  double largest = 0.0;
  for (const cv::Point2d& p : places)
    largest = std::max(largest, cv::Vec2d(p.x, p.y).dot(inverse * cv::Vec2d(p.x, p.y)));
  return largest;
}

double sum_of(const std::vector<VariancePart>& parts) {
  double sum = 0.0;
  for (const VariancePart& part : parts) sum += part.variance;
  return sum;
}

// Repeatability alone where there are no two places.
double surely_scattering(const ProofScatter& scatter) {
  const double s = scatter.reproducibility();
  if (std::isfinite(s)) return s;
  return scatter.frame.dof > 0.0 ? scatter.repeatability() : 0.0;
}

void spread(ProofLimit& limit, const std::vector<VariancePart>& parts, bool several_places, bool in_plane) {
  limit.effective_dof = several_places ? effective_dof(parts) : kNan;
  limit.coverage_factor =
      in_plane ? coverage_factor_in_plane(limit.effective_dof) : coverage_factor(limit.effective_dof);
  limit.expanded = limit.coverage_factor * std::sqrt(sum_of(parts));
}

void judge(Proof& proof, const ProofTolerance& tolerance, double print_scale) {
  constexpr double kNoEnd = 1e6;
  const bool several = proof.places.size() > 1;
  const auto places = designed_places(print_scale);

  ProofLimit& offset = proof.offset_mm;
  offset.tolerance = tolerance.offset_mm;
  offset.certain = std::hypot(proof.bias_x_mm.value, proof.bias_y_mm.value);
  for (const cv::Point2d& p : places) offset.shared = std::max(offset.shared, cv::norm(proof.shared.at(p)));
  const double leverage = largest_leverage(places);
  // The mean of both directions: were one all and the other nothing, the circle would still cover 92 %.
  std::vector<VariancePart> both = proof.x_mm.of_new_reading(leverage);
  const std::vector<VariancePart> y = proof.y_mm.of_new_reading(leverage);
  both.insert(both.end(), y.begin(), y.end());
  for (VariancePart& part : both) part.variance *= 0.5;
  spread(offset, both, several, true);
  offset.scatter = coverage_factor_in_plane(kNoEnd) * std::sqrt(0.5) *
                   std::hypot(surely_scattering(proof.x_mm), surely_scattering(proof.y_mm));

  ProofLimit& rotation = proof.rotation_limit_deg;
  rotation.tolerance = tolerance.rotation_deg;
  rotation.certain = std::abs(proof.bias_rotation_deg.value);
  rotation.shared = std::abs(proof.shared_rotation_deg.value);
  spread(rotation, proof.rotation_deg.of_new_reading(0.0), several, false);
  rotation.scatter = coverage_factor(kNoEnd) * surely_scattering(proof.rotation_deg);

  const ProofVerdict a = offset.verdict(), b = rotation.verdict();
  if (a == ProofVerdict::fail || b == ProofVerdict::fail)
    proof.verdict = ProofVerdict::fail;
  else
    proof.verdict = a == ProofVerdict::pass && b == ProofVerdict::pass ? ProofVerdict::pass : ProofVerdict::undecided;
}

void analyse_offsets(Proof& proof, const std::vector<ProofPlace>& places, double print_scale, double frames) {
  const ProofTable station_x = table_of(proof.places, [](const auto& p, std::size_t s) { return p.station_mm[s].x; });
  const ProofTable station_y = table_of(proof.places, [](const auto& p, std::size_t s) { return p.station_mm[s].y; });
  const ProofTable sheet_x = table_of(proof.places, [](const auto& p, std::size_t s) { return p.sheet_mm[s].x; });
  const ProofTable sheet_y = table_of(proof.places, [](const auto& p, std::size_t s) { return p.sheet_mm[s].y; });
  proof.bias_x_mm = over_places(place_means(station_x));
  proof.bias_y_mm = over_places(place_means(station_y));
  proof.x_mm = scatter_of(station_x, sheet_x, frame_variance(places, print_scale, x_of), frames);
  proof.y_mm = scatter_of(station_y, sheet_y, frame_variance(places, print_scale, y_of), frames);
  std::array<cv::Point2d, kProofStickerCount> errors;
  for (std::size_t s = 0; s < kProofStickerCount; ++s) {
    proof.sheet[s].x_mm = over_places(column(sheet_x, s, false));
    proof.sheet[s].y_mm = over_places(column(sheet_y, s, false));
    errors[s] = {proof.sheet[s].x_mm.value, proof.sheet[s].y_mm.value};
  }
  const auto designed = designed_places(print_scale);
  proof.shared = linear_part(errors, designed);
  // What sheet and station share is told apart from the sheet's own.
  for (std::size_t s = 0; s < kProofStickerCount; ++s) {
    proof.sheet[s].x_mm.value -= proof.shared.at(designed[s]).x;
    proof.sheet[s].y_mm.value -= proof.shared.at(designed[s]).y;
  }
}

void analyse_rotations(Proof& proof, const std::vector<ProofPlace>& places, double print_scale, double frames) {
  const ProofTable differences = table_of(proof.places, [](const auto& p, std::size_t s) { return p.station_deg[s]; });
  const ProofTable sums = table_of(proof.places, [](const auto& p, std::size_t s) { return p.shared_deg[s]; });
  proof.bias_rotation_deg = over_places(place_means(differences));
  proof.shared_rotation_deg = over_places(place_means(sums));
  proof.rotation_deg = scatter_of(differences, sums, frame_variance(places, print_scale, rotation_of), frames);
  for (std::size_t s = 0; s < kProofStickerCount; ++s) proof.sheet[s].rotation_deg = over_places(column(sums, s, true));
}

void compare_with_stated(Proof& proof, const std::vector<ProofPlace>& places, double print_scale) {
  const auto designed = designed_places(print_scale);
  long offsets = 0, rotations = 0;
  for (const ProofPlace& place : places) {
    if (!place.has_both()) continue;
    for (const std::vector<ProofFrame>& frames : place.frames)
      for (const ProofFrame& frame : frames)
        for (std::size_t s = 0; s < kProofStickerCount; ++s) {
          const ProofDeviation d = deviation(frame, s, print_scale);
          const SheetError& sheet = proof.sheet[s];
          const cv::Point2d left =
              d.offset_mm - proof.shared.at(designed[s]) - cv::Point2d(sheet.x_mm.value, sheet.y_mm.value);
          const double angle = d.rotation_deg - proof.shared_rotation_deg.value - sheet.rotation_deg.value;
          ++proof.readings;
          // Of single coordinates, as they are stated.
          offsets += (std::abs(left.x) <= frame.u_offset_mm[s]) + (std::abs(left.y) <= frame.u_offset_mm[s]);
          rotations += std::abs(angle) <= frame.u_rotation_deg[s];
        }
  }
  proof.stated_covers_offset = static_cast<double>(offsets) / (2.0 * static_cast<double>(proof.readings));
  proof.stated_covers_rotation = static_cast<double>(rotations) / static_cast<double>(proof.readings);
}

}  // namespace

double ProofValue::expanded() const { return std::isnan(u) ? kNan : coverage_factor(dof) * u; }

ProofVerdict ProofLimit::verdict() const {
  if (most() <= tolerance) return ProofVerdict::pass;
  return surely() > tolerance ? ProofVerdict::fail : ProofVerdict::undecided;
}

std::vector<std::string> missing_of(const ProofReadings& readings, const ProofPlan& plan) {
  std::vector<std::string> missing;
  const std::vector<ProofPlace>& places = readings.places();
  if (static_cast<int>(places.size()) < plan.places)
    missing.push_back(std::to_string(plan.places - static_cast<int>(places.size())) + " of " +
                      std::to_string(plan.places) + " places");
  for (std::size_t p = 0; p < places.size(); ++p)
    for (std::size_t turn = 0; turn < 2; ++turn)
      if (const int count = static_cast<int>(places[p].frames[turn].size()); count < plan.readings)
        missing.push_back("place " + std::to_string(p + 1) + ", " + kTurnNames[turn] + ": " +
                          std::to_string(plan.readings - count) + " of " + std::to_string(plan.readings) + " readings");
  return missing;
}

Proof prove(const ProofReadings& readings, double print_scale, const ProofTolerance& tolerance, const ProofPlan& plan) {
  Proof proof;
  proof.places = reverse(readings.places(), print_scale);
  if (proof.places.empty())
    throw std::invalid_argument(
        "the sheet was measured at no place both upright and turned by half a turn; turn it by half a turn at the same "
        "place and measure it again");
  const double frames = harmonic_frames(proof.places);
  analyse_offsets(proof, readings.places(), print_scale, frames);
  analyse_rotations(proof, readings.places(), print_scale, frames);
  judge(proof, tolerance, print_scale);
  compare_with_stated(proof, readings.places(), print_scale);
  proof.missing = missing_of(readings, plan);
  return proof;
}

}  // namespace calib
