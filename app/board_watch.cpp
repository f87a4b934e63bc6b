#include "app/board_watch.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "app/advice.h"
#include "vision/geometry.h"

namespace app {
namespace {

cv::Vec3d centre(const vision::CameraPose& pose) { return -(pose.rotation.t() * pose.translation_mm); }

std::vector<int> ids_of(const std::vector<vision::SeenTag>& tags) {
  std::vector<int> ids;
  for (const vision::SeenTag& tag : tags) ids.push_back(tag.id);
  return ids;
}

bool holds(const std::vector<int>& ids, int id) { return std::find(ids.begin(), ids.end(), id) != ids.end(); }

}  // namespace

Knock knock_between(const vision::CameraPose& from, const vision::CameraPose& to,
                    const std::vector<vision::BoardMark>& marks) {
  Knock knock;
  knock.way_mm = cv::norm(centre(to) - centre(from));
  const double cosine = 0.5 * (cv::trace(to.rotation * from.rotation.t()) - 1.0);
  knock.turn_deg = std::acos(std::clamp(cosine, -1.0, 1.0)) * vision::kDegPerRad;
  for (const vision::BoardMark& mark : marks) {
    // Where the old pose would take the mark to lie, seen as the new one sees it.
    const cv::Vec3d seen = to.rotation * cv::Vec3d(mark.x_mm, mark.y_mm, 0.0) + to.translation_mm;
    const cv::Point2d taken = vision::board_at_height_normalised(from, {seen[0] / seen[2], seen[1] / seen[2]}, 0.0);
    const double shift = cv::norm(taken - cv::Point2d(mark.x_mm, mark.y_mm));
    knock.shift_mm = std::isfinite(shift) ? std::max(knock.shift_mm, shift) : 1e9;
  }
  return knock;
}

BoardWatch::BoardWatch(vision::Station station) : station_(std::move(station)), usual_(station_.surveyed_camera) {}

void BoardWatch::count(std::map<int, int>& frames, const std::vector<int>& now, const std::vector<int>& denied,
                       std::vector<int>& said) const {
  // A mark that is not seen keeps what is known of it.
  for (const int id : now) frames[id] = std::min(frames[id] + 1, kFrames);
  for (auto& [id, seen] : frames)
    if (!holds(now, id) && holds(denied, id)) seen = std::max(seen - 1, 0);
  for (const auto& [id, seen] : frames) {
    if (seen == kFrames && !holds(said, id)) said.push_back(id);
    if (seen == 0) said.erase(std::remove(said.begin(), said.end(), id), said.end());
  }
  std::sort(said.begin(), said.end());
}

void BoardWatch::update(const vision::FrameResult& result) {
  knock_frames_ = std::min(knock_frames_ + 1, kKnockShown + 1);
  if (!result.camera_from_board) return;
  const std::vector<int> in_place = ids_of(result.board_marks);
  count(moved_frames_, result.board_marks_disagreeing, in_place, moved_);
  count(twice_frames_, result.board_marks_twice, in_place, twice_);
  if (result.board_from_this_frame) watch_camera(result);
}

void BoardWatch::watch_camera(const vision::FrameResult& result) {
  const vision::CameraPose& now = *result.camera_from_board;
  if (!usual_) usual_ = now;
  if (!(knock_between(*usual_, now, station_.board_marks).shift_mm > kKnockMm)) {
    candidate_.reset();
    // Put back where it was.
    if (++usual_frames_ >= kFrames) {
      knock_.reset();
      noted_.reset();
    }
    return;
  }
  usual_frames_ = 0;
  if (noted_ && !(knock_between(*noted_, now, station_.board_marks).shift_mm > kKnockMm)) {
    candidate_.reset();
    return;
  }
  if (candidate_ && !(knock_between(*candidate_, now, station_.board_marks).shift_mm > kKnockMm)) {
    if (++candidate_frames_ < kFrames) return;
    noted_ = now;
    knock_ = knock_between(*usual_, now, station_.board_marks);
    knock_frames_ = 0;
    candidate_.reset();
    return;
  }
  candidate_ = now;
  candidate_frames_ = 1;
}

std::vector<std::string> BoardWatch::notes() const {
  std::vector<std::string> out;
  if (!moved_.empty()) out.push_back(moved_marks_advice(moved_));
  if (!twice_.empty()) out.push_back(marks_twice_advice(twice_));
  if (knock_ && knock_frames_ <= kKnockShown) out.push_back(knock_advice(knock_->way_mm, knock_->turn_deg));
  return out;
}

std::vector<std::string> BoardWatch::news() {
  std::vector<std::string> fresh;
  const std::vector<std::string> now = notes();
  for (const std::string& note : now)
    if (std::find(told_.begin(), told_.end(), note) == told_.end()) fresh.push_back(note);
  told_ = now;
  return fresh;
}

}  // namespace app
