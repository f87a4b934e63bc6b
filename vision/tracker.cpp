#include "vision/tracker.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "vision/board_pose.h"
#include "vision/group_watch.h"
#include "vision/picture_quality.h"
#include "vision/plane_view.h"
#include "vision/reading_of.h"
#include "vision/ring.h"
#include "vision/sticker_pose.h"
#include "vision/tag_watch.h"

namespace vision {
namespace {

// A rectangular distribution of half-width a has standard deviation a / sqrt(3) (JCGM 100:2008, 4.3.7).
double rectangular_u(double limit) { return limit / std::sqrt(3.0); }

bool is_board_mark(const Station& station, int id) {
  return std::any_of(station.board_marks.begin(), station.board_marks.end(),
                     [&](const BoardMark& mark) { return mark.id == id; });
}

std::vector<int> ids_seen_twice(const std::vector<SeenTag>& marks) {
  std::vector<int> ids, twice;
  for (const SeenTag& mark : marks) ids.push_back(mark.id);
  std::sort(ids.begin(), ids.end());
  for (size_t i = 1; i < ids.size(); ++i) {
    if (ids[i] == ids[i - 1] && (twice.empty() || twice.back() != ids[i])) twice.push_back(ids[i]);
  }
  return twice;
}

cv::Point2d centre_normalised(const SeenTag& tag) {
  return 0.25 * (tag.corners_normalised[0] + tag.corners_normalised[1] + tag.corners_normalised[2] +
                 tag.corners_normalised[3]);
}

}  // namespace

struct Tracker::State {
  Station station;
  TrackerOptions options;
  TagWatch tags;
  RingGauge ring;
  GroupWatch group;
  FrameResult result;

  std::optional<CameraPose> last_camera;  // the last good one, kept while the marks that are seen agree with it
  std::optional<Pose2> last_hoop;
  std::optional<Pose2> last_sticker;  // of a group: its design
  int last_number = -1;

  std::vector<SeenTag> marks;
  std::vector<StickerPose> sticker_poses;  // alongside result.stickers

  State(Station s, Hoop h, TrackerOptions o)
      : station(std::move(s)), options(o), tags(station.lens), ring(std::move(h)) {
    group.set(options.group);
  }

  void read(const cv::Mat& grey);
  Status measure(const cv::Mat& grey);
  Status find_board(const cv::Mat& grey);
  bool settle_board(Status& status);
  void name_disagreeing(int id);
  void look_at_missing_marks(const cv::Mat& grey);
  Status find_ring(const cv::Mat& grey);
  Status find_sticker(const cv::Mat& grey, size_t& chosen);
  Status find_group(const cv::Mat& grey);
  void look_at_sticker(const cv::Mat& grey, int number, const Pose2& board_from_sticker);
  void sort_stickers();
  bool sticker_is_clear() const;
  std::optional<cv::Point2d> north_mark() const;
  std::optional<cv::Point2d> sticker_hint() const;
  void describe_ring(const RingOutcome& ring_outcome);
  SeenSticker describe(int number, const StickerPose& pose, int tags_seen) const;
  bool moved(const std::optional<Pose2>& before, const Pose2& now) const;
};

// Three marks or more: a pose of this frame. Fewer: the last pose, while what is seen agrees with it.
bool Tracker::State::settle_board(Status& status) {
  marks.clear();
  for (const SeenTag& tag : tags.tags()) {
    if (is_board_mark(station, tag.id)) marks.push_back(tag);
  }
  const BoardPose board = board_pose(marks, station, last_camera);
  result.board_marks.clear();
  result.board_marks_disagreeing.clear();
  result.board_marks_twice = ids_seen_twice(marks);
  for (const int i : board.agreeing) result.board_marks.push_back(marks[static_cast<size_t>(i)]);
  for (const int i : board.disagreeing) name_disagreeing(marks[static_cast<size_t>(i)].id);
  if (board.error == BoardPoseError::none) {
    result.camera_from_board = last_camera = board.camera_from_board;
    result.board_from_this_frame = true;
    return true;
  }
  if (last_camera && marks_agree(marks, station, *last_camera)) {
    // Of a number that is there twice both are listed: which one lies right does not matter here.
    result.board_marks = marks;
    result.board_marks_disagreeing.clear();
    result.camera_from_board = last_camera;
    return true;
  }
  status = board.error == BoardPoseError::marks_disagree || (last_camera && !marks.empty()) ? Status::board_moved
                                                                                            : Status::no_board;
  return false;
}

// Once, and not where another mark of its number lies right.
void Tracker::State::name_disagreeing(int id) {
  const auto is_it = [id](const SeenTag& tag) { return tag.id == id; };
  std::vector<int>& named = result.board_marks_disagreeing;
  if (std::none_of(result.board_marks.begin(), result.board_marks.end(), is_it) &&
      std::find(named.begin(), named.end(), id) == named.end())
    named.push_back(id);
}

// A mark that a hand had covered is looked for where the last pose puts it.
void Tracker::State::look_at_missing_marks(const cv::Mat& grey) {
  if (!last_camera || tags.searched()) return;
  for (const BoardMark& mark : station.board_marks) {
    std::array<cv::Point2d, 4> expected;
    const std::array<cv::Point2d, 4> corners = board_mark_corners(mark, station.print_scale);
    for (size_t k = 0; k < 4; ++k) {
      expected[k] = image_from_board(station.lens, *last_camera, {corners[k].x, corners[k].y, 0.0});
    }
    // One of its number that lies elsewhere does not stand for it.
    const double reach_px = cv::norm(expected[1] - expected[0]);
    const bool seen = std::any_of(tags.tags().begin(), tags.tags().end(), [&](const SeenTag& tag) {
      return tag.id == mark.id && cv::norm(tag.corners_px[0] - expected[0]) < reach_px;
    });
    if (!seen) tags.look_at(grey, mark.id, expected);
  }
}

Status Tracker::State::find_board(const cv::Mat& grey) {
  Status status = Status::no_board;
  tags.follow(grey);
  look_at_missing_marks(grey);
  if (settle_board(status) && (result.board_from_this_frame || tags.searched())) return Status::ok;
  // Followed marks got lost, or the camera was knocked: look everywhere before saying so.
  tags.search(grey);
  result.camera_from_board.reset();
  if (settle_board(status)) return Status::ok;
  last_camera.reset();
  return picture_fault(grey).value_or(status);
}

std::optional<cv::Point2d> Tracker::State::north_mark() const {
  const Hoop& hoop = ring.hoop();
  if (hoop.north_by != NorthBy::mark) return std::nullopt;
  for (const SeenTag& tag : tags.tags()) {
    if (tag.id != hoop.north_mark) continue;
    return board_at_height_normalised(*result.camera_from_board, centre_normalised(tag), hoop.rim_height_mm);
  }
  return std::nullopt;
}

// About where a sticker lies, whichever it is: the ring is likely around it.
std::optional<cv::Point2d> Tracker::State::sticker_hint() const {
  for (const SeenTag& tag : tags.tags()) {
    if (sticker_number(tag.id) < 0) continue;
    return board_at_height_normalised(*result.camera_from_board, centre_normalised(tag), ring.hoop().cloth_height_mm);
  }
  return std::nullopt;
}

Status Tracker::State::find_ring(const cv::Mat& grey) {
  if (ring.hoop().north_by == NorthBy::mark && !north_mark()) tags.search(grey);
  const RingOutcome& outcome =
      ring.measure(grey, station.lens, *result.camera_from_board, last_hoop, north_mark(), sticker_hint());
  describe_ring(outcome);
  if (outcome.status == Status::ok) {
    result.board_from_hoop = outcome.board_from_hoop;
    result.hoop_covariance = outcome.covariance;
    result.tracked = outcome.tracked;
  }
  return outcome.status;
}

void Tracker::State::describe_ring(const RingOutcome& outcome) {
  result.ring_support = outcome.support;
  result.notches_seen = outcome.notches_found;
  if (outcome.status == Status::no_ring) return;
  const Hoop& hoop = ring.hoop();
  const PlaneView view(station.lens, *result.camera_from_board, hoop.rim_height_mm, outcome.board_from_hoop);
  for (const cv::Point2d& p : hoop.inner_mm) result.inner_px.push_back(view.image(p));
  for (const cv::Point2d& p : hoop.outer_mm) result.outer_px.push_back(view.image(p));
  for (size_t k = 0; k < 4; ++k) {
    result.notches[k] = {kSides[k], outcome.notches[k].found, view.image(hoop.notches[k].at_mm)};
  }
  const std::vector<OutlinePoint>& points = ring.model().points;
  for (size_t i = 0; i < points.size() && i < outcome.found.size(); ++i) {
    if (points[i].beside_notch) continue;
    result.rim.push_back({view.image(points[i].at_mm), points[i].inner, outcome.found[i] != 0});
  }
}

SeenSticker Tracker::State::describe(int number, const StickerPose& pose, int tags_seen) const {
  SeenSticker seen;
  seen.number = number;
  seen.tags_seen = tags_seen;
  if (pose.used.empty()) return seen;
  seen.good = pose.fault == StickerFault::none;
  seen.covariance = pose.covariance;
  seen.board_from_sticker = pose.board_from_sticker;
  const PlaneView view(station.lens, *result.camera_from_board, ring.hoop().cloth_height_mm, pose.board_from_sticker);
  const double half = kStickerHalfMm;
  seen.outline_px = {view.image({-half, half}), view.image({half, half}), view.image({half, -half}),
                     view.image({-half, -half})};
  seen.centre_px = view.image({0.0, 0.0});
  seen.arrow_px = view.image({0.0, 15.0});
  return seen;
}

// Groups the tags into stickers by number; a tag seen at two places makes its number count twice.
void Tracker::State::sort_stickers() {
  result.stickers.clear();
  result.sticker_tags.clear();
  result.other_tags.clear();
  sticker_poses.clear();
  for (const SeenTag& tag : tags.tags()) {
    if (sticker_number(tag.id) >= 0) {
      result.sticker_tags.push_back(tag);
    } else if (!is_board_mark(station, tag.id)) {
      result.other_tags.push_back(tag);
    }
  }
  std::sort(result.sticker_tags.begin(), result.sticker_tags.end(),
            [](const SeenTag& a, const SeenTag& b) { return a.id < b.id; });
  std::vector<SeenTag> own, twins;
  for (size_t i = 0; i < result.sticker_tags.size();) {
    const int number = sticker_number(result.sticker_tags[i].id);
    own.clear();
    twins.clear();
    for (; i < result.sticker_tags.size() && sticker_number(result.sticker_tags[i].id) == number; ++i) {
      const bool again = !own.empty() && own.back().id == result.sticker_tags[i].id;
      (again ? twins : own).push_back(result.sticker_tags[i]);
    }
    sticker_poses.push_back(
        sticker_pose(own, station.lens, *result.camera_from_board, ring.hoop().cloth_height_mm, station.print_scale));
    result.stickers.push_back(describe(number, sticker_poses.back(), static_cast<int>(own.size())));
    if (!twins.empty()) {
      sticker_poses.push_back(StickerPose{});
      result.stickers.push_back(describe(number, sticker_poses.back(), static_cast<int>(twins.size())));
    }
  }
}

// Enough of the sticker that counts: nothing more is to be looked for. Of one that is partly covered the tags of the
// last frame are enough; whatever else comes into view is found stripe by stripe.
bool Tracker::State::sticker_is_clear() const {
  return std::any_of(result.stickers.begin(), result.stickers.end(), [&](const SeenSticker& sticker) {
    const int enough = sticker.number == last_number && last_sticker ? 2 : 3;
    return sticker.tags_seen >= enough && (!options.sticker || sticker.number == *options.sticker);
  });
}

void Tracker::State::look_at_sticker(const cv::Mat& grey, int number, const Pose2& board_from_sticker) {
  const PlaneView view(station.lens, *result.camera_from_board, ring.hoop().cloth_height_mm, board_from_sticker);
  for (int id = 4 * number; id < 4 * number + 4; ++id) {
    const std::array<cv::Point2d, 4> corners = sticker_tag_corners(id, station.print_scale);
    tags.look_at(grey, id,
                 {view.image(corners[0]), view.image(corners[1]), view.image(corners[2]), view.image(corners[3])});
  }
}

Status Tracker::State::find_group(const cv::Mat& grey) {
  sort_stickers();
  if (!group.is_complete(result.stickers) && !tags.searched()) {
    for (size_t i = 0; i < group.last().size(); ++i) {
      if (group.last()[i]) look_at_sticker(grey, group.group().stickers[i].number, *group.last()[i]);
    }
    sort_stickers();
    if (!group.is_clear(result.stickers)) {
      tags.search(grey);
      sort_stickers();
    }
  }
  const Status status = group.measure(result.stickers, *result.camera_from_board, ring.hoop(), result.board_from_hoop);
  result.design.stickers = group.outcome().checks;
  if (status == Status::ok) result.design.board_from_design = group.outcome().board_from_design;
  return status;
}

Status Tracker::State::find_sticker(const cv::Mat& grey, size_t& chosen) {
  sort_stickers();
  if (result.sticker_tags.size() < 4 && !tags.searched()) {
    if (last_sticker && last_number >= 0) {
      look_at_sticker(grey, last_number, *last_sticker);
      sort_stickers();
    }
    if (!sticker_is_clear()) {
      tags.search(grey);
      sort_stickers();
    }
  }
  if (result.stickers.empty()) return Status::no_sticker;
  std::vector<size_t> wanted;
  for (size_t i = 0; i < result.stickers.size(); ++i) {
    if (!options.sticker || result.stickers[i].number == *options.sticker) wanted.push_back(i);
  }
  if (wanted.empty()) return Status::wrong_sticker;
  if (wanted.size() > 1) return Status::several_stickers;
  chosen = wanted.front();
  return sticker_poses[chosen].fault == StickerFault::none ? Status::ok : Status::sticker_covered;
}

bool Tracker::State::moved(const std::optional<Pose2>& before, const Pose2& now) const {
  if (!before) return false;
  const double turned = std::abs(wrapped_rad(now.angle_rad - before->angle_rad)) * ring.model().mean_radius_mm;
  return cv::norm(now.origin_mm - before->origin_mm) + turned > options.moving_limit_mm;
}

Status Tracker::State::measure(const cv::Mat& grey) {
  if (const Status board = find_board(grey); board != Status::ok) return board;
  const Status ring_status = find_ring(grey);
  size_t chosen = 0;
  const Status sticker_status = group.on() ? find_group(grey) : find_sticker(grey, chosen);
  const std::optional<Pose2> hoop_before = last_hoop, sticker_before = last_sticker;
  last_hoop = result.board_from_hoop;
  last_sticker.reset();
  if (sticker_status == Status::ok) {
    last_sticker = group.on() ? group.outcome().board_from_design : sticker_poses[chosen].board_from_sticker;
    last_number = group.on() ? -1 : result.stickers[chosen].number;
  }
  if (ring_status != Status::ok) return ring_status;
  if (sticker_status != Status::ok) return sticker_status;
  if (moved(hoop_before, *last_hoop) || moved(sticker_before, *last_sticker)) return Status::moving;

  ReadingInputs inputs;
  const Hoop& hoop = ring.hoop();
  const RingOutcome& outcome = ring.outcome();
  inputs.lens = station.lens;
  inputs.camera_from_board = *result.camera_from_board;
  inputs.board_from_hoop = outcome.board_from_hoop;
  inputs.hoop_covariance = outcome.covariance;
  inputs.hoop_noise_covariance = outcome.noise_covariance;
  inputs.hoop_reach_mm = ring.model().mean_radius_mm;
  if (group.on()) {
    inputs.board_from_sticker = group.outcome().board_from_design;
    inputs.sticker_covariance = group.outcome().covariance;
    inputs.sticker_shared_covariance = group.outcome().shared_covariance;
    inputs.group = group.outcome().fit;
  } else {
    inputs.board_from_sticker = sticker_poses[chosen].board_from_sticker;
    inputs.sticker_covariance = sticker_poses[chosen].covariance;
  }
  inputs.rim_height_mm = hoop.rim_height_mm;
  inputs.cloth_height_mm = hoop.cloth_height_mm;
  inputs.rim_height_u_mm = inputs.cloth_height_u_mm = rectangular_u(options.height_limit_mm);
  inputs.print_scale_u = options.print_scale_u;
  result.reading = reading_of(inputs);
  return Status::ok;
}

void Tracker::State::read(const cv::Mat& grey) {
  result.reading.reset();
  result.camera_from_board.reset();
  result.board_from_this_frame = false;
  result.board_marks.clear();
  result.board_marks_disagreeing.clear();
  result.board_marks_twice.clear();
  result.stickers.clear();
  result.design.stickers.clear();
  result.design.board_from_design.reset();
  result.sticker_tags.clear();
  result.other_tags.clear();
  result.board_from_hoop.reset();
  result.hoop_covariance = Covariance3::zeros();
  result.notches = {};
  for (size_t k = 0; k < 4; ++k) result.notches[k].side = kSides[k];
  result.notches_seen = 0;
  result.ring_support = 0.0;
  result.rim.clear();
  result.inner_px.clear();
  result.outer_px.clear();
  result.tracked = false;
  result.status = measure(grey);
  if (!result.camera_from_board) last_hoop.reset(), last_sticker.reset(), group.forget();
}

Tracker::Tracker(Station station, Hoop hoop, TrackerOptions options)
    : state_(std::make_unique<State>(std::move(station), std::move(hoop), options)) {}
Tracker::~Tracker() = default;
Tracker::Tracker(Tracker&&) noexcept = default;
Tracker& Tracker::operator=(Tracker&&) noexcept = default;

const FrameResult& Tracker::read(const cv::Mat& grey) {
  const Lens& lens = state_->station.lens;
  if (grey.type() != CV_8UC1) throw std::invalid_argument("a frame must be 8-bit grey");
  if (grey.cols != lens.width_px || grey.rows != lens.height_px) {
    throw std::invalid_argument("a frame must be " + std::to_string(lens.width_px) + " x " +
                                std::to_string(lens.height_px) + " px, as the station file says");
  }
  state_->read(grey);
  return state_->result;
}

void Tracker::forget() {
  state_->tags.forget();
  state_->last_camera.reset();
  state_->last_hoop.reset();
  state_->last_sticker.reset();
  state_->last_number = -1;
  state_->group.forget();
}

const Station& Tracker::station() const { return state_->station; }
const Hoop& Tracker::hoop() const { return state_->ring.hoop(); }

void Tracker::set_hoop(Hoop hoop) {
  state_->ring = RingGauge(std::move(hoop));
  state_->last_hoop.reset();
}

void Tracker::set_options(const TrackerOptions& options) {
  state_->options = options;
  if (state_->group.on() == options.group.stickers.empty()) state_->last_sticker.reset();
  state_->group.set(options.group);
}

}  // namespace vision
