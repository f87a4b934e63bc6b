#include "calib/lens_guide.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "calib/lens_start.h"

namespace calib {
namespace {

constexpr std::size_t kFewestFramesStill = 3;
constexpr int kMarkersOfASheet = 4;         // read in a picture too blurred for corners
constexpr std::size_t kFewestCommon = 10;   // corners, for two sights to be compared
constexpr std::size_t kEnoughPictures = 8;  // to compute with
constexpr std::size_t kEnoughTilts = 2;

// How far corners that both show typically lie apart; nothing where they have few in common.
std::optional<double> apart_px(const SeenChart& a, const SeenChart& b) {
  std::vector<double> distances;
  for (auto i = a.corners.begin(), k = b.corners.begin(); i != a.corners.end() && k != b.corners.end();) {
    if (i->id == k->id)
      distances.push_back(cv::norm(i++->image_px - k++->image_px));
    else if (i->id < k->id)
      ++i;
    else
      ++k;
  }
  if (distances.size() < kFewestCommon) return std::nullopt;
  const auto middle = distances.begin() + static_cast<std::ptrdiff_t>(distances.size() / 2);
  std::nth_element(distances.begin(), middle, distances.end());
  return *middle;
}

// Fifty-odd degrees across, as most camera boards have; only classes are told by it.
vision::Lens ordinary_lens(cv::Size size_px) {
  vision::Lens lens;
  lens.width_px = size_px.width;
  lens.height_px = size_px.height;
  lens.fx = lens.fy = std::max(size_px.width, size_px.height);
  lens.cx = 0.5 * (size_px.width - 1);
  lens.cy = 0.5 * (size_px.height - 1);
  return lens;
}

}  // namespace

std::string_view name(SheetTilt tilt) {
  constexpr std::array<std::string_view, 4> kNames{"left", "right", "top", "bottom"};
  return kNames[static_cast<std::size_t>(tilt)];
}

std::optional<RoughPose> rough_pose(const SeenChart& chart, cv::Size size_px) {
  LensPicture picture;
  for (const ChartCorner& corner : chart.corners) {
    picture.in_sheet_mm.push_back(chart_corner_mm(corner.id));
    picture.image_px.push_back(corner.image_px);
  }
  const vision::Lens lens = ordinary_lens(size_px);
  const std::optional<vision::CameraPose> pose = pose_start(picture, lens);
  if (!pose) return std::nullopt;
  const cv::Vec3d normal(pose->rotation(0, 2), pose->rotation(1, 2), pose->rotation(2, 2));
  RoughPose rough;
  const double aside = std::hypot(normal[0], normal[1]);
  rough.tilt_deg = std::atan2(aside, -normal[2]) * 180.0 / std::numbers::pi;
  // A face that looks to the right has its right edge further away.
  if (std::abs(normal[0]) > 1.2 * std::abs(normal[1]))
    rough.tilt = normal[0] > 0.0 ? SheetTilt::right : SheetTilt::left;
  else if (std::abs(normal[1]) > 1.2 * std::abs(normal[0]))
    rough.tilt = normal[1] > 0.0 ? SheetTilt::bottom : SheetTilt::top;
  rough.square_px = lens.fx * kChartSquareMm / std::max(1.0, pose->translation_mm[2]);
  return rough;
}

LensGuide::LensGuide(cv::Size size_px, const LensGuideOptions& options) : options_(options), size_px_(size_px) {}

bool LensGuide::still(const SeenChart& chart, double time_s) {
  const std::optional<double> moved = glances_.empty() ? std::nullopt : apart_px(glances_.front().chart, chart);
  if (!moved || !(*moved <= options_.still_px) || !(time_s >= glances_.back().time_s)) glances_.clear();
  glances_.push_back({chart, time_s});
  return glances_.size() >= kFewestFramesStill && time_s - glances_.front().time_s >= options_.still_s;
}

bool LensGuide::same_again(const SeenChart& chart) const {
  return std::any_of(taken_.begin(), taken_.end(), [&](const SeenChart& kept) {
    const std::optional<double> apart = apart_px(kept, chart);
    return apart && *apart < options_.same_share * size_px_.width;
  });
}

LensSight LensGuide::look(const SeenChart& chart, double time_s, bool by_itself) {
  if (chart.corners.empty()) {
    glances_.clear();
    return chart.markers >= kMarkersOfASheet ? LensSight::blurred : LensSight::no_sheet;
  }
  const std::optional<RoughPose> pose = rough_pose(chart, size_px_);
  if (chart.corners.size() < options_.fewest_corners || !pose) return LensSight::few_corners;
  const bool at_rest = still(chart, time_s);
  if (same_again(chart)) return LensSight::same;
  if (!by_itself && !at_rest) return LensSight::moving;
  if (!(chart.blur_px <= options_.most_blur_px)) return LensSight::blurred;
  taken_.push_back(chart);
  poses_.push_back(*pose);
  return LensSight::taken;
}

cv::Rect2d LensGuide::part_px(int part) const {
  const double width = static_cast<double>(size_px_.width) / options_.columns;
  const double height = static_cast<double>(size_px_.height) / options_.rows;
  return {column(part) * width - 0.5, row(part) * height - 0.5, width, height};
}

std::size_t LensGuide::corners_in(int part) const {
  const cv::Rect2d inside = part_px(part);
  std::size_t count = 0;
  for (const SeenChart& chart : taken_)
    for (const ChartCorner& corner : chart.corners) count += inside.contains(corner.image_px) ? 1 : 0;
  return count;
}

std::size_t LensGuide::count(SheetTilt tilt) const {
  return static_cast<std::size_t>(std::count_if(poses_.begin(), poses_.end(), [&](const RoughPose& pose) {
    return pose.tilt == tilt && pose.tilt_deg >= options_.tilt_deg;
  }));
}

LensNeeds LensGuide::needs() const {
  LensNeeds needs;
  needs.pictures = options_.pictures - std::min(options_.pictures, taken_.size());
  for (int part = 0; part < parts(); ++part)
    if (corners_in(part) < options_.corners_a_part) needs.parts.push_back(part);
  // Those that lack most first; the rim before the middle, which comes by itself.
  const auto from_middle = [&](int part) {
    return std::abs(2 * column(part) - options_.columns + 1) + std::abs(2 * row(part) - options_.rows + 1);
  };
  std::stable_sort(needs.parts.begin(), needs.parts.end(), [&](int a, int b) {
    return std::pair(corners_in(a), -from_middle(a)) < std::pair(corners_in(b), -from_middle(b));
  });
  for (const SheetTilt tilt : kSheetTilts)
    if (count(tilt) < options_.pictures_a_tilt) needs.tilts.push_back(tilt);
  std::stable_sort(needs.tilts.begin(), needs.tilts.end(),
                   [&](SheetTilt a, SheetTilt b) { return count(a) < count(b); });
  double smallest = 1e9, largest = 0.0;
  for (const RoughPose& pose : poses_) {
    smallest = std::min(smallest, pose.square_px);
    largest = std::max(largest, pose.square_px);
  }
  needs.other_distance = !(largest >= options_.nearest_to_furthest * smallest);
  return needs;
}

double LensGuide::progress() const {
  const auto share = [](std::size_t have, std::size_t want) {
    return want == 0 ? 1.0 : static_cast<double>(std::min(have, want)) / static_cast<double>(want);
  };
  double parts_done = 0.0, tilts_done = 0.0;
  for (int part = 0; part < parts(); ++part) parts_done += share(corners_in(part), options_.corners_a_part) / parts();
  for (const SheetTilt tilt : kSheetTilts) tilts_done += share(count(tilt), options_.pictures_a_tilt) / 4.0;
  const double all = 0.35 * share(taken_.size(), options_.pictures) + 0.35 * parts_done + 0.25 * tilts_done +
                     (needs().other_distance ? 0.0 : 0.05);
  return std::min(all, 1.0);
}

bool LensGuide::enough() const {
  const std::size_t tilts = kSheetTilts.size() - needs().tilts.size();
  return taken_.size() >= kEnoughPictures && tilts >= kEnoughTilts;
}

bool LensGuide::undo() {
  if (taken_.empty()) return false;
  taken_.pop_back();
  poses_.pop_back();
  glances_.clear();
  return true;
}

}  // namespace calib
