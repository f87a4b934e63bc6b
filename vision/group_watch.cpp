#include "vision/group_watch.h"

#include <algorithm>
#include <utility>

namespace vision {
namespace {

bool same(const StickerGroup& a, const StickerGroup& b) {
  return std::equal(a.stickers.begin(), a.stickers.end(), b.stickers.begin(), b.stickers.end(),
                    [](const GroupSticker& one, const GroupSticker& other) {
                      const Pose2 &p = one.design_from_sticker, &q = other.design_from_sticker;
                      return one.number == other.number && p.origin_mm == q.origin_mm && p.angle_rad == q.angle_rad;
                    });
}

// By how often a ray to the right crosses the outline.
bool is_within(const std::vector<cv::Point2d>& outline, cv::Point2d p) {
  bool within = false;
  for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
    const cv::Point2d &a = outline[i], &b = outline[j];
    if ((a.y > p.y) != (b.y > p.y) && p.x < a.x + (b.x - a.x) * (p.y - a.y) / (b.y - a.y)) within = !within;
  }
  return within;
}

// How a point's place on the cloth moves for a millimetre that the cloth is higher: towards the camera's foot.
cv::Point2d per_height(cv::Point2d p_in_board, const CameraPose& camera, double height_mm) {
  const cv::Vec3d eye = -(camera.rotation.t() * camera.translation_mm);
  return (cv::Point2d(eye[0], eye[1]) - p_in_board) * (1.0 / (eye[2] - height_mm));
}

}  // namespace

void GroupWatch::set(StickerGroup group) {
  const bool another = !same(group, group_);
  group_ = std::move(group);
  if (another) forget();
}

void GroupWatch::forget() { last_.assign(group_.stickers.size(), std::nullopt); }

std::optional<std::size_t> GroupWatch::index_of(int number) const {
  for (std::size_t i = 0; i < group_.stickers.size(); ++i)
    if (group_.stickers[i].number == number) return i;
  return std::nullopt;
}

const SeenSticker* GroupWatch::seen(std::size_t index, const std::vector<SeenSticker>& stickers) const {
  for (const SeenSticker& sticker : stickers)
    if (sticker.number == group_.stickers[index].number) return &sticker;
  return nullptr;
}

bool GroupWatch::is_complete(const std::vector<SeenSticker>& stickers) const {
  for (std::size_t i = 0; i < last_.size(); ++i) {
    const SeenSticker* sticker = seen(i, stickers);
    if (sticker == nullptr || sticker->tags_seen < 4) return false;
  }
  return true;
}

bool GroupWatch::is_clear(const std::vector<SeenSticker>& stickers) const {
  std::size_t well = 0;
  for (std::size_t i = 0; i < last_.size(); ++i) {
    const SeenSticker* sticker = seen(i, stickers);
    const int tags = sticker == nullptr ? 0 : sticker->tags_seen;
    if (tags >= (last_[i] ? 2 : 3)) {
      ++well;
    } else if (last_[i]) {
      return false;
    }
  }
  return well >= std::min<std::size_t>(2, last_.size());
}

Status GroupWatch::measure(const std::vector<SeenSticker>& stickers, const CameraPose& camera, const Hoop& hoop,
                           const std::optional<Pose2>& board_from_hoop) {
  forget();
  outcome_ = {};
  std::vector<GroupMember> members;
  std::vector<int> numbers;
  bool covered = false;
  for (const SeenSticker& sticker : stickers) {
    const std::optional<std::size_t> index = index_of(sticker.number);
    if (!index) continue;
    numbers.push_back(sticker.number);
    covered = covered || !sticker.good;
    if (!sticker.good) continue;
    last_[*index] = sticker.board_from_sticker;
    const cv::Point2d at = sticker.board_from_sticker.origin_mm;
    if (board_from_hoop && !is_within(hoop.inner_mm, apply_inverse(*board_from_hoop, at))) continue;
    members.push_back(
        {*index, sticker.board_from_sticker, sticker.covariance, per_height(at, camera, hoop.cloth_height_mm)});
  }
  std::sort(numbers.begin(), numbers.end());
  const bool twice = std::adjacent_find(numbers.begin(), numbers.end()) != numbers.end();
  outcome_ = group_pose(group_, twice ? std::vector<GroupMember>{} : members);
  if (twice) return outcome_.status = Status::several_stickers;
  if (stickers.empty()) return outcome_.status = Status::no_sticker;
  if (numbers.empty()) return outcome_.status = Status::wrong_sticker;
  if (outcome_.status == Status::sticker_missing && covered) outcome_.status = Status::sticker_covered;
  return outcome_.status;
}

}  // namespace vision
