#include "app/sheets/marks.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "app/sheets/sticker_geometry.h"
#include "calib/chart.h"
#include "calib/proof_sheet.h"
#include "vision/tag_family.h"

namespace app {
namespace {

// The black modules of a square of `across` x `across` around `centre`, those side by side in one piece. Pieces of one
// fill, so that no seam shows between the rows.
template <class IsWhite>
void add_modules(std::vector<cv::Rect2d>& pieces, cv::Point2d centre, double side_mm, int across, IsWhite is_white) {
  const double module = side_mm / across;
  for (int row = 0; row < across; ++row) {
    for (int column = 0; column < across; ++column) {
      if (is_white(row, column)) continue;
      const int first = column;
      while (column + 1 < across && !is_white(row, column + 1)) ++column;
      pieces.emplace_back(centre.x - side_mm / 2.0 + first * module, centre.y + side_mm / 2.0 - (row + 1) * module,
                          (column + 1 - first) * module, module);
    }
  }
}

void draw_cross(Pen& pen) {
  const double half = vision::kStickerHalfMm, line = kCrossLineMm / 2.0, clear = kClearRadiusMm;
  pen.fill({{clear, -line, half - clear, kCrossLineMm},
            {-half, -line, half - clear, kCrossLineMm},
            {-line, clear, kCrossLineMm, half - clear},
            {-line, -half, kCrossLineMm, half - clear}});
  pen.circle({0.0, 0.0}, kClearRadiusMm, kClearRingMm);
  pen.disc({0.0, 0.0}, kNeedleDotMm / 2.0);
  pen.fill({{{0.0, kArrowTipMm}, {-kArrowHalfWidthMm, kArrowFootMm}, {kArrowHalfWidthMm, kArrowFootMm}}});
}

// The ring's inner outline with the notches cut into it: they all lie on straight sides.
std::vector<cv::Point2d> notched(const std::vector<cv::Point2d>& outline) {
  std::vector<cv::Point2d> cut;
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const cv::Point2d from = outline[i], way = outline[(i + 1) % outline.size()] - from;
    const double length = std::sqrt(way.dot(way));
    cut.push_back(from);
    std::vector<std::array<cv::Point2d, 3>> here;
    for (const auto& notch : calib::proof_notches()) {
      const cv::Point2d mouth = (notch[0] + notch[2]) / 2.0 - from;
      const double along = mouth.dot(way) / length;
      if (along > 0.0 && along < length && std::abs(mouth.cross(way)) / length < 1e-6) here.push_back(notch);
    }
    const auto along = [&](const std::array<cv::Point2d, 3>& notch) { return (notch[1] - from).dot(way); };
    std::sort(here.begin(), here.end(), [&](const auto& a, const auto& b) { return along(a) < along(b); });
    for (auto& notch : here) {
      if ((notch[2] - notch[0]).dot(way) < 0.0) std::swap(notch[0], notch[2]);
      cut.insert(cut.end(), notch.begin(), notch.end());
    }
  }
  return cut;
}

}  // namespace

void draw_tag(Pen& pen, int id, double side_mm) {
  std::vector<cv::Rect2d> pieces;
  add_modules(pieces, {0.0, 0.0}, side_mm, vision::kTagModulesAcross,
              [&](int row, int column) { return vision::tag_module_is_white(id, row, column); });
  pen.fill(pieces);
}

void draw_sticker(Pen& pen, int number) {
  for (int id = 4 * number; id < 4 * number + 4; ++id) {
    const auto corners = vision::sticker_tag_corners(id, 1.0);
    const Pen::Frame at_tag(pen, (corners[0] + corners[2]) / 2.0);
    draw_tag(pen, id, vision::kStickerTagSizeMm);
  }
  draw_cross(pen);
  pen.text({Weight::bold, kNumberHeightMm}, {kNumberLeftMm, kNumberTopMm - kNumberHeightMm}, std::to_string(number));
}

void draw_chart(Pen& pen) {
  std::vector<cv::Rect2d> pieces;
  const double square = calib::kChartSquareMm;
  const double left = -calib::kChartColumns * square / 2.0, top = calib::kChartRows * square / 2.0;
  for (int row = 0; row < calib::kChartRows; ++row)
    for (int column = row % 2; column < calib::kChartColumns; column += 2)
      pieces.emplace_back(left + column * square, top - (row + 1) * square, square, square);
  for (int id = 0; id < calib::kChartMarkers; ++id)
    add_modules(pieces, calib::chart_marker_mm(id), calib::kChartMarkerMm, calib::kChartMarkerModules,
                [&](int row, int column) { return calib::chart_marker_module_is_white(id, row, column); });
  pen.fill(pieces);
}

void draw_proof(Pen& pen) {
  const vision::Hoop hoop = calib::proof_hoop();
  pen.fill({hoop.outer_mm, notched(hoop.inner_mm)});
  for (const calib::ProofSticker& sticker : calib::kProofStickers) {
    const Pen::Frame at_sticker(pen, calib::proof_pose(sticker));
    draw_sticker(pen, sticker.number);
  }
}

}  // namespace app
