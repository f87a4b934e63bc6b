// How far a stitched design came from where it was meant to be, and in what words.
#pragma once

#include <optional>
#include <string>

#include "app/records/inspection.h"
#include "app/settings.h"
#include "vision/reading.h"
#include "vision/stitched_rectangle.h"

namespace app {

// `stitched`: the sticker on the stitched centre, its arrow to the design's top, in the same hoop that the piece has
// not left. Found by the sticker; piece, offset, rotation and uncertainties are filled in. The uncertainties of both
// readings count, as independent ones.
Inspection final_error(const PieceRecord& piece, const vision::Reading& stitched);

// The same by the stitched basting rectangle, whose middle is the design's centre. It looks the same turned by half a
// turn (a square by a quarter): the one nearest to the wanted rotation is meant. Nothing where none was found.
std::optional<Inspection> final_error(const PieceRecord& piece, const vision::StitchedRectangle& basting);

// "1.2 mm right, 0.4 mm up, 0.3° clockwise"; without the turn where that was not measured; empty where nothing was.
std::string final_words(const Inspection& inspection, Units units);

// Within the piece's tolerance. What was not measured is not outside.
bool is_within(const Inspection& inspection, const PieceRecord& piece);

}  // namespace app
