#include <algorithm>
#include <set>

#include "tests/catch.h"
#include "vision/tag_family.h"

using namespace vision;

namespace {

// Row-major code words of the official pictures, ids 0..29: github.com/AprilRobotics/apriltag, tag36h11.c, laid out by
// its bit tables, the same bit for bit as github.com/AprilRobotics/apriltag-imgs (BSD-2-Clause).
constexpr std::array<TagWord, 30> kOfficial{
    0xd5d628584, 0xd97f18b49, 0xdd280910e, 0xe479e9c98, 0xebcbca822, 0xf31dab3ac, 0x056a5d085, 0x10652e1d4,
    0x22b1dfead, 0x265ad0472, 0x34fe91b86, 0x3ff962cd5, 0x43a25329a, 0x474b4385f, 0x4e9d243e9, 0x5246149ae,
    0x5997f5538, 0x683bb6c4c, 0x6be4a7211, 0x7e3158eea, 0x81da494af, 0x858339a74, 0x8cd51a5fe, 0x9f21cc2d7,
    0xa2cabc89c, 0xadc58d9eb, 0xb16e7dfb0, 0xb8c05eb3a, 0xd25ef139d, 0xd607e1962};

TagWord half_turn(TagWord word) { return quarter_turn(quarter_turn(word)); }

}  // namespace

// Guarantees: upright is the official picture turned by 180 degrees, whatever OpenCV is installed. Example failure: a
// later OpenCV stores the dictionary the other way up and every sticker reads 180 degrees off.
TEST_CASE("code words are the official ones turned by half a turn", "[tag][family]") {
  for (std::size_t id = 0; id < kOfficial.size(); ++id) CHECK(tag_words()[id] == half_turn(kOfficial[id]));
}

// Guarantees: the sense of a quarter turn. Example failure: rows and columns swapped.
TEST_CASE("a quarter turn makes the right column the top row", "[tag][family]") {
  const TagWord right_column = 0b000001'000001'000001'000001'000001'000001;
  const TagWord top_row = TagWord{0b111111} << 30;
  CHECK(quarter_turn(right_column) == top_row);
  CHECK(quarter_turn(TagWord{1} << 30) == TagWord{1} << 35);  // the top right bit goes to the top left
  for (const TagWord word : tag_words()) CHECK(half_turn(half_turn(word)) == word);
}

// Guarantees: the published least distance of the family over all turns (its name: 36 bits, Hamming 11).
TEST_CASE("any two tags differ in at least 11 bits however they are turned", "[tag][family]") {
  int least = 36;
  const auto& words = tag_words();
  for (std::size_t a = 0; a < words.size(); ++a) {
    TagWord turned = words[a];
    for (int turns = 0; turns < 4; ++turns, turned = quarter_turn(turned))
      for (std::size_t b = 0; b < words.size(); ++b)
        if (a != b || turns != 0) least = std::min(least, tag_wrong_bits(turned, static_cast<int>(b)));
  }
  CHECK(least == 11);
}

// Guarantees: a tag with up to two spoilt bits, however turned, keeps its id; one with three has none.
TEST_CASE("two wrong bits are mended and three are not", "[tag][family]") {
  for (int id = 0; id < kTagCount; id += 13) {
    TagWord seen = tag_words()[static_cast<std::size_t>(id)];
    for (int turns = 0; turns < 4; ++turns, seen = quarter_turn(seen)) {
      const auto whole = match_tag(seen, 2);
      REQUIRE(whole);
      CHECK(whole->id == id);
      CHECK(whole->quarter_turns == (4 - turns) % 4);
      CHECK(whole->wrong_bits == 0);
      const auto spoilt = match_tag(seen ^ (TagWord{1} << (id % 36)) ^ (TagWord{1} << ((id + 7) % 36)), 2);
      REQUIRE(spoilt);
      CHECK(spoilt->id == id);
      CHECK(spoilt->wrong_bits == 2);
      CHECK_FALSE(match_tag(seen ^ (TagWord{7} << (id % 30)), 2));
    }
  }
}

// Guarantees: modules outside the bits are black, and no such tag is all black.
TEST_CASE("the ring is black and unknown ids are refused", "[tag][family]") {
  for (int i = 0; i < kTagModulesAcross; ++i) {
    CHECK_FALSE(tag_module_is_white(0, 0, i));
    CHECK_FALSE(tag_module_is_white(0, 7, i));
    CHECK_FALSE(tag_module_is_white(0, i, 0));
    CHECK_FALSE(tag_module_is_white(0, i, 7));
  }
  // 0x21a146bab, the upright tag 0, begins with the row 001000.
  CHECK(tag_module_is_white(0, 1, 3));
  CHECK_FALSE(tag_module_is_white(0, 1, 2));
  CHECK_FALSE(tag_module_is_white(-1, 1, 3));
  CHECK_FALSE(tag_module_is_white(kTagCount, 1, 3));
}
