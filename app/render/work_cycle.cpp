#include "app/render/work_cycle.h"

#include <algorithm>
#include <cmath>

#include "app/render/printed.h"
#include "app/render/random.h"
#include "app/render/textures.h"

namespace app {
namespace {

// Ends of the phases, seconds from a piece's beginning.
constexpr double kHoopIn = 1.0, kHoopSet = 3.0;
constexpr double kClothIn = 4.2, kClothLaid = 10.5;
constexpr double kRingPressed = kClothLaid + 0.5, kPressed = 12.0, kHeld = 16.5;
constexpr double kGrasped = 17.0, kLifted = 18.2, kPieceEnd = 19.0;
constexpr int kNudges = 4;
constexpr double kShifts = 7.0, kShifted = 7.6, kSlips = 14.2, kSlipped = 14.5;
constexpr double kCardLaid = 4.5, kCardTaken = 10.0;
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
  // The hoop's place that the cloth is brought onto: north away from the operator.
  vision::Pose2 board_from_hoop, hoop_from_sticker, first_misplacement, cloth_from_sticker;
  double ring_albedo = 0.0;
  Cloth cloth;
  int sticker = 0;
  const std::vector<StickerPlace>* on_design = nullptr;
  cv::Matx22d pressed_from_flat = cv::Matx22d::eye();
  Mishap mishap = Mishap::none;
  const PieceScript* script = nullptr;

  vision::Pose2 ring_at(double t) const;
  vision::Pose2 design_at(double t, double towards_operator_mm) const;
  void lay_cloth(Scene& scene, double t, double towards_operator_mm) const;
  void lay_towel(Scene& scene, double t) const;
};

// Where the ring lies, t seconds after the piece's beginning.
vision::Pose2 WorkCycle::Piece::ring_at(double t) const {
  vision::Pose2 ring = board_from_hoop;
  if (mishap == Mishap::hoop_reversed) ring.angle_rad = vision::wrapped_rad(ring.angle_rad + vision::kPi);
  if (mishap != Mishap::ring_shifts) return ring;
  const double by = share(kShifts, kShifted, t);
  return {ring.origin_mm + by * cv::Point2d(2.6, -1.5), ring.angle_rad + by * 0.8 * vision::kRadPerDeg};
}

vision::Pose2 WorkCycle::Piece::design_at(double t, double towards_operator_mm) const {
  const double left = left_to_nudge(t);
  vision::Pose2 misplaced = first_misplacement;
  misplaced.origin_mm *= left, misplaced.angle_rad *= left;
  vision::Pose2 board_from_sticker = vision::compose(board_from_hoop, vision::compose(misplaced, hoop_from_sticker));
  if (mishap == Mishap::cloth_slips) board_from_sticker.origin_mm += share(kSlips, kSlipped, t) * cv::Point2d(1.2, 0.9);
  return moved(board_from_sticker, towards_operator_mm);
}

void WorkCycle::Piece::lay_cloth(Scene& scene, double t, double towards_operator_mm) const {
  const vision::Pose2 board_from_sticker = design_at(t, towards_operator_mm);
  for (StickerPlace placed : *on_design) {
    cv::Point2d& at = placed.board_from_sticker.origin_mm;
    if (t >= kRingPressed) at = pressed_from_flat * at;
    placed.board_from_sticker = vision::compose(board_from_sticker, placed.board_from_sticker);
    scene.stickers.push_back(placed);
  }
  const bool bare = script != nullptr && script->on_design.empty();
  if (on_design->empty() && !bare) scene.stickers.push_back({sticker, board_from_sticker, 0.0, {}});
  if (mishap == Mishap::second_sticker)
    scene.stickers.push_back({(sticker + 41) % 100, vision::compose(board_from_sticker, {{4.0, -52.0}, 0.3}), 0.0, {}});
  scene.cloth = cloth;
  scene.cloth->board_from_cloth = vision::compose(board_from_sticker, vision::inverse(cloth_from_sticker));
}

// Once the ring is pressed: brought from the operator's side, and moved a little until the fold lies where it will.
void WorkCycle::Piece::lay_towel(Scene& scene, double t) const {
  if (script == nullptr || !script->hoop_from_fold || t < kPressed) return;
  const double brought = share(kPressed, kPressed + 1.0, t), left = 1.0 - share(kPressed + 1.4, kPressed + 2.2, t);
  const double away = kOutOfPictureMm * (1.0 - brought + share(kGrasped, kLifted, t));
  Cloth towel;
  towel.albedo = 0.18;
  towel.loops = 0.08;
  towel.hem = false;
  towel.seed = cloth.seed + 1;
  towel.size_mm = {330.0, 240.0};
  const double half = drawn_size_mm(towel).height / 2.0;
  const vision::Pose2 misplaced{{2.0 * left, -9.0 * left}, 2.5 * left * vision::kRadPerDeg};
  const vision::Pose2 fold = vision::compose(vision::compose(ring_at(t), *script->hoop_from_fold), misplaced);
  towel.board_from_cloth = vision::compose(moved(fold, away), {{0.0, -half}, 0.0});
  ClothLine edge;
  edge.kind = ClothLine::Kind::fold;
  edge.cloth_from_line = {{0.0, half}, 0.0};
  edge.length_mm = 330.0;
  edge.width_mm = 1.5;
  edge.strength = 0.25;
  towel.lines.push_back(edge);
  scene.laid = towel;
  scene.laid_height_mm = scene.cloth_height_mm;
}

struct WorkCycle::Card {
  ScenePage page;
};

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

void WorkCycle::let_happen(int piece, Mishap mishap) { mishaps_[piece] = mishap; }

void WorkCycle::set_other_hoop(vision::Hoop hoop) {
  other_hoop_ = std::make_shared<const vision::Hoop>(std::move(hoop));
}

void WorkCycle::place_stickers(std::vector<StickerPlace> on_design, cv::Matx22d pressed_from_flat) {
  on_design_ = std::move(on_design);
  pressed_from_flat_ = pressed_from_flat;
}

// On the board's free rim, between two of the demo station's marks.
vision::Pose2 WorkCycle::card_place() { return {{-196.0, 70.0}, 0.0}; }

std::shared_ptr<const WorkCycle::Card> WorkCycle::printed_card(int card, double angle_deg) {
  constexpr float kTagMm = 30.0F, kPaperMm = 42.0F, kPxPerMm = 8.0F;
  auto printed = std::make_shared<PrintedPage>();
  printed->px_per_mm = kPxPerMm;
  printed->picture.create(cvRound(kPaperMm * kPxPerMm), cvRound(kPaperMm * kPxPerMm));
  const float middle = 0.5F * kPaperMm * kPxPerMm;
  for (int y = 0; y < printed->picture.rows; ++y)
    for (int x = 0; x < printed->picture.cols; ++x) {
      const cv::Point2f p((static_cast<float>(x) + 0.5F - middle) / kPxPerMm,
                          (middle - static_cast<float>(y) - 0.5F) / kPxPerMm);
      printed->picture(y, x) = tag_has_ink(card, kTagMm, p) ? 0 : 255;
    }
  auto laid = std::make_shared<Card>();
  laid->page.page = std::move(printed);
  const double c = std::cos(angle_deg * vision::kRadPerDeg), s = std::sin(angle_deg * vision::kRadPerDeg);
  laid->page.place.rotation = cv::Matx33d(c, -s, 0, s, c, 0, 0, 0, 1);
  return laid;
}

void WorkCycle::lay_card(int piece, int card, double angle_deg) { cards_[piece] = printed_card(card, angle_deg); }

void WorkCycle::follow(std::vector<PieceScript> scripts) {
  scripts_ = std::move(scripts);
  script_cards_.clear();
  for (const PieceScript& script : scripts_)
    script_cards_.push_back(script.card ? printed_card(*script.card, 25.0) : nullptr);
}

const PieceScript* WorkCycle::script(int piece) const {
  return scripts_.empty() ? nullptr : &scripts_[static_cast<std::size_t>(piece) % scripts_.size()];
}

// It is brought from the board's left edge, and carried off to it again.
void WorkCycle::add_card(int piece, double t, Scene& scene) const {
  const auto own = cards_.find(piece);
  std::shared_ptr<const Card> card = own != cards_.end() ? own->second : nullptr;
  if (!card && !scripts_.empty()) card = script_cards_[static_cast<std::size_t>(piece) % scripts_.size()];
  if (!card) return;
  const double away = std::max(1.0 - share(kCardLaid - 0.8, kCardLaid, t), share(kCardTaken, kCardTaken + 0.8, t));
  if (away >= 1.0) return;
  const cv::Point2d place = card_place().origin_mm;
  scene.pages.push_back(card->page);
  scene.pages.back().place.origin_mm = {place.x - 160.0 * away, place.y, 0.1};
}

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
  piece.on_design = &on_design_;
  piece.pressed_from_flat = pressed_from_flat_;
  piece.sticker = static_cast<int>((seed_ * 31 + static_cast<std::uint64_t>(number) * 7 + 12) % 100);
  if (const PieceScript* script = this->script(number)) {
    piece.script = script;
    // What is left of the misplacement is part of where it comes to lie.
    const double left = left_to_nudge(kClothLaid);
    const vision::Pose2 rest{left * piece.first_misplacement.origin_mm, left * piece.first_misplacement.angle_rad};
    piece.hoop_from_sticker = vision::compose(vision::inverse(rest), script->hoop_from_design);
    piece.on_design = &script->on_design;
    piece.pressed_from_flat = script->pressed_from_flat;
    piece.cloth = script->cloth;
    piece.ring_albedo = script->cloth.albedo > 0.3 ? 0.14 : 0.5;
  }
  if (const auto mishap = mishaps_.find(number); mishap != mishaps_.end()) piece.mishap = mishap->second;
  // The paper's edge, 22 mm from the cross, comes to lie under the rim.
  if (piece.mishap == Mishap::ring_over_sticker) piece.hoop_from_sticker.origin_mm.x = half_width_mm_ - 22.0;
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
  scene.ring.board_from_hoop = moved(piece.ring_at(t), kOutOfPictureMm * (1.0 - share(0.0, kHoopIn, t)));
  add_hand(scene, scene.ring.board_from_hoop.origin_mm + cv::Point2d(half_width_mm_ - 4.0, -10.0),
           share(kHoopIn + 0.2, kHoopIn + 0.9, t));
}

void WorkCycle::lay_cloth(const Piece& piece, double t, Scene& scene) const {
  scene.ring.state = RingState::under_cloth;
  const double away = kOutOfPictureMm * (1.0 - share(kHoopSet, kClothIn - 0.2, t));
  piece.lay_cloth(scene, t, away);
  add_hand(scene, piece.design_at(t, away).origin_mm + cv::Point2d(half_width_mm_ + 22.0, -55.0),
           share(kClothLaid - 0.8, kClothLaid - 0.2, t));
}

void WorkCycle::press(const Piece& piece, double t, Scene& scene) const {
  scene.ring.state = t < kRingPressed ? RingState::under_cloth : RingState::pressed;
  piece.lay_cloth(scene, t, 0.0);
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
  scene.ring.board_from_hoop = moved(piece.ring_at(t), away);
  piece.lay_cloth(scene, t, away);
  add_hand(scene, scene.ring.board_from_hoop.origin_mm + cv::Point2d(half_width_mm_ - 4.0, 30.0 - half_height_mm_),
           1.0 - share(kHeld, kGrasped, t));
}

CycleMoment WorkCycle::at(double time_s) const {
  CycleMoment moment;
  moment.piece = static_cast<int>(std::max(0.0, time_s) / kPieceEnd);
  const double t = std::max(0.0, time_s) - moment.piece * kPieceEnd;
  const Piece now = piece(moment.piece);
  moment.mishap = now.mishap;
  if (now.mishap == Mishap::wrong_hoop) moment.other_hoop = other_hoop_.get();
  Scene& scene = moment.scene;
  scene.camera_from_board = camera_from_board_;
  scene.cloth.reset();
  scene.cloth_height_mm = cloth_height_mm_;
  scene.ring.albedo = now.ring_albedo;
  scene.ring.board_from_hoop = now.ring_at(t);
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
    now.lay_cloth(scene, t, 0.0);
  } else {
    moment.phase = CyclePhase::lift;
    lift(now, t, scene);
  }
  now.lay_towel(scene, t);
  if (scene.cloth) {
    const double away = t < kClothLaid ? 1.0 - share(kHoopSet, kClothIn - 0.2, t) : share(kGrasped, kLifted, t);
    moment.board_from_design = now.design_at(t, kOutOfPictureMm * away);
  }
  add_card(moment.piece, t, scene);
  return moment;
}

}  // namespace app
