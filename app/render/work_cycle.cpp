#include "app/render/work_cycle.h"

#include <algorithm>
#include <cmath>

#include "app/render/random.h"

namespace app {
namespace {

// Ends of the phases, seconds from a piece's beginning.
constexpr double kHoopIn = 1.0, kHoopSet = 3.0;
constexpr double kClothIn = 4.2, kClothLaid = 10.5;
constexpr double kPressed = 12.0, kHeld = 16.5;
constexpr double kGrasped = 17.0, kLifted = 18.2, kPieceEnd = 19.0;
constexpr int kNudges = 4;
constexpr double kOutOfPictureMm = 420.0;  // towards the operator

double smooth(double t) {
  t = std::clamp(t, 0.0, 1.0);
  return t * t * (3.0 - 2.0 * t);
}

double share(double from, double to, double time) { return smooth((time - from) / (to - from)); }

// How much of the first misplacement is left while the cloth is nudged: it shrinks in steps, with a rest after each.
double left_to_nudge(double time) {
  const double step = (kClothLaid - 0.8 - kClothIn) / kNudges;
  double left = 1.0;
  for (int i = 0; i < kNudges; ++i) {
    const double start = kClothIn + (i + 0.35) * step;
    left *= 1.0 - 0.62 * share(start, start + 0.5 * step, time);
  }
  return left;
}

vision::Pose2 moved(vision::Pose2 pose, double towards_operator_mm) {
  pose.origin_mm.y -= towards_operator_mm;
  return pose;
}

}  // namespace

struct WorkCycle::Piece {
  vision::Pose2 board_from_hoop, hoop_from_sticker, first_misplacement, cloth_from_sticker;
  double ring_albedo = 0.0;
  Cloth cloth;
  int sticker = 0;

  void lay_cloth(Scene& scene, double left_to_nudge_share, double towards_operator_mm) const;
};

// `left`: share of the first misplacement that is left.
void WorkCycle::Piece::lay_cloth(Scene& scene, double left, double towards_operator_mm) const {
  vision::Pose2 misplaced = first_misplacement;
  misplaced.origin_mm *= left, misplaced.angle_rad *= left;
  const vision::Pose2 board_from_sticker =
      moved(vision::compose(board_from_hoop, vision::compose(misplaced, hoop_from_sticker)), towards_operator_mm);
  scene.stickers.push_back({sticker, board_from_sticker, 0.0, {}});
  scene.cloth = cloth;
  scene.cloth->board_from_cloth = vision::compose(board_from_sticker, vision::inverse(cloth_from_sticker));
}

WorkCycle::WorkCycle(const vision::Hoop& hoop, const CameraPlace& camera, std::uint64_t seed)
    : camera_from_board_(camera_from_board(camera)),
      rim_height_mm_(hoop.rim_height_mm),
      cloth_height_mm_(hoop.cloth_height_mm),
      half_width_mm_(0.0),
      half_height_mm_(0.0),
      seed_(seed) {
  for (const cv::Point2d& p : hoop.outer_mm) {
    half_width_mm_ = std::max(half_width_mm_, std::abs(p.x));
    half_height_mm_ = std::max(half_height_mm_, std::abs(p.y));
  }
}

double WorkCycle::seconds_per_piece() { return kPieceEnd; }

WorkCycle::Piece WorkCycle::piece(int number) const {
  Random random(seed_ * 7919 + static_cast<std::uint64_t>(number));
  const auto either_way = [&](double low, double high) {
    return (random.chance(0.5) ? 1.0 : -1.0) * random.between(low, high);
  };
  Piece piece;
  piece.board_from_hoop = {{random.between(-4, 4), random.between(-4, 4)},
                           random.between(-1.0, 1.0) * vision::kRadPerDeg};
  piece.hoop_from_sticker = {{random.between(-1.5, 1.5), random.between(-1.5, 1.5)},
                             random.between(-1.0, 1.0) * vision::kRadPerDeg};
  piece.first_misplacement = {{either_way(6, 15), either_way(4, 12)}, either_way(2, 6) * vision::kRadPerDeg};
  piece.cloth_from_sticker = {{random.between(-20, 20), random.between(-10, 30)},
                              random.between(-3.0, 3.0) * vision::kRadPerDeg};
  constexpr ClothPattern kPatterns[]{ClothPattern::plain, ClothPattern::plain, ClothPattern::stripes,
                                     ClothPattern::plain, ClothPattern::checks};
  piece.cloth.pattern = kPatterns[number % 5];
  piece.cloth.albedo = random.between(0.10, 0.55);
  piece.cloth.second_albedo = random.between(0.05, 0.30);
  piece.cloth.seed = static_cast<std::uint32_t>(random.next());
  piece.ring_albedo = piece.cloth.albedo > 0.3 ? 0.14 : 0.5;
  piece.sticker = static_cast<int>((seed_ * 31 + static_cast<std::uint64_t>(number) * 7 + 12) % 100);
  return piece;
}

// A hand whose middle finger's tip is at `tip`, drawn back towards the operator.
void WorkCycle::add_hand(Scene& scene, cv::Point2d tip, double retreat) const {
  if (retreat >= 1.0) return;
  scene.hand = Hand{};
  scene.hand->board_from_hand = moved({tip + cv::Point2d(28.0, -92.0), 0.3}, kOutOfPictureMm * retreat);
}

void WorkCycle::set_hoop(const Piece& piece, double t, Scene& scene) const {
  scene.ring.state = RingState::assembled;
  scene.ring.rim_height_mm = rim_height_mm_ - cloth_height_mm_;  // no cloth between ring and board
  scene.ring.board_from_hoop = moved(piece.board_from_hoop, kOutOfPictureMm * (1.0 - share(0.0, kHoopIn, t)));
  add_hand(scene, scene.ring.board_from_hoop.origin_mm + cv::Point2d(half_width_mm_ - 4.0, -10.0),
           share(kHoopIn + 0.2, kHoopIn + 0.9, t));
}

void WorkCycle::lay_cloth(const Piece& piece, double t, Scene& scene) const {
  scene.ring.state = RingState::under_cloth;
  piece.lay_cloth(scene, left_to_nudge(t), kOutOfPictureMm * (1.0 - share(kHoopSet, kClothIn - 0.2, t)));
  add_hand(scene, scene.stickers[0].board_from_sticker.origin_mm + cv::Point2d(half_width_mm_ + 22.0, -55.0),
           share(kClothLaid - 0.8, kClothLaid - 0.2, t));
}

void WorkCycle::press(const Piece& piece, double t, Scene& scene) const {
  scene.ring.state = t < kClothLaid + 0.5 ? RingState::under_cloth : RingState::pressed;
  piece.lay_cloth(scene, left_to_nudge(kClothLaid), 0.0);
  add_hand(scene, vision::apply(piece.board_from_hoop, {half_width_mm_ - 6.0, -20.0}),
           std::max(1.0 - share(kClothLaid, kClothLaid + 0.4, t), share(kPressed - 0.6, kPressed, t)));
}

void WorkCycle::lift(const Piece& piece, double t, Scene& scene) const {
  if (t >= kLifted) {
    scene.ring.state = RingState::none;
    return;
  }
  const double away = kOutOfPictureMm * share(kGrasped, kLifted, t);
  scene.ring.state = RingState::pressed;
  scene.ring.board_from_hoop = moved(piece.board_from_hoop, away);
  piece.lay_cloth(scene, left_to_nudge(kClothLaid), away);
  add_hand(scene, scene.ring.board_from_hoop.origin_mm + cv::Point2d(half_width_mm_ - 4.0, 30.0 - half_height_mm_),
           1.0 - share(kHeld, kGrasped, t));
}

CycleMoment WorkCycle::at(double time_s) const {
  CycleMoment moment;
  moment.piece = static_cast<int>(std::max(0.0, time_s) / kPieceEnd);
  const double t = std::max(0.0, time_s) - moment.piece * kPieceEnd;
  const Piece now = piece(moment.piece);
  Scene& scene = moment.scene;
  scene.camera_from_board = camera_from_board_;
  scene.cloth.reset();
  scene.cloth_height_mm = cloth_height_mm_;
  scene.ring.albedo = now.ring_albedo;
  scene.ring.board_from_hoop = now.board_from_hoop;
  scene.ring.rim_height_mm = rim_height_mm_;
  if (t < kHoopSet) {
    moment.phase = CyclePhase::set_hoop;
    set_hoop(now, t, scene);
  } else if (t < kClothLaid) {
    moment.phase = CyclePhase::lay_cloth;
    lay_cloth(now, t, scene);
  } else if (t < kPressed) {
    moment.phase = CyclePhase::press;
    press(now, t, scene);
  } else if (t < kHeld) {
    moment.phase = CyclePhase::hold;
    scene.ring.state = RingState::pressed;
    now.lay_cloth(scene, left_to_nudge(kClothLaid), 0.0);
  } else {
    moment.phase = CyclePhase::lift;
    lift(now, t, scene);
  }
  return moment;
}

}  // namespace app
