#include "app/kept_hoop.h"

namespace app {
namespace {

bool ring_hidden(vision::Status status) {
  return status == vision::Status::no_ring || status == vision::Status::ring_covered ||
         status == vision::Status::which_way_up;
}

}  // namespace

void KeptHoop::forget() {
  board_from_hoop_.reset();
  inner_px_.clear();
  outer_px_.clear();
}

void KeptHoop::update(const vision::FrameResult& result) {
  if (result.status == vision::Status::ok || result.status == vision::Status::board_moved) return forget();
  if (result.status != vision::Status::no_sticker || !result.board_from_hoop) return;
  board_from_hoop_ = result.board_from_hoop;
  inner_px_ = result.inner_px;
  outer_px_ = result.outer_px;
}

std::optional<Guide> KeptHoop::guide(const vision::FrameResult& result) const {
  if (!board_from_hoop_ || !ring_hidden(result.status) || result.stickers.size() != 1) return std::nullopt;
  if (result.stickers.front().tags_seen < 2) return std::nullopt;
  const vision::Pose2 hoop_from_sticker =
      vision::compose(vision::inverse(*board_from_hoop_), result.stickers.front().board_from_sticker);
  Guide guide;
  guide.board_from_hoop = *board_from_hoop_;
  guide.reading.offset_x_mm = hoop_from_sticker.origin_mm.x;
  guide.reading.offset_y_mm = hoop_from_sticker.origin_mm.y;
  guide.reading.rotation_deg = vision::wrapped_rad(hoop_from_sticker.angle_rad) * vision::kDegPerRad;
  return guide;
}

}  // namespace app
