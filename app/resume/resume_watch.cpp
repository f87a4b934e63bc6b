#include "app/resume/resume_watch.h"

#include <algorithm>
#include <opencv2/imgproc.hpp>

namespace app {
namespace {

bool is_within_ring(const vision::FrameResult& result, const vision::SeenSticker& sticker) {
  const std::vector<cv::Point2f> inner(result.inner_px.begin(), result.inner_px.end());
  return inner.size() > 2 && cv::pointPolygonTest(inner, cv::Point2f(sticker.centre_px), false) >= 0.0;
}

// A number that is there twice counts for none: nobody knows which of the two is meant.
bool counts(const vision::FrameResult& result, const vision::SeenSticker& sticker) {
  const auto same = [&](const vision::SeenSticker& other) { return other.number == sticker.number; };
  return sticker.good && std::count_if(result.stickers.begin(), result.stickers.end(), same) == 1 &&
         is_within_ring(result, sticker);
}

}  // namespace

void ResumeWatch::start_anew() {
  still_.forget();
  sums_.clear();
  rested_.clear();
  frames_ = 0;
}

void ResumeWatch::forget() {
  start_anew();
  time_.forget();
  frame_s_.reset();
}

double ResumeWatch::stillness() const { return std::clamp(still_.still_s() / kStill_s, 0.0, 1.0); }

void ResumeWatch::see(const vision::FrameResult& result, double time_s) {
  if (frame_s_ == time_s) return;
  frame_s_ = time_s;
  if (const auto step = time_.step(time_s)) {
    now_s_ += *step;
  } else {
    start_anew();
  }
  if (!result.board_from_hoop) return start_anew();
  std::vector<HoopedSticker> seen;
  const vision::Pose2 hoop_from_board = vision::inverse(*result.board_from_hoop);
  for (const vision::SeenSticker& sticker : result.stickers)
    if (counts(result, sticker)) {
      // Turned into the hoop's frame an even part of the covariance stays as it is; the rest is far below the placing.
      const double even = 0.5 * (sticker.covariance(0, 0) + sticker.covariance(1, 1));
      seen.push_back(
          {sticker.number, vision::compose(hoop_from_board, sticker.board_from_sticker), even * cv::Matx22d::eye()});
    }
  const bool same = std::equal(seen.begin(), seen.end(), sums_.begin(), sums_.end(),
                               [](const HoopedSticker& a, const HoopedSticker& b) { return a.number == b.number; });
  if (!same || seen.empty()) start_anew();
  if (seen.empty()) return;
  std::vector<vision::Pose2> poses{*result.board_from_hoop};
  for (const HoopedSticker& sticker : seen) poses.push_back(sticker.hoop_from_sticker);
  still_.update(poses, now_s_);
  if (still_.still_s() == 0.0) sums_.clear(), rested_.clear(), frames_ = 0;
  if (sums_.empty()) {
    sums_ = seen;
  } else {
    for (std::size_t i = 0; i < seen.size(); ++i) {
      sums_[i].hoop_from_sticker.origin_mm += seen[i].hoop_from_sticker.origin_mm;
      sums_[i].hoop_from_sticker.angle_rad = seen[i].hoop_from_sticker.angle_rad;  // a check only
      sums_[i].covariance += seen[i].covariance;
    }
  }
  ++frames_;
  hoop_covariance_ = result.hoop_covariance;
  if (still_.still_s() < kStill_s || frames_ < kLeastFrames) return;
  rested_ = sums_;
  // Paper that is not flat stays so from frame to frame: the covariance is that of one frame.
  for (HoopedSticker& sticker : rested_) {
    sticker.hoop_from_sticker.origin_mm *= 1.0 / frames_;
    sticker.covariance *= 1.0 / frames_;
  }
}

}  // namespace app
