#include "calib/survey_problem.h"

#include <algorithm>
#include <cmath>

namespace calib {
namespace {

bool is_board_mark(int id) { return id >= kFirstBoardMarkId && id <= kLastBoardMarkId; }

bool is_finite(cv::Point2d p) { return std::isfinite(p.x) && std::isfinite(p.y); }

std::vector<SheetCorner> sheet_corners(const SeenChart& chart, const SurveyProblem& problem) {
  std::vector<SheetCorner> corners;
  for (const ChartCorner& seen : chart.corners) {
    if (seen.id < 0 || seen.id >= kChartCorners) continue;
    SheetCorner corner;
    corner.in_sheet_mm = chart_corner_mm(seen.id) * problem.print_scale;
    corner.image_px = seen.image_px;
    corner.normalised = vision::undistort(problem.lens, seen.image_px);
    corner.sigma = std::max(seen.sigma_px, problem.options.least_corner_sigma_px) / problem.focal_px();
    if (is_finite(corner.normalised) && std::isfinite(corner.sigma)) corners.push_back(corner);
  }
  return corners;
}

// The marks seen at one place of this picture; `twice` is set for the others.
std::vector<MarkSight> mark_sights(const std::vector<vision::SeenTag>& tags, SurveyProblem& problem) {
  std::vector<MarkSight> sights;
  for (const vision::SeenTag& tag : tags) {
    const auto at = std::lower_bound(problem.ids.begin(), problem.ids.end(), tag.id);
    if (at == problem.ids.end() || *at != tag.id) continue;
    const auto index = at - problem.ids.begin();
    if (std::count_if(tags.begin(), tags.end(), [&](const vision::SeenTag& other) { return other.id == tag.id; }) > 1) {
      problem.twice[static_cast<std::size_t>(index)] = 1;
      continue;
    }
    MarkSight sight;
    sight.mark = static_cast<int>(index);
    sight.image_px = tag.corners_px;
    sight.sigma = std::max(tag.sigma_px, problem.options.least_tag_sigma_px) / problem.focal_px();
    bool whole = std::isfinite(sight.sigma);
    for (std::size_t k = 0; k < 4; ++k) {
      sight.normalised[k] = vision::undistort(problem.lens, tag.corners_px[k]);
      whole = whole && is_finite(sight.normalised[k]);
    }
    if (whole) sights.push_back(sight);
  }
  return sights;
}

}  // namespace

SurveyProblem survey_problem(const std::vector<SurveyPicture>& pictures, const vision::Lens& lens, double print_scale,
                             const SurveyOptions& options) {
  SurveyProblem problem;
  problem.lens = lens;
  problem.options = options;
  problem.print_scale = print_scale;
  problem.mark_size_mm = kBoardMarkSizeMm * print_scale;
  for (const SurveyPicture& picture : pictures)
    for (const vision::SeenTag& tag : picture.tags)
      if (is_board_mark(tag.id)) problem.ids.push_back(tag.id);
  std::sort(problem.ids.begin(), problem.ids.end());
  problem.ids.erase(std::unique(problem.ids.begin(), problem.ids.end()), problem.ids.end());
  problem.twice.assign(problem.ids.size(), 0);
  for (const SurveyPicture& picture : pictures)
    problem.pictures.push_back({sheet_corners(picture.chart, problem), mark_sights(picture.tags, problem)});
  return problem;
}

cv::Point2d mark_corner(int k, double size_mm) {
  const double half = 0.5 * size_mm;
  return {k == 0 || k == 3 ? -half : half, k < 2 ? half : -half};
}

}  // namespace calib
