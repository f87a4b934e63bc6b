// The knobs by which a person drags outlines and notches: where they are, which one a finger meant, where it takes the
// point. A knob stands beside its point, joined to it by a stem, so that the finger does not hide the point.
#pragma once

#include <SDL.h>

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/screen/picture_region.h"
#include "calib/teach_ring.h"

namespace app {

struct Handle {
  enum class Kind { inner, outer, notch };
  Kind kind = Kind::inner;
  std::size_t number = 0;  // of its kind; a notch's is its side, in the order of vision::kSides
  SDL_FPoint point{};      // on the outline or the notch, px of the output
  SDL_FPoint knob{};
};

inline constexpr std::size_t kOutlineHandles = 6;  // of each outline

// Evenly along the outlines: those of the inner one have their knobs inside the ring, those of the outer one, halfway
// between them, outside. `away_px`: from point to knob.
std::vector<Handle> outline_handles(const calib::RingPicture& picture, const PictureRegion& region, float away_px);
// Four, with their knobs outside the ring.
std::vector<Handle> notch_handles(const calib::RingPicture& picture, const PictureRegion& region, float away_px);

// The handle whose knob or point is nearest to `at` and within reach; of two the knob counts.
std::optional<std::size_t> hit_handle(const std::vector<Handle>& handles, SDL_FPoint at, float reach_px);

// One handle held by a finger. The point follows at the distance at which it was taken.
class HandleDrag {
 public:
  HandleDrag(Handle handle, SDL_FPoint at) : handle_(handle), start_(at), now_(at) {}
  void move(SDL_FPoint at) { now_ = at; }
  const Handle& handle() const { return handle_; }
  // Where point and knob are now.
  SDL_FPoint point() const { return {handle_.point.x + now_.x - start_.x, handle_.point.y + now_.y - start_.y}; }
  SDL_FPoint knob() const { return {handle_.knob.x + now_.x - start_.x, handle_.knob.y + now_.y - start_.y}; }
  // Whether it went far enough to be meant; a tap is no drag.
  bool meant(float least_px) const;

 private:
  Handle handle_;
  SDL_FPoint start_, now_;
};

}  // namespace app
