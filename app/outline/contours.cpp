#include "app/outline/contours.h"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <utility>

#include "app/outline/outline_error.h"

namespace app {
namespace {

constexpr std::uint8_t kHalf = 128;
constexpr float kLevel = 127.5F;
constexpr std::size_t kPiece = 512;  // points that are simplified at once

// The sides of the square between four pixel centres.
enum Side { kTop, kRight, kBottom, kLeft };

class Tracer {
 public:
  explicit Tracer(const InkPicture& ink)
      : ink_(ink), seen_(static_cast<std::size_t>(ink.width) * static_cast<std::size_t>(ink.height)) {}

  // Whether an outline that was not followed yet runs down between this pixel and its right neighbour.
  bool begins(int x, int y) const { return !in(x, y) && in(x + 1, y) && !seen_[index(x, y)]; }

  // Every outline runs down somewhere between a pixel without ink and one with ink on its right.
  Contour follow(int x, int y) {
    Contour points;
    const int first_x = x, first_y = y;
    Side from = kTop;
    do {
      points.push_back(crossing(x, y, from));
      if (from == kTop) seen_[index(x, y)] = true;
      const Side to = way_out(x, y, from);
      y += to == kBottom ? 1 : to == kTop ? -1 : 0;
      x += to == kRight ? 1 : to == kLeft ? -1 : 0;
      from = static_cast<Side>((to + 2) % 4);
    } while (!(x == first_x && y == first_y && from == kTop));
    return points;
  }

 private:
  std::size_t index(int x, int y) const {
    return static_cast<std::size_t>(y) * static_cast<std::size_t>(ink_.width) + static_cast<std::size_t>(x);
  }
  bool in(int x, int y) const { return ink_.at(x, y) >= kHalf; }

  PointPx between(int xa, int ya, int xb, int yb) const {
    const float a = ink_.at(xa, ya), b = ink_.at(xb, yb), t = (kLevel - a) / (b - a);
    return {static_cast<float>(xa) + 0.5F + t * static_cast<float>(xb - xa),
            static_cast<float>(ya) + 0.5F + t * static_cast<float>(yb - ya)};
  }
  PointPx crossing(int x, int y, Side side) const {
    switch (side) {
      case kTop:
        return between(x, y, x + 1, y);
      case kRight:
        return between(x + 1, y, x + 1, y + 1);
      case kBottom:
        return between(x, y + 1, x + 1, y + 1);
      case kLeft:
        break;
    }
    return between(x, y, x, y + 1);
  }

  Side way_out(int x, int y, Side from) const {
    const bool nw = in(x, y), ne = in(x + 1, y), se = in(x + 1, y + 1), sw = in(x, y + 1);
    const bool cut[4] = {nw != ne, ne != se, se != sw, sw != nw};
    if (cut[kTop] && cut[kRight] && cut[kBottom] && cut[kLeft]) {
      // Two ways through: the middle tells which two corners hang together.
      const int sum = ink_.at(x, y) + ink_.at(x + 1, y) + ink_.at(x + 1, y + 1) + ink_.at(x, y + 1);
      const bool middle = sum >= 4 * kHalf;
      if (middle != nw) return static_cast<Side>(3 - from);  // round the north-west and the south-east corner
      return static_cast<Side>(from ^ 1);                    // round the others
    }
    for (const Side side : {kTop, kRight, kBottom, kLeft})
      if (side != from && cut[side]) return side;
    return from;
  }

  const InkPicture& ink_;
  std::vector<bool> seen_;
};

float distance_from(PointPx p, PointPx a, PointPx b) {
  const float wx = b.x - a.x, wy = b.y - a.y, length = std::hypot(wx, wy);
  if (!(length > 0.0F)) return std::hypot(p.x - a.x, p.y - a.y);
  const float along = std::clamp(((p.x - a.x) * wx + (p.y - a.y) * wy) / (length * length), 0.0F, 1.0F);
  return std::hypot(p.x - a.x - along * wx, p.y - a.y - along * wy);
}

// After Ramer, Douglas and Peucker: the points first to last, but for those near the lines that are left; without last.
void simplify(const Contour& points, std::size_t first, std::size_t last, Contour& kept) {
  std::vector<std::pair<std::size_t, std::size_t>> open{{first, last}};
  while (!open.empty()) {
    const auto [from, to] = open.back();
    open.pop_back();
    std::size_t furthest = from;
    float distance = kSimplified_px;
    const PointPx end = points[to % points.size()];
    for (std::size_t i = from + 1; i < to; ++i)
      if (const float d = distance_from(points[i], points[from], end); d > distance) {
        distance = d;
        furthest = i;
      }
    if (furthest == from) {
      kept.push_back(points[from]);
    } else {
      open.emplace_back(furthest, to);
      open.emplace_back(from, furthest);
    }
  }
}

Contour simplified(const Contour& points) {
  Contour kept;
  // A closed outline is opened at two places, so that each part has two different ends.
  const std::size_t piece = std::min(kPiece, (points.size() + 1) / 2);
  for (std::size_t first = 0; first < points.size(); first += piece)
    simplify(points, first, std::min(first + piece, points.size()), kept);
  return kept;
}

// The next place in the row from which pixel and right neighbour differ in ink, or its end.
int next_change(const std::uint8_t* row, int x, int end) {
  const auto in = [row](int at) { return row[at] >= kHalf; };
  while (x < end) {
    std::uint64_t eight = 0;
    // Most of a page is empty.
    if (x + 9 < end && (std::memcpy(&eight, row + x, 8), eight == 0) && row[x + 8] == 0) {
      x += 8;
      continue;
    }
    if (!in(x) && in(x + 1)) return x;
    ++x;
  }
  return end;
}

}  // namespace

std::vector<Contour> contours(const InkPicture& ink, std::size_t most_points) {
  Tracer tracer(ink);
  std::vector<Contour> all;
  std::size_t count = 0;
  for (int y = 1; y + 1 < ink.height; ++y) {
    const std::uint8_t* row = ink.data + static_cast<std::size_t>(y) * ink.stride;
    for (int x = next_change(row, 0, ink.width - 1); x < ink.width - 1; x = next_change(row, x + 1, ink.width - 1)) {
      if (!tracer.begins(x, y)) continue;
      Contour one = simplified(tracer.follow(x, y));
      if (one.size() < 3) continue;
      one.shrink_to_fit();
      count += one.size();
      if (count > most_points) throw OutlineError("its outline has too many corners to be a design's");
      all.push_back(std::move(one));
    }
  }
  return all;
}

}  // namespace app
