// A group of stickers from frame to frame: which of them are seen, and what they say of their design.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/camera.h"
#include "vision/reading.h"
#include "vision/station.h"
#include "vision/sticker_group.h"

namespace vision {

class GroupWatch {
 public:
  // Another group forgets what was seen of the one before.
  void set(StickerGroup group);
  bool on() const { return !group_.stickers.empty(); }
  void forget();

  const StickerGroup& group() const { return group_; }
  // Where each of the group lay in the last frame that showed it; nothing for one that was not there.
  const std::vector<std::optional<Pose2>>& last() const { return last_; }
  // All codes of all of them.
  bool is_complete(const std::vector<SeenSticker>& stickers) const;
  // Nothing more is to be looked for: each one is seen well, or was not seen in the last frame either, and enough are.
  bool is_clear(const std::vector<SeenSticker>& stickers) const;

  // Of this frame's stickers; without a hoop all of them count, else those within its inner outline. Keeps where they
  // lie for the next frame.
  Status measure(const std::vector<SeenSticker>& stickers, const CameraPose& camera, const Hoop& hoop,
                 const std::optional<Pose2>& board_from_hoop);
  // What came of that.
  const GroupPose& outcome() const { return outcome_; }

 private:
  std::optional<std::size_t> index_of(int number) const;
  const SeenSticker* seen(std::size_t index, const std::vector<SeenSticker>& stickers) const;

  StickerGroup group_;
  std::vector<std::optional<Pose2>> last_;
  GroupPose outcome_;
};

}  // namespace vision
