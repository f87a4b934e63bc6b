#include "app/resume/resume_plan.h"

#include <algorithm>

#include "vision/sticker_pose.h"

namespace app {
namespace {

bool at(cv::Point2d a, cv::Point2d b) { return cv::norm(a - b) < 1e-6; }

}  // namespace

void ResumePlan::start(const Design& design) {
  const std::vector<cv::Point2d> corners = basting_corners(design, margin_mm_);
  points_ = {{-1, corners[0]}, {-1, corners[2]}};
  chosen_ = 0;
}

void ResumePlan::choose(std::size_t index) { chosen_ = std::min(index, points_.size() - 1); }

void ResumePlan::set_margin(const Design& design, double margin_mm) {
  const double to_mm = std::clamp(margin_mm, 0.0, kMostMargin_mm);
  const std::vector<cv::Point2d> before = basting_corners(design, margin_mm_);
  const std::vector<cv::Point2d> after = basting_corners(design, to_mm);
  for (ResumePoint& point : points_)
    for (std::size_t i = 0; i < before.size(); ++i)
      if (at(point.at_mm, before[i])) {
        point.at_mm = after[i];
        break;
      }
  margin_mm_ = to_mm;
}

void ResumePlan::add(const Design& design) {
  if (!can_add()) return;
  cv::Point2d place{0.0, 0.0};
  for (const cv::Point2d& corner : basting_corners(design, margin_mm_))
    if (std::none_of(points_.begin(), points_.end(), [&](const ResumePoint& p) { return at(p.at_mm, corner); })) {
      place = corner;
      break;
    }
  points_.push_back({-1, place});
  chosen_ = points_.size() - 1;
}

void ResumePlan::remove() {
  if (!can_remove()) return;
  points_.erase(points_.begin() + static_cast<std::ptrdiff_t>(chosen_));
  choose(chosen_);
}

void ResumePlan::step_number(int by) {
  int& number = points_[chosen_].sticker;
  const int from = number < 0 && by < 0 ? 0 : number;
  number = (from + by + vision::kStickerCount) % vision::kStickerCount;
}

void ResumePlan::give(int number) {
  for (ResumePoint& point : points_)
    if (point.sticker == number) point.sticker = -1;
  points_[chosen_].sticker = number;
  if (chosen_ + 1 < points_.size() && points_[chosen_ + 1].sticker < 0) ++chosen_;
}

}  // namespace app
