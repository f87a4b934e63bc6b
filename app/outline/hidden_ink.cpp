#include "app/outline/hidden_ink.h"

#include <algorithm>
#include <cstddef>
#include <vector>

namespace app {
namespace {

constexpr std::uint8_t kSome = 16, kHalf = 128;
constexpr int kStronger = 8;  // a sixteenth becomes a half

bool faint(std::uint8_t value) { return value >= kSome && value < kHalf; }

bool half_inked_around(const InkPicture& ink, int x, int y) {
  for (int row = y - 1; row <= y + 1; ++row)
    for (int column = x - 1; column <= x + 1; ++column)
      if (ink.at(column, row) >= kHalf) return true;
  return false;
}

// The columns of a row where faint ink would be left out.
std::vector<int> hidden_in(const InkPicture& ink, int y) {
  std::vector<int> hidden;
  const std::uint8_t* row = ink.data + static_cast<std::size_t>(y) * ink.stride;
  for (int x = 1; x + 1 < ink.width; ++x)
    if (faint(row[x]) && !half_inked_around(ink, x, y)) hidden.push_back(x);
  return hidden;
}

void strengthen(const InkPicture& ink, int y, const std::vector<int>& columns, std::vector<std::uint8_t>& done) {
  std::uint8_t* row = ink.data + static_cast<std::size_t>(y) * ink.stride;
  for (const int column : columns)
    for (int x = column - 1; x <= column + 1; ++x) {
      const auto at = static_cast<std::size_t>(x);
      if (done[at] != 0) continue;
      done[at] = 1;
      row[x] = static_cast<std::uint8_t>(std::min(255, kStronger * row[x]));
    }
}

}  // namespace

void show_hidden_ink(const InkPicture& ink) {
  // A row is looked at before it or the one above it is made darker.
  std::vector<int> above, here = hidden_in(ink, 1), below;
  std::vector<std::uint8_t> done(static_cast<std::size_t>(ink.width));
  for (int y = 1; y + 1 < ink.height; ++y) {
    below = y + 2 < ink.height ? hidden_in(ink, y + 1) : std::vector<int>();
    std::fill(done.begin(), done.end(), std::uint8_t{0});
    for (const auto* columns : {&above, &here, &below}) strengthen(ink, y, *columns, done);
    above.swap(here);
    here.swap(below);
  }
}

}  // namespace app
