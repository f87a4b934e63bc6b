#include "app/work/job_stickers.h"

namespace app {

vision::StickerGroup sticker_group(const Job& job) {
  vision::StickerGroup group;
  for (const PlacedSticker& placed : job.placed_stickers)
    group.stickers.push_back(
        {placed.number, {placed.at_mm, vision::wrapped_rad(placed.turn_deg * vision::kRadPerDeg)}});
  return group;
}

std::optional<int> one_sticker(const Job& job) {
  if (!job.placed_stickers.empty() || job.stickers.size() != 1) return std::nullopt;
  return job.stickers.front();
}

}  // namespace app
