#include "vision/tag_finder.h"

#include <algorithm>
#include <cmath>

#include "vision/tag_code.h"
#include "vision/tag_family.h"
#include "vision/tag_quads.h"
#include "vision/tag_refine.h"
#include "vision/tag_snap.h"

namespace vision {
namespace {

// Of 36; two codes of the family differ in at least 11.
constexpr int kMostWrongBits = 2;
// The width of the picture that is searched, about, px. A tag needs some 9 px across there.
constexpr double kSearchWidth = 1152.0;

bool inside(const cv::Mat& grey, const Quad& quad) {
  return std::all_of(quad.begin(), quad.end(), [&](cv::Point2d p) {
    return p.x >= 0.0 && p.y >= 0.0 && p.x <= grey.cols - 1.0 && p.y <= grey.rows - 1.0;
  });
}

double longest_side(const Quad& quad) {
  double longest = 0.0;
  for (std::size_t i = 0; i < 4; ++i) longest = std::max(longest, cv::norm(quad[(i + 1) % 4] - quad[i]));
  return longest;
}

Quad turned(const Quad& quad, int quarter_turns) {
  Quad upright;
  for (std::size_t i = 0; i < 4; ++i) upright[i] = quad[(i + static_cast<std::size_t>(quarter_turns)) % 4];
  return upright;
}

cv::Point2d centre(const SeenTag& tag) {
  return (tag.corners_px[0] + tag.corners_px[1] + tag.corners_px[2] + tag.corners_px[3]) * 0.25;
}

}  // namespace

struct TagFinder::State {
  explicit State(const Lens& its_lens) : lens(its_lens), refiner(its_lens) {}

  // The same patch can come up more than once; the same id elsewhere is another tag.
  bool listed(const SeenTag& tag) const {
    return std::any_of(tags.begin(), tags.end(), [&](const SeenTag& other) {
      return other.id == tag.id && cv::norm(centre(other) - centre(tag)) < 0.5 * longest_side(tag.corners_px);
    });
  }

  Lens lens;
  QuadSearch search;
  TagRefiner refiner;
  std::vector<SeenTag> tags;
};

TagFinder::TagFinder(const Lens& lens) : state_(new State(lens)) { tag_words(); }
TagFinder::~TagFinder() = default;
TagFinder::TagFinder(TagFinder&&) noexcept = default;
TagFinder& TagFinder::operator=(TagFinder&&) noexcept = default;

const std::vector<SeenTag>& TagFinder::find(const cv::Mat& grey, cv::Rect region, int coarser) {
  CV_Assert(grey.type() == CV_8UC1);
  State& state = *state_;
  state.tags.clear();
  const cv::Rect frame(0, 0, grey.cols, grey.rows);
  const cv::Rect part = region.empty() ? frame : region & frame;
  if (part.empty()) return state.tags;
  const int usual = std::clamp(static_cast<int>(std::lround(grey.cols / kSearchWidth)), 1, 4);
  const int shrink = std::clamp(usual * coarser, 1, 4);
  for (Quad quad : state.search.search(grey(part), shrink)) {
    for (cv::Point2d& corner : quad) corner += cv::Point2d(part.tl());
    if (!looks_like_tag(grey, quad)) continue;
    if (!snap_sides(grey, quad, 1.5 * shrink + 1.0) || !inside(grey, quad)) continue;
    const auto word = read_tag_word(grey, quad);
    if (!word) continue;
    const auto match = match_tag(*word, kMostWrongBits);
    if (!match) continue;
    const auto tag = state.refiner.refine(grey, turned(quad, match->quarter_turns), match->id);
    if (tag && !state.listed(*tag)) state.tags.push_back(*tag);
  }
  return state.tags;
}

std::optional<SeenTag> TagFinder::find_near(const cv::Mat& grey, int id,
                                            const std::array<cv::Point2d, 4>& expected_px) {
  CV_Assert(grey.type() == CV_8UC1);
  if (id < 0 || id >= kTagCount) return std::nullopt;
  Quad quad = expected_px;
  const double side = longest_side(quad);
  if (!inside(grey, quad) || !(side >= 8.0)) return std::nullopt;
  if (!snap_sides(grey, quad, 0.12 * side + 1.0) || !inside(grey, quad)) return std::nullopt;
  const auto word = read_tag_word(grey, quad);
  if (!word || tag_wrong_bits(*word, id) > kMostWrongBits) return std::nullopt;
  return state_->refiner.refine(grey, quad, id);
}

}  // namespace vision
