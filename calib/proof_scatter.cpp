#include "calib/proof_scatter.h"

#include <cmath>
#include <limits>
#include <numeric>

namespace calib {
namespace {

constexpr double kStickers = static_cast<double>(kProofStickerCount);

VariancePart mean_square(double ss, double dof) { return dof > 0.0 ? VariancePart{ss / dof, dof} : VariancePart{}; }

VariancePart of_places(const ProofTable& table) {
  const double all = mean_of(table);
  double ss = 0.0;
  for (const double mean : place_means(table)) ss += (mean - all) * (mean - all);
  return mean_square(ss, static_cast<double>(table.size()) - 1.0);
}

// What all places have in common for a sticker is the sheet's in the half sums; in the half differences it is the
// station's and stays.
VariancePart of_stickers(const ProofTable& table, bool sheet_off) {
  const std::vector<double> places = place_means(table);
  const std::array<double, kProofStickerCount> stickers = sticker_means(table);
  const double all = mean_of(table), count = static_cast<double>(table.size());
  double ss = 0.0;
  for (std::size_t p = 0; p < table.size(); ++p)
    for (std::size_t s = 0; s < kProofStickerCount; ++s) {
      const double away = table[p][s] - places[p] - (sheet_off ? stickers[s] - all : 0.0);
      ss += away * away;
    }
  return mean_square(ss, (sheet_off ? count - 1.0 : count) * (kStickers - 1.0));
}

}  // namespace

std::vector<double> place_means(const ProofTable& table) {
  std::vector<double> means;
  for (const auto& row : table) means.push_back(std::accumulate(row.begin(), row.end(), 0.0) / kStickers);
  return means;
}

std::array<double, kProofStickerCount> sticker_means(const ProofTable& table) {
  std::array<double, kProofStickerCount> means{};
  for (const auto& row : table)
    for (std::size_t s = 0; s < kProofStickerCount; ++s) means[s] += row[s] / static_cast<double>(table.size());
  return means;
}

double mean_of(const ProofTable& table) {
  double sum = 0.0;
  for (const auto& row : table) sum += std::accumulate(row.begin(), row.end(), 0.0);
  return sum / (kStickers * static_cast<double>(table.size()));
}

ProofScatter scatter_of(const ProofTable& half_differences, const ProofTable& half_sums, VariancePart frame,
                        double frames_a_cell) {
  ProofScatter scatter;
  scatter.place_difference = of_places(half_differences);
  scatter.place_sum = of_places(half_sums);
  scatter.sticker_difference = of_stickers(half_differences, false);
  scatter.sticker_sum = of_stickers(half_sums, true);
  scatter.frame = frame;
  scatter.frames_a_cell = frames_a_cell;
  return scatter;
}

double ProofScatter::repeatability() const {
  return frame.dof > 0.0 ? std::sqrt(frame.variance) : std::numeric_limits<double>::quiet_NaN();
}

double ProofScatter::reproducibility() const {
  if (!(place_difference.dof > 0.0)) return std::numeric_limits<double>::quiet_NaN();
  const double within = sticker_difference.variance + sticker_sum.variance;
  return std::sqrt(place_difference.variance + place_sum.variance + (1.0 - 1.0 / kStickers) * within +
                   (1.0 - 1.0 / frames_a_cell) * frame.variance);
}

std::vector<VariancePart> ProofScatter::of_new_reading(double leverage) const {
  const double places = place_difference.dof + 1.0, within = 1.0 - 1.0 / kStickers;
  const auto times = [](const VariancePart& part, double factor) {
    return VariancePart{factor * part.variance, part.dof};
  };
  return {times(place_difference, 1.0 + 1.0 / places), times(place_sum, 1.0 + 1.0 / places),
          times(sticker_difference, within), times(sticker_sum, within + leverage / places),
          times(frame, 1.0 - 1.0 / frames_a_cell)};
}

}  // namespace calib
