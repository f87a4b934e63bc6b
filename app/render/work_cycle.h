// The work at the station as a script, for the demo: hoop set, cloth laid and nudged towards the aim, ring pressed,
// held still, lifted, and then the next piece with another cloth and another sticker.
#pragma once

#include <cstdint>
#include <map>
#include <memory>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/render/scene.h"
#include "vision/station.h"

namespace app {

enum class CyclePhase { set_hoop, lay_cloth, press, hold, lift };

// What goes wrong with a piece, made on purpose: for tests, and to show what the station says.
enum class Mishap {
  none,
  cloth_slips,        // by 1.5 mm, while the reading is held
  ring_shifts,        // by 3 mm under the cloth, while that is laid
  ring_over_sticker,  // pressed askew, its rim over the sticker's paper
  second_sticker,     // lies on the cloth as well
  hoop_reversed,      // set with its north toward the operator
  wrong_hoop,         // another hoop is set (see WorkCycle::set_other_hoop)
};

struct CycleMoment {
  CyclePhase phase = CyclePhase::set_hoop;
  int piece = 0;  // counts from 0
  Mishap mishap = Mishap::none;
  const vision::Hoop* other_hoop = nullptr;        // lies there instead of the work's own; lives as long as the work
  std::optional<vision::Pose2> board_from_design;  // where the cloth lies: the sticker's pose, or its group's design
  Scene scene;
};

// A piece of which nothing that matters is left to chance.
struct PieceScript {
  vision::Pose2 hoop_from_design;                      // as it comes to lie, once the ring is pressed
  std::vector<StickerPlace> on_design;                 // the `board_from_sticker` of each is its place in the design
  cv::Matx22d pressed_from_flat = cv::Matx22d::eye();  // as for WorkCycle::place_stickers
  Cloth cloth;
  std::optional<int> card;  // badge or ticket, laid as by WorkCycle::lay_card
  // A folded towel is laid over the hooped cloth, which then has no sticker; where its fold comes to lie, the towel on
  // the operator's side of it.
  std::optional<vision::Pose2> hoop_from_fold;
};

// The same hoop, camera and seed give the same work.
class WorkCycle {
 public:
  WorkCycle(const vision::Hoop& hoop, const CameraPlace& camera, std::uint64_t seed);

  // Any time from 0 on, in any order.
  CycleMoment at(double time_s) const;
  static double seconds_per_piece();

  // Before frames are asked for. Pieces count from 0.
  void let_happen(int piece, Mishap mishap);
  // The hoop of Mishap::wrong_hoop.
  void set_other_hoop(vision::Hoop hoop);
  // Several stickers on every piece, `board_from_sticker` of each being its place in the design (design frame), in
  // place of the one on its centre. From when the ring is pressed the cloth is stretched about the design's centre:
  // their places move, their paper stays as it is. (The cloth's pattern is not stretched.)
  void place_stickers(std::vector<StickerPlace> on_design, cv::Matx22d pressed_from_flat = cv::Matx22d::eye());
  // These pieces instead of random ones, one after the other and over again.
  void follow(std::vector<PieceScript> scripts);
  // A badge or ticket, laid on the board's left side as the cloth comes and taken away before the ring is pressed.
  void lay_card(int piece, int card, double angle_deg = 25.0);
  static vision::Pose2 card_place();  // board frame, of its middle, without its angle

 private:
  struct Piece;
  struct Card;
  Piece piece(int number) const;
  const PieceScript* script(int piece) const;
  static std::shared_ptr<const Card> printed_card(int card, double angle_deg);
  void set_hoop(const Piece& piece, double t, Scene& scene) const;
  void lay_cloth(const Piece& piece, double t, Scene& scene) const;
  void press(const Piece& piece, double t, Scene& scene) const;
  void lift(const Piece& piece, double t, Scene& scene) const;
  void add_hand(Scene& scene, cv::Point2d tip, double retreat) const;
  void add_card(int piece, double t, Scene& scene) const;

  vision::CameraPose camera_from_board_;
  double rim_height_mm_, cloth_height_mm_;
  double half_width_mm_, half_height_mm_;  // of the ring
  std::uint64_t seed_;
  std::map<int, Mishap> mishaps_;
  std::map<int, std::shared_ptr<const Card>> cards_;
  std::shared_ptr<const vision::Hoop> other_hoop_;
  std::vector<PieceScript> scripts_;
  std::vector<std::shared_ptr<const Card>> script_cards_;  // of each script; null: none
  std::vector<StickerPlace> on_design_;
  cv::Matx22d pressed_from_flat_ = cv::Matx22d::eye();
};

}  // namespace app
