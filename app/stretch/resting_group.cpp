#include "app/stretch/resting_group.h"

#include <algorithm>

namespace app {
namespace {

// The frame's stickers of the group, in its order.
std::vector<const vision::SeenSticker*> used(const vision::FrameResult& result) {
  std::vector<const vision::SeenSticker*> all;
  for (const vision::StickerCheck& check : result.design.stickers)
    for (const vision::SeenSticker& sticker : result.stickers)
      if (check.used && sticker.number == check.number) all.push_back(&sticker);
  return all;
}

cv::Point2d per_height(cv::Point2d p_in_board, const vision::CameraPose& camera, double height_mm) {
  const cv::Vec3d eye = -(camera.rotation.t() * camera.translation_mm);
  return (cv::Point2d(eye[0], eye[1]) - p_in_board) * (1.0 / (eye[2] - height_mm));
}

bool same_numbers(const std::vector<RestingCross>& sums, const std::vector<const vision::SeenSticker*>& seen) {
  return std::equal(sums.begin(), sums.end(), seen.begin(), seen.end(),
                    [](const RestingCross& sum, const vision::SeenSticker* one) { return sum.number == one->number; });
}

}  // namespace

void RestingGroup::break_off() {
  still_.forget();
  sums_.clear();
  frames_ = 0;
}

void RestingGroup::forget() {
  break_off();
  rested_.clear();
}

void RestingGroup::update(const vision::FrameResult& result, double cloth_height_mm, double time_s) {
  const std::vector<const vision::SeenSticker*> seen = used(result);
  // Stickers that disagree are of another job, or read wrongly.
  if (seen.size() < 2 || !result.camera_from_board || !result.design.board_from_design) return break_off();
  if (!same_numbers(sums_, seen)) break_off();
  std::vector<vision::Pose2> poses;
  for (const vision::SeenSticker* sticker : seen) poses.push_back(sticker->board_from_sticker);
  still_.update(poses, time_s);
  if (still_.still_s() == 0.0) sums_.clear(), frames_ = 0;
  if (sums_.empty())
    for (const vision::SeenSticker* sticker : seen) sums_.emplace_back().number = sticker->number;
  for (std::size_t i = 0; i < seen.size(); ++i) {
    const vision::Covariance3& c = seen[i]->covariance;
    const cv::Point2d at = seen[i]->board_from_sticker.origin_mm;
    sums_[i].in_board_mm += at;
    sums_[i].covariance += cv::Matx22d(c(0, 0), c(0, 1), c(1, 0), c(1, 1));
    sums_[i].per_height = per_height(at, *result.camera_from_board, cloth_height_mm);
  }
  ++frames_;
  if (still_.still_s() < kStill_s || frames_ < kLeastFrames || sums_.size() < rested_.size()) return;
  rested_ = sums_;
  // A sticker's own unflatness stays from frame to frame: the covariance is that of one frame, not of their mean.
  const double share = 1.0 / frames_;
  for (RestingCross& cross : rested_) cross.in_board_mm *= share, cross.covariance *= share;
}

}  // namespace app
