// What the guided capture of a lens says.
#pragma once

#include <string>
#include <vector>

#include "app/words/words.h"
#include "calib/lens_fit.h"
#include "calib/lens_guide.h"

namespace app {

inline constexpr const char* kLockFocus =
    noop("Lock the camera's focus now, sharp at the board, and leave it so: a lens that refocuses is another lens.");

// "top left", "far right", "middle"
std::string part_name(const calib::LensGuide& guide, int part);

// What the person does next: "Bring the sheet to the top left, its right edge further away."
std::string next_wish(const calib::LensGuide& guide);

// A few words and a sentence for what came of a frame.
struct LensWords {
  std::string headline, sentence;
};
LensWords words_for(calib::LensSight sight, const calib::LensGuide& guide);

// "12 of 15 pictures", "missing: ..."
std::vector<std::string> details_of(const calib::LensGuide& guide);

// The result's figures, in plain words.
std::vector<std::string> result_lines(const calib::LensFit& fit);

}  // namespace app
