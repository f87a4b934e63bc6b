// What the stickers of a group say besides the reading: how far the cloth was stretched, which of them lies off.
#pragma once

#include <optional>
#include <string>

#include "app/settings.h"
#include "app/work/work.h"

namespace app {

// In the language of the screen, whole sentences.
struct StickerWords {
  std::string text;
  bool bad = false;  // to be said plainly: something is to be done, or was not measured
};

// Of the held piece; nothing for a job without two stickers, and before a reading is held.
std::optional<StickerWords> stretch_words(const Work& work, Units units);
// "Sticker 12: 6.2 mm left, 1.0 mm toward the design's top; turned 4.0° clockwise." of each that disagrees; empty while
// none does. Left and right are the design's.
std::string disagreeing_words(const Work& work, Units units);

}  // namespace app
