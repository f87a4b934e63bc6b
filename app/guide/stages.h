// The way from the box to the proof: what to do, stage by stage.
#pragma once

#include <array>
#include <string>
#include <vector>

namespace app {

enum class StageId { mount, light, focus, print, stick, lens, board, hoop, proof };
inline constexpr int kStageCount = 9;

struct Stage {
  StageId id = StageId::mount;
  std::string name;                // a word or two: "Lens"
  std::string headline;            // what is done here: "Measure the lens"
  std::string why;                 // one sentence
  std::vector<std::string> steps;  // two to five plain sentences
  // What is run, without the program's name and without options, such as {"lens"}; empty where all is done by hand.
  std::vector<std::string> command;
};

// Done by hand, and its command only shows the live picture meanwhile.
inline bool only_looks(const Stage& stage) { return stage.id <= StageId::focus; }

// In their order. English; the screen shows tr() of it.
const std::vector<Stage>& stages();

}  // namespace app
