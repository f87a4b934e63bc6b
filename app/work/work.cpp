#include "app/work/work.h"

#include <utility>

#include "app/cycle/seen_parts.h"
#include "vision/plane_view.h"

namespace app {

Work::Work(vision::Station station, vision::Hoop hoop)
    : station_(std::move(station)), hoop_(std::move(hoop)), board_(station_) {}

WorkNews Work::see(const Measured& measured) {
  WorkNews news;
  const bool held_before = cycle_.held().has_value();
  const int tries_before = cycle_.tries();
  seen_ = measured.result;
  seen_s_ = measured.frame.time_s;
  if (measured.other_hoop != other_hoop_) news.other_hoop = other_hoop_ = measured.other_hoop;
  board_.update(*seen_);
  if (!aside_) {
    news.piece = cycle_.see(*seen_, measured.frame.time_s, !other_hoop_.empty());
    status_.update(seen_->status, cycle_.watched_s());
    if (news.piece) ++pieces_;
    news.locked = cycle_.held() && (!held_before || cycle_.tries() != tries_before);
    if (news.piece) news.piece = with_stretch(news.piece);
    follow_stretch(*seen_, news.locked);
  }
  news.cards = cards_.see(seen_->other_tags, measured.frame.time_s);
  news.notes = board_.news();
  show_anew();
  return news;
}

void Work::frames_lost() {
  cycle_.frames_lost();
  cards_.frames_lost();
  flat_.break_off();
  pressed_.break_off();
  if (!cycle_.held()) forget_stretch();
  seen_.reset();
  other_hoop_.clear();
  show_anew();
}

void Work::set_aside(bool aside) {
  if (aside != std::exchange(aside_, aside)) frames_lost();
}

double Work::stretch_limit_percent() const {
  if (job_ && job_->stretch_limit_percent) return *job_->stretch_limit_percent;
  return stretch_limit_of_cloth_percent_.value_or(kStretchLimitPercent);
}

void Work::forget_stretch() {
  flat_.forget();
  pressed_.forget();
  stretch_.reset();
  stretch_wanted_ = false;
}

std::optional<HoopedPiece> Work::with_stretch(std::optional<HoopedPiece> piece) {
  if (!piece) return piece;
  piece->stretch = stretch_;
  forget_stretch();
  return piece;
}

// Flat is the cloth while the ring is not pressed: hidden under it, or not on the board yet.
void Work::follow_stretch(const vision::FrameResult& result, bool locked) {
  if (!wants_stretch()) return;
  const double now_s = cycle_.watched_s();
  const Phase phase = cycle_.phase();
  const bool before = phase == Phase::set_hoop || phase == Phase::lay_cloth;
  if (before && !result.board_from_hoop) flat_.update(result, hoop_.cloth_height_mm, now_s);
  if (before || !ring_and_sticker(result)) return pressed_.break_off();
  if (locked) stretch_.reset(), stretch_wanted_ = true;
  if (phase == Phase::press) {
    stretch_.reset();
    pressed_.forget_rest();
  }
  if (phase == Phase::press || stretch_wanted_) pressed_.update(result, hoop_.cloth_height_mm, now_s);
  if (!stretch_wanted_ || pressed_.rested().empty()) return;
  std::vector<StretchPoint> points;
  for (const RestingCross& pressed : pressed_.rested())
    for (const RestingCross& flat : flat_.rested())
      for (const PlacedSticker& placed : job_->placed_stickers)
        if (flat.number == pressed.number && placed.number == flat.number)
          points.push_back({flat.number, placed.at_mm, flat, pressed});
  stretch_ = stretch_of(points);
  stretch_wanted_ = false;
}

void Work::show_anew() {
  shown_ = what_to_show();
  if (shown_) {
    within_.update(shown_->reading, tolerance());
  } else {
    within_.forget();
  }
  draw_kept_ring();
}

std::optional<ShownReading> Work::what_to_show() const {
  using Kind = ShownReading::Kind;
  if (cycle_.held()) {
    const bool ring = seen_ && seen_->board_from_hoop;
    return ShownReading{Kind::held, *cycle_.held(), ring ? *seen_->board_from_hoop : cycle_.held_hoop()};
  }
  if (!seen_) return std::nullopt;
  if (ring_and_sticker(*seen_)) return ShownReading{Kind::live, *seen_->reading, *seen_->board_from_hoop};
  return guide();
}

// The design in the frame of the hoop as it was set, while the cloth hides the ring. It guides only: nobody sees
// whether the hoop crept.
std::optional<ShownReading> Work::guide() const {
  if (!cycle_.kept_hoop() || !ring_hidden(*seen_)) return std::nullopt;
  const std::optional<vision::Pose2> board_from_design = seen_design(*seen_, cycle_.stickers());
  if (!board_from_design) return std::nullopt;
  ShownReading guide;
  guide.kind = ShownReading::Kind::guide;
  guide.board_from_hoop = *cycle_.kept_hoop();
  const vision::Pose2 hoop_from_design = vision::compose(vision::inverse(guide.board_from_hoop), *board_from_design);
  guide.reading.offset_x_mm = hoop_from_design.origin_mm.x;
  guide.reading.offset_y_mm = hoop_from_design.origin_mm.y;
  guide.reading.rotation_deg = vision::wrapped_rad(hoop_from_design.angle_rad) * vision::kDegPerRad;
  return guide;
}

// From the camera's pose of now, which may have been knocked since.
void Work::draw_kept_ring() {
  kept_inner_px_.clear();
  kept_outer_px_.clear();
  if (!seen_ || !seen_->camera_from_board || !ring_hidden(*seen_) || !cycle_.kept_hoop() || cycle_.held()) return;
  const vision::PlaneView view(station_.lens, *seen_->camera_from_board, hoop_.rim_height_mm, *cycle_.kept_hoop());
  for (const cv::Point2d& p : hoop_.inner_mm) kept_inner_px_.push_back(view.image(p));
  for (const cv::Point2d& p : hoop_.outer_mm) kept_outer_px_.push_back(view.image(p));
}

std::optional<HoopedPiece> Work::set_job(std::optional<Job> job) {
  std::optional<HoopedPiece> piece;
  if (cycle_.phase() == Phase::lift) piece = with_stretch(cycle_.finish());
  if (piece) ++pieces_;
  job_ = std::move(job);
  forget_stretch();
  cycle_.set_stickers(job_ ? job_->stickers : std::vector<int>{});
  show_anew();
  return piece;
}

std::optional<HoopedPiece> Work::set_hoop(vision::Hoop hoop) {
  const std::optional<HoopedPiece> piece = with_stretch(cycle_.finish());
  if (piece) ++pieces_;
  forget_stretch();
  hoop_ = std::move(hoop);
  other_hoop_.clear();
  seen_.reset();
  show_anew();
  return piece;
}

bool Work::take() { return cycle_.take(); }

bool Work::repeat() {
  const bool meant = cycle_.repeat();
  show_anew();
  return meant;
}

bool Work::start_over() {
  const bool meant = cycle_.start_over();
  forget_stretch();
  show_anew();
  return meant;
}

}  // namespace app
