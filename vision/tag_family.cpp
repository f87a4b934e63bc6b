#include "vision/tag_family.h"

#include <opencv2/core/version.hpp>
// The dictionaries moved from the contrib module aruco to objdetect in OpenCV 4.7.
#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
#include <opencv2/aruco/dictionary.hpp>
#else
#include <opencv2/objdetect/aruco_dictionary.hpp>
#endif

namespace vision {
namespace {

constexpr int kBits = kTagBitsAcross * kTagBitsAcross;

cv::Mat dictionary_bytes() {
#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
  return cv::aruco::getPredefinedDictionary(cv::aruco::DICT_APRILTAG_36h11)->bytesList;
#else
  return cv::aruco::getPredefinedDictionary(cv::aruco::DICT_APRILTAG_36h11).bytesList;
#endif
}

TagWord word_from_bits(const cv::Mat& bits) {
  TagWord word = 0;
  for (int row = 0; row < kTagBitsAcross; ++row)
    for (int column = 0; column < kTagBitsAcross; ++column)
      word = (word << 1) | (bits.at<std::uint8_t>(row, column) != 0 ? 1U : 0U);
  return word;
}

std::array<TagWord, kTagCount> read_dictionary() {
  const cv::Mat bytes = dictionary_bytes();
  CV_Assert(bytes.rows == kTagCount);
  std::array<TagWord, kTagCount> words{};
  for (int id = 0; id < kTagCount; ++id)
    words[static_cast<std::size_t>(id)] =
        word_from_bits(cv::aruco::Dictionary::getBitsFromByteList(bytes.rowRange(id, id + 1), kTagBitsAcross));
  return words;
}

int bit_count(TagWord word) {
  int count = 0;
  for (; word != 0; word &= word - 1) ++count;
  return count;
}

// Whether at most `limit` bits are set; cheaper than counting them all.
bool at_most(TagWord word, int limit) {
  for (int i = 0; i < limit; ++i) word &= word - 1;  // 0 stays 0: 0 & ~0
  return word == 0;
}

}  // namespace

const std::array<TagWord, kTagCount>& tag_words() {
  static const std::array<TagWord, kTagCount> words = read_dictionary();
  return words;
}

bool tag_module_is_white(int id, int row, int column) {
  if (id < 0 || id >= kTagCount) return false;
  if (row < 1 || row > kTagBitsAcross || column < 1 || column > kTagBitsAcross) return false;
  const int bit = (row - 1) * kTagBitsAcross + (column - 1);
  return ((tag_words()[static_cast<std::size_t>(id)] >> (kBits - 1 - bit)) & 1U) != 0;
}

TagWord quarter_turn(TagWord word) {
  TagWord turned = 0;
  for (int row = 0; row < kTagBitsAcross; ++row) {
    for (int column = 0; column < kTagBitsAcross; ++column) {
      const int from = column * kTagBitsAcross + (kTagBitsAcross - 1 - row);
      turned = (turned << 1) | ((word >> (kBits - 1 - from)) & 1U);
    }
  }
  return turned;
}

std::optional<TagMatch> match_tag(TagWord word, int max_wrong_bits) {
  const auto& words = tag_words();
  for (int turns = 0; turns < 4; ++turns, word = quarter_turn(word)) {
    for (int id = 0; id < kTagCount; ++id) {
      const TagWord difference = words[static_cast<std::size_t>(id)] ^ word;
      if (at_most(difference, max_wrong_bits)) return TagMatch{id, turns, bit_count(difference)};
    }
  }
  return std::nullopt;
}

int tag_wrong_bits(TagWord word, int id) { return bit_count(word ^ tag_words()[static_cast<std::size_t>(id)]); }

}  // namespace vision
