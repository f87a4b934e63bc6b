#include "app/render/setup_play.h"

#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>
#include <utility>

#include "app/render/demo_station.h"
#include "app/render/setup_stops.h"

namespace app {
namespace {

// Of a stop, seconds: the hand comes, moves what is there, goes, and all is still.
constexpr double kGrasped = 0.5, kMoved = 1.4, kLeft = 1.9, kStopEnd = 4.2;
constexpr double kOutOfPictureMm = 420.0;  // towards the operator

double share(double from, double to, double time) {
  const double t = std::clamp((time - from) / (to - from), 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

vision::Pose2 between_poses(const vision::Pose2& from, const vision::Pose2& to, double part) {
  return {from.origin_mm + (to.origin_mm - from.origin_mm) * part,
          from.angle_rad + vision::wrapped_rad(to.angle_rad - from.angle_rad) * part};
}

PagePlace between_places(const PagePlace& from, const PagePlace& to, double part) {
  cv::Vec3d turn;
  cv::Rodrigues(to.rotation * from.rotation.t(), turn);
  cv::Matx33d step;
  cv::Rodrigues(turn * part, step);
  PagePlace place;
  place.rotation = step * from.rotation;
  place.origin_mm = from.origin_mm + (to.origin_mm - from.origin_mm) * part;
  return place;
}

// A hand-held sheet that is moved from one part of the picture to another does not go through the board.
void keep_above_board(const cv::Rect2d& paper, PagePlace& place) {
  double lowest = 1e9;
  for (const double x : {paper.x, paper.br().x})
    for (const double y : {paper.y, paper.br().y})
      lowest = std::min(lowest, (place.rotation * cv::Vec3d(x, y, 0.0) + place.origin_mm)[2]);
  place.origin_mm[2] += std::max(0.0, 4.0 - lowest);
}

}  // namespace

SetupPlay::SetupPlay(SetupScript script, const vision::Station& station, const vision::Hoop& hoop, ScenePage sheet,
                     std::uint64_t seed)
    : script_(script),
      sheet_(std::move(sheet)),
      rim_height_mm_(hoop.rim_height_mm - hoop.cloth_height_mm),  // no cloth between ring and board
      half_width_mm_(0.0) {
  for (const cv::Point2d& p : hoop.outer_mm) half_width_mm_ = std::max(half_width_mm_, std::abs(p.x));
  empty_.camera_from_board = camera_from_board(demo_camera_place());
  empty_.cloth.reset();
  empty_.ring.state = RingState::none;
  empty_.light.slope = 0.03;
  Random random(seed * 6151 + 11);
  const cv::Rect2d paper = script == SetupScript::teach ? cv::Rect2d() : paper_mm(sheet_);
  switch (script) {
    case SetupScript::lens:
      stops_ = lens_stops(station.lens, empty_.camera_from_board, paper, random);
      break;
    case SetupScript::board:
      stops_ = board_stops(station, paper, random);
      break;
    case SetupScript::teach:
      stops_ = teach_stops(station, hoop, random);
      break;
    case SetupScript::proof:
      stops_ = proof_stops(station, paper, random);
      break;
  }
}

double SetupPlay::seconds_per_stop() const { return kStopEnd; }

Scene SetupPlay::scene_of(const SetupStop& stop) const {
  Scene scene = empty_;
  if (script_ == SetupScript::teach) {
    scene.ring.state = RingState::assembled;
    scene.ring.albedo = 0.14;
    scene.ring.rim_height_mm = rim_height_mm_;
    scene.ring.board_from_hoop = stop.board_from_hoop;
  } else {
    scene.pages.push_back(sheet_);
    scene.pages.back().place = stop.page;
  }
  return scene;
}

Scene SetupPlay::still(int number) const { return scene_of(stop(number)); }

SetupStop SetupPlay::between(const SetupStop& from, const SetupStop& to, double part) const {
  SetupStop stop{between_places(from.page, to.page, part),
                 between_poses(from.board_from_hoop, to.board_from_hoop, part)};
  if (script_ == SetupScript::lens) keep_above_board(paper_mm(sheet_), stop.page);
  return stop;
}

// A hand whose middle finger's tip is on the sheet's or the ring's right side, drawn back towards the operator.
void SetupPlay::add_hand(Scene& scene, double retreat) const {
  if (retreat >= 1.0 || script_ == SetupScript::lens) return;
  cv::Point2d tip;
  if (script_ == SetupScript::teach) {
    tip = scene.ring.board_from_hoop.origin_mm + cv::Point2d(half_width_mm_ - 4.0, -10.0);
  } else {
    const cv::Vec3d& origin = scene.pages.back().place.origin_mm;
    tip = cv::Point2d(origin[0] + 0.3 * paper_mm(sheet_).width, origin[1] - 20.0);
  }
  scene.hand = Hand{};
  scene.hand->board_from_hand = {tip + cv::Point2d(28.0, -92.0 - kOutOfPictureMm * retreat), 0.3};
}

SetupMoment SetupPlay::at(double time_s) const {
  const double time = std::max(0.0, time_s);
  const int count = static_cast<int>(time / kStopEnd);
  const double t = time - count * kStopEnd;
  SetupMoment moment;
  moment.stop = count % stops();
  // The very first stop is there from the beginning.
  const SetupStop& to = stop(moment.stop);
  const SetupStop& from = count == 0 ? to : stop((count - 1) % stops());
  moment.scene = scene_of(between(from, to, share(kGrasped, kMoved, t)));
  moment.still = t >= kLeft || count == 0;
  if (!moment.still) add_hand(moment.scene, std::max(1.0 - share(0.0, kGrasped, t), share(kMoved, kLeft, t)));
  return moment;
}

}  // namespace app
