#include "app/proof/proof_plot.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include "calib/proof_sheet.h"

namespace app {
namespace {

// Never more than two rows: the page has room for no more.
constexpr int kFewest = 5, kMost = 10;
constexpr double kGapMm = 4.0, kArrowMm = 9.0, kStripMm = 12.0;
constexpr double kUprightGrey = 0.0, kTurnedGrey = 0.55;

// Of one turn at one place, in the board's directions.
struct Errors {
  std::array<cv::Point2d, calib::kProofStickerCount> at_mm, error_mm;
  std::array<double, calib::kProofStickerCount> error_deg{};
};

// Half difference and half sum back together; the sheet lies at 0 and 180 degrees for this.
Errors errors_of(const calib::Proof& proof, const calib::ReversedPlace& place, int turn) {
  const double sign = turn == 0 ? 1.0 : -1.0;
  Errors errors;
  for (std::size_t s = 0; s < calib::kProofStickerCount; ++s) {
    const calib::SheetError& sheet = proof.sheet[s];
    const cv::Point2d designed = calib::proof_pose(calib::kProofStickers[s]).origin_mm;
    const cv::Point2d sheet_mm = cv::Point2d(sheet.x_mm.value, sheet.y_mm.value) + proof.shared.at(designed);
    errors.at_mm[s] = sign * designed;
    errors.error_mm[s] = place.station_mm[s] + sign * (place.sheet_mm[s] - sheet_mm);
    errors.error_deg[s] =
        sign * place.station_deg[s] + place.shared_deg[s] - proof.shared_rotation_deg.value - sheet.rotation_deg.value;
  }
  return errors;
}

// The next of 1, 2, 5, 10 ... that is not smaller.
double round_up(double value) {
  const double decade = std::pow(10.0, std::floor(std::log10(std::max(value, 1e-6))));
  for (const double step : {1.0, 2.0, 5.0})
    if (value <= step * decade * (1.0 + 1e-9)) return step * decade;
  return 10.0 * decade;
}

std::string short_number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%g", value);
  return text;
}

struct PlotScale {
  double full_mm = 0.0;   // the error of an arrow of kArrowMm
  double full_deg = 0.0;  // at the strip's edge
};

PlotScale scale_of(const calib::Proof& proof) {
  double largest_mm = 0.0, largest_deg = 0.0;
  for (const calib::ReversedPlace& place : proof.places)
    for (int turn = 0; turn < 2; ++turn) {
      const Errors errors = errors_of(proof, place, turn);
      for (const cv::Point2d& e : errors.error_mm) largest_mm = std::max(largest_mm, cv::norm(e));
      for (const double e : errors.error_deg) largest_deg = std::max(largest_deg, std::abs(e));
    }
  return {round_up(std::max(largest_mm, 1e-3)), round_up(std::max(largest_deg, 1e-3))};
}

void draw_arrow(Pen& pen, cv::Point2d from, cv::Point2d along, double grey) {
  const double length = cv::norm(along);
  pen.fill({cv::Rect2d(from.x - 0.3, from.y - 0.3, 0.6, 0.6)}, grey);
  if (length < 0.2) return;
  const cv::Point2d to = from + along, back = along * (1.0 / length);
  const double head = std::min(1.3, 0.6 * length);
  const cv::Point2d side(-0.35 * head * back.y, 0.35 * head * back.x);
  pen.line(from, to - 0.8 * head * back, 0.25, grey);
  pen.fill(std::vector<std::vector<cv::Point2d>>{{to, to - head * back + side, to - head * back - side}}, grey);
}

void draw_panel(Pen& pen, cv::Point2d middle, double mm_per_mm, const calib::Proof& proof,
                const calib::ReversedPlace& place, const PlotScale& scale) {
  const double width = calib::kProofCutWidthMm * mm_per_mm, height = calib::kProofCutHeightMm * mm_per_mm;
  pen.outline({middle.x - width / 2.0, middle.y - height / 2.0, width, height});
  for (const int turn : {1, 0}) {
    const Errors errors = errors_of(proof, place, turn);
    for (std::size_t s = 0; s < calib::kProofStickerCount; ++s)
      draw_arrow(pen, middle + mm_per_mm * errors.at_mm[s], errors.error_mm[s] * (kArrowMm / scale.full_mm),
                 turn == 0 ? kUprightGrey : kTurnedGrey);
  }
}

void draw_strip(Pen& pen, cv::Point2d left, double width, const calib::Proof& proof, const calib::ReversedPlace& place,
                const PlotScale& scale) {
  pen.line(left, {left.x + width, left.y});
  for (const double edge : {-0.5, 0.5})
    pen.line({left.x, left.y + edge * kStripMm}, {left.x + width, left.y + edge * kStripMm}, kHairMm, 0.8);
  for (const int turn : {1, 0}) {
    const Errors errors = errors_of(proof, place, turn);
    for (std::size_t s = 0; s < calib::kProofStickerCount; ++s) {
      const cv::Point2d at(
          left.x + width * (static_cast<double>(s) + 0.5 + 0.12 * (turn == 0 ? -1 : 1)) / calib::kProofStickerCount,
          left.y + 0.5 * kStripMm * errors.error_deg[s] / scale.full_deg);
      pen.fill({cv::Rect2d(at.x - 0.45, at.y - 0.45, 0.9, 0.9)}, turn == 0 ? kUprightGrey : kTurnedGrey);
    }
  }
}

}  // namespace

double draw_proof_plot(Pen& pen, cv::Point2d top_left, double width_mm, const calib::Proof& proof) {
  const PlotScale scale = scale_of(proof);
  const int in_a_row = std::clamp(static_cast<int>(proof.places.size()), kFewest, kMost);
  const double panel = (width_mm - kGapMm * (in_a_row - 1)) / in_a_row;
  const double mm_per_mm = panel / calib::kProofCutWidthMm, height = calib::kProofCutHeightMm * mm_per_mm;
  double top = top_left.y;
  for (std::size_t p = 0; p < proof.places.size(); ++p) {
    const int column = static_cast<int>(p) % in_a_row;
    if (column == 0 && p > 0) top -= height + kStripMm + 10.0;
    const double left = top_left.x + column * (panel + kGapMm);
    const calib::ReversedPlace& place = proof.places[p];
    char name[64];
    std::snprintf(name, sizeof name, in_a_row == kFewest ? "Place %zu (%.0f, %.0f)" : "%zu", p + 1, place.middle_mm.x,
                  place.middle_mm.y);
    pen.text(kSmallText, {left, top - kSmallText.height_mm}, name);
    draw_panel(pen, {left + panel / 2.0, top - 4.0 - height / 2.0}, mm_per_mm, proof, place, scale);
    draw_strip(pen, {left, top - 6.5 - height - kStripMm / 2.0}, panel, proof, place, scale);
  }
  double y = top - height - kStripMm - 11.0;
  draw_arrow(pen, {top_left.x, y + 0.8}, {kArrowMm, 0.0}, kUprightGrey);
  char words[200];
  std::snprintf(words, sizeof words,
                "is %s mm, true size times %.0f; black upright, grey turned by half. Sheets drawn 1 : %.1f. Dots: "
                "rotation, the lines at %s deg.",
                short_number(scale.full_mm).c_str(), kArrowMm / scale.full_mm, 1.0 / mm_per_mm,
                short_number(scale.full_deg).c_str());
  pen.text(kSmallText, {top_left.x + kArrowMm + 2.0, y}, words);
  return y;
}

}  // namespace app
