// The set-up of the station as a script of stops: at each one sheet or ring is still for a while, and between them
// somebody moves it.
#pragma once

#include <cstdint>
#include <vector>

#include "app/render/scene.h"
#include "app/render/setup_scene.h"
#include "vision/station.h"

namespace app {

// One place of the sheet or of the ring.
struct SetupStop {
  PagePlace page;                 // SetupScript::lens, board, proof
  vision::Pose2 board_from_hoop;  // SetupScript::teach
};

struct SetupMoment {
  int stop = 0;        // counts from 0
  bool still = false;  // nothing moves, no hand is there
  Scene scene;
};

class SetupPlay {
 public:
  // `sheet`: the page of the script, its place aside; not used to teach a hoop. The same arguments and seed give the
  // same play. Throws std::invalid_argument where the board marks leave no room for the sheet.
  SetupPlay(SetupScript script, const vision::Station& station, const vision::Hoop& hoop, ScenePage sheet,
            std::uint64_t seed);

  int stops() const { return static_cast<int>(stops_.size()); }
  const SetupStop& stop(int number) const { return stops_[static_cast<std::size_t>(number)]; }
  // What the camera sees while all is still.
  Scene still(int number) const;
  // Any time from 0 on, in any order; the play goes round.
  SetupMoment at(double time_s) const;
  double seconds_per_stop() const;

 private:
  Scene scene_of(const SetupStop& stop) const;
  SetupStop between(const SetupStop& from, const SetupStop& to, double share) const;
  void add_hand(Scene& scene, double retreat) const;

  SetupScript script_;
  ScenePage sheet_;
  Scene empty_;  // board, camera and light
  double rim_height_mm_, half_width_mm_;
  std::vector<SetupStop> stops_;
};

}  // namespace app
