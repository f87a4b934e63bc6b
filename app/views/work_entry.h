// What is to be entered at the machine, in place of the held reading: the rotation and its keys, the jog and its
// presses, what is left over, and what to look after before it is stitched.
#pragma once

#include <array>

#include "app/desk/desk.h"
#include "app/screen/canvas.h"
#include "app/screen/text.h"
#include "app/views/work_layout.h"

namespace app {

// px of the output: of the readout's panel. The parts do not overlap and lie inside it.
struct EntryLayout {
  SDL_FRect rotation{};            // its number, and its keys below
  std::array<SDL_FRect, 2> jog{};  // sideways, up or down
  SDL_FRect rest{};                // left over, troubles, checklist
  float digits_px = 0.0F;          // height of the large digits
};

// `jog_first`: the jog stands above the rotation, as it is entered.
EntryLayout entry_layout(const WorkLayout& work, bool jog_first);

// Only with a machine and an entry for it (desk.machine(), desk.entry()).
void draw_entry(Canvas& canvas, Text& text, const WorkLayout& layout, const Desk& desk);

}  // namespace app
