// A job's stickers, as the camera's part of the program wants them.
#pragma once

#include <optional>

#include "app/jobs/job.h"
#include "vision/sticker_group.h"

namespace app {

// The stickers that are placed on the design; empty for a job whose stickers lie on its centre.
vision::StickerGroup sticker_group(const Job& job);
// The one that counts when several are seen; nothing where any may, and where they are placed.
std::optional<int> one_sticker(const Job& job);

}  // namespace app
