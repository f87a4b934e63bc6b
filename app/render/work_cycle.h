// The work at the station as a script, for the demo: hoop set, cloth laid and nudged towards the aim, ring pressed,
// held still, lifted, and then the next piece with another cloth and another sticker.
#pragma once

#include <cstdint>

#include "app/render/scene.h"
#include "vision/station.h"

namespace app {

enum class CyclePhase { set_hoop, lay_cloth, press, hold, lift };

struct CycleMoment {
  CyclePhase phase = CyclePhase::set_hoop;
  int piece = 0;  // counts from 0
  Scene scene;
};

// The same hoop, camera and seed give the same work.
class WorkCycle {
 public:
  WorkCycle(const vision::Hoop& hoop, const CameraPlace& camera, std::uint64_t seed);

  // Any time from 0 on, in any order.
  CycleMoment at(double time_s) const;
  static double seconds_per_piece();

 private:
  struct Piece;
  Piece piece(int number) const;
  void set_hoop(const Piece& piece, double t, Scene& scene) const;
  void lay_cloth(const Piece& piece, double t, Scene& scene) const;
  void press(const Piece& piece, double t, Scene& scene) const;
  void lift(const Piece& piece, double t, Scene& scene) const;
  void add_hand(Scene& scene, cv::Point2d tip, double retreat) const;

  vision::CameraPose camera_from_board_;
  double rim_height_mm_, cloth_height_mm_;
  double half_width_mm_, half_height_mm_;  // of the ring
  std::uint64_t seed_;
};

}  // namespace app
