// The tag family 36h11: 587 code words of 6 x 6 bits, any two at least 11 bits apart however they are turned.
// A tag is 8 x 8 modules: a black ring one module wide around the bits, and a white border outside it.
// Upright is as OpenCV's predefined dictionary draws the tag: the family's official picture turned by 180 degrees.
#pragma once

#include <array>
#include <cstdint>
#include <optional>

namespace vision {

inline constexpr int kTagCount = 587;
inline constexpr int kTagBitsAcross = 6;
inline constexpr int kTagModulesAcross = 8;  // of the black square

// The 36 bits row by row, the top-left one highest; 1 is white.
using TagWord = std::uint64_t;

// The code words of ids 0..586, upright.
const std::array<TagWord, kTagCount>& tag_words();

// Whether the module (row, column) of the black square, 0..7 from the top left of the upright tag, is white.
// False for a module or an id that does not exist.
bool tag_module_is_white(int id, int row, int column);

// The word as it reads when the picture is turned by a quarter counter-clockwise as the viewer sees it: its
// right column becomes its top row.
TagWord quarter_turn(TagWord word);

struct TagMatch {
  int id = -1;
  int quarter_turns = 0;  // how often quarter_turn had to be applied to the word seen to make the tag upright
  int wrong_bits = 0;
};

// The one tag within `max_wrong_bits` of `word` in any of the four turns. Precondition: 0 <= max_wrong_bits <= 5,
// so that there is no second one.
std::optional<TagMatch> match_tag(TagWord word, int max_wrong_bits);

// How many of the 36 bits differ between `word` and the upright tag `id` (0..586).
int tag_wrong_bits(TagWord word, int id);

}  // namespace vision
