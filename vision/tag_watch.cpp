#include "vision/tag_watch.h"

#include <algorithm>

namespace vision {
namespace {

cv::Point2d centre(const SeenTag& tag) {
  return 0.25 * (tag.corners_px[0] + tag.corners_px[1] + tag.corners_px[2] + tag.corners_px[3]);
}

double side_px(const SeenTag& tag) { return cv::norm(tag.corners_px[1] - tag.corners_px[0]); }

}  // namespace

TagWatch::TagWatch(const Lens& lens) : finder_(lens) {}

void TagWatch::forget() {
  tags_.clear();
  first_ = true;
}

// The same tag twice at one place is one; at two places it is two, and the caller must know.
void TagWatch::add(const SeenTag& tag) {
  const bool known = std::any_of(tags_.begin(), tags_.end(), [&](const SeenTag& other) {
    return other.id == tag.id && cv::norm(centre(other) - centre(tag)) < 0.5 * side_px(tag);
  });
  if (!known) tags_.push_back(tag);
}

const std::vector<SeenTag>& TagWatch::follow(const cv::Mat& grey) {
  searched_ = false;
  if (first_) return search(grey);
  std::swap(tags_, last_);
  tags_.clear();
  for (const SeenTag& tag : last_) {
    if (const std::optional<SeenTag> found = finder_.find_near(grey, tag.id, tag.corners_px)) add(*found);
  }
  look_for_new(grey);
  return tags_;
}

// Stripes overlap by a sticker's tag, turned. Badges and board marks, more than twice as large, would be whole in few
// of them: for those a band of the frame is looked through now and then, coarsely, which takes no longer.
void TagWatch::look_for_new(const cv::Mat& grey) {
  const cv::Rect frame(0, 0, grey.cols, grey.rows);
  const auto part = [&](int which, int parts, int overlap) {
    const int height = (grey.rows + parts - 1) / parts;
    return cv::Rect(0, which * height, grey.cols, height + overlap) & frame;
  };
  turn_ = (turn_ + 1) % kBandEvery;
  if (turn_ == 0) {
    for (const SeenTag& tag : finder_.find(grey, part(band_, kBands, grey.rows / 7), 2)) add(tag);
    band_ = (band_ + 1) % kBands;
  } else {
    for (const SeenTag& tag : finder_.find(grey, part(stripe_, kStripes, std::max(48, grey.rows / 20)))) add(tag);
    stripe_ = (stripe_ + 1) % kStripes;
  }
}

const std::vector<SeenTag>& TagWatch::search(const cv::Mat& grey) {
  if (searched_ && !first_) return tags_;
  tags_.clear();
  for (const SeenTag& tag : finder_.find(grey)) add(tag);
  searched_ = true;
  first_ = false;
  return tags_;
}

bool TagWatch::look_at(const cv::Mat& grey, int id, const std::array<cv::Point2d, 4>& expected_px) {
  const std::optional<SeenTag> found = finder_.find_near(grey, id, expected_px);
  if (found) add(*found);
  return found.has_value();
}

}  // namespace vision
