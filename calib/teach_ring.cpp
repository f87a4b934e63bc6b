#include "calib/teach_ring.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "calib/ring_lines.h"
#include "calib/ring_refine.h"
#include "calib/teach_frame.h"
#include "vision/board_pose.h"
#include "vision/tag_finder.h"

namespace calib {
namespace {

constexpr int kCandidates = 6;       // of either kind of edges
constexpr size_t kReadings = 3;      // of the lines around a candidate
constexpr size_t kTried = 5;         // of the likeliest, down to their notches
constexpr double kNotchScore = 0.4;  // what a notch adds to RingLines::score
constexpr double kSurelyRing = 3.0;
constexpr double kLeastScore = 2.4;   // with what is seen of its notches
constexpr double kPlainRing = 1.4;    // of RingLines::score
constexpr double kSecondShare = 0.8;  // a second ring scores at least this much of the first one's
constexpr double kLeastSeen = 0.75;   // of the outer outline
constexpr double kLongestHiddenMm = 45.0;
constexpr int kLeastNotches = 3;  // the fourth is where symmetry puts it
// What bevel and light leave in the outlines' common size (standard uncertainty), as seen on rendered rings.
constexpr double kOuterDoubtMm = 0.15, kInnerDoubtMm = 0.15;

void check_arguments(const cv::Mat& grey, const vision::Lens& lens, double rim_height_mm) {
  if (grey.type() != CV_8UC1) throw std::invalid_argument("a frame must be 8-bit grey");
  if (grey.cols != lens.width_px || grey.rows != lens.height_px)
    throw std::invalid_argument("a frame must be " + std::to_string(lens.width_px) + " x " +
                                std::to_string(lens.height_px) + " px, as the station file says");
  if (!(rim_height_mm >= kLeastRimHeightMm && rim_height_mm <= kMostRimHeightMm))
    throw std::invalid_argument("a rim height must be from 1 to 40 mm");
}

std::vector<vision::SeenTag> marks_in(const cv::Mat& grey, const vision::Station& station) {
  vision::TagFinder finder(station.lens);
  return finder.find(grey);
}

// The same lines found from another candidate: the better of the two is kept.
bool same_ring(RingLines& kept, const RingLines& lines) {
  const ShapeFit &a = kept.outer, &b = lines.outer;
  const double apart =
      cv::norm(a.board_from_shape.origin_mm - b.board_from_shape.origin_mm) +
      std::abs(std::min(a.half_width_mm, a.half_height_mm) - std::min(b.half_width_mm, b.half_height_mm));
  if (apart > 1.0 || kept.boundary != lines.boundary) return false;
  if (lines.score > kept.score) kept = lines;
  return true;
}

// A ring that shows plainly, with its gap, was found there already.
bool is_known(const std::vector<RingLines>& rings, const ShapeFit& shape) {
  return std::any_of(rings.begin(), rings.end(), [&](const RingLines& ring) {
    return ring.boundary == Boundary::dark_gap && ring.score > kSurelyRing &&
           cv::norm(ring.outer.board_from_shape.origin_mm - shape.board_from_shape.origin_mm) < 15.0;
  });
}

// All that could be rings, best first.
std::vector<RingLines> rings_in(const RingScene& scene, const std::vector<vision::SeenTag>& tags) {
  const FlatPicture flat = flat_picture(scene.grey, scene.lens, scene.camera_from_board,
                                        scene.rim_height_mm - vision::kOuterEdgeDropMm, tags);
  std::vector<RingLines> rings;
  if (flat.edges.empty()) return rings;
  for (const RingLine& candidate : ring_candidates(flat, kCandidates)) {
    if (is_known(rings, candidate.shape)) continue;
    std::vector<RingLines> found = ring_lines(scene, candidate);
    if (found.size() > kReadings) found.resize(kReadings);
    for (const RingLines& lines : found) {
      const bool known =
          std::any_of(rings.begin(), rings.end(), [&](RingLines& ring) { return same_ring(ring, lines); });
      if (lines.score >= kPlainRing && !known) rings.push_back(lines);
    }
  }
  std::stable_sort(rings.begin(), rings.end(), [](const auto& a, const auto& b) { return a.score > b.score; });
  return rings;
}

// Whether another one lies beside the best, not around it or in it.
bool another_beside(const std::vector<RingLines>& rings) {
  const ShapeFit& first = rings.front().outer;
  return std::any_of(rings.begin() + 1, rings.end(), [&](const RingLines& ring) {
    if (ring.score < kSecondShare * rings.front().score || ring.boundary != rings.front().boundary) return false;
    const double apart = cv::norm(ring.outer.board_from_shape.origin_mm - first.board_from_shape.origin_mm);
    return apart > 0.9 * (std::min(first.half_width_mm, first.half_height_mm) +
                          std::min(ring.outer.half_width_mm, ring.outer.half_height_mm));
  });
}

void add_doubts(TaughtRing& ring, const RingLines& lines, const RefinedRing& refined) {
  if (lines.boundary == Boundary::step)
    ring.doubts.emplace_back(
        "No gap between two rings was seen: look whether the outer line lies on the ring that "
        "garments show, the inner one.");
  if (refined.inner_share < 0.5)
    ring.doubts.emplace_back("The edge of the opening is hardly to be seen: look whether the inner line lies on it.");
  if (refined.seen_share < 0.9)
    ring.doubts.emplace_back("A part of the outer line was not seen; look whether something lies on the ring.");
  if (ring.shape == RingShape::other)
    ring.doubts.emplace_back("The ring is neither round nor oval nor a rounded rectangle; look along its outlines.");
}

TaughtRing assembled(const RingScene& scene, const RingLines& lines, const RefinedRing& refined) {
  TaughtRing ring;
  ring.hoop.rim_height_mm = scene.rim_height_mm;
  ring.hoop.inner_mm = refined.inner_mm;
  ring.hoop.outer_mm = refined.outer_mm;
  ring.board_from_hoop = refined.shape.board_from_shape;
  ring.shape = refined.shape.fits ? refined.shape.shape : RingShape::other;
  ring.inner_from_board = refined.inner_by_wall;
  ring.rms_mm = refined.rms_mm;
  ring.seen_share = refined.seen_share;
  ring.u_outer_mm = std::hypot(kOuterDoubtMm, 0.1 * refined.rms_mm);
  ring.u_inner_mm = std::hypot(kInnerDoubtMm, 0.1 * refined.rms_mm);
  add_doubts(ring, lines, refined);
  const vision::PlaneView face = {scene.lens, scene.camera_from_board, scene.rim_height_mm, ring.board_from_hoop};
  const std::array<GrooveAt, 4> around =
      four_grooves(scene.grey, face, refined.inner_mm, refined.outer_mm, ring.shape != RingShape::round);
  // Counter-clockwise from +x there; north, east, south, west here.
  lay_frame(ring, {around[1], around[0], around[3], around[2]}, refined.shape.fits);
  return north_by_teeth(ring);
}

TeachFault fault_of(const RefinedRing& refined, const TaughtRing& ring) {
  if (refined.seen_share < kLeastSeen || refined.longest_gap_mm > kLongestHiddenMm) return TeachFault::ring_covered;
  if (std::count(ring.notch_found.begin(), ring.notch_found.end(), true) < kLeastNotches)
    return TeachFault::notches_missing;
  return TeachFault::none;
}

TeachOutcome taught(const cv::Mat& grey, const vision::Station& station, const std::vector<vision::SeenTag>& tags,
                    const vision::CameraPose& pose, double rim_height_mm) {
  const RingScene scene{grey, station.lens, pose, rim_height_mm};
  const std::vector<RingLines> rings = rings_in(scene, tags);
  if (rings.empty()) return {TeachFault::no_ring, std::nullopt};
  if (another_beside(rings)) return {TeachFault::several_rings, std::nullopt};
  TeachOutcome best{TeachFault::no_ring, std::nullopt};
  double most = 0.0;
  for (size_t i = 0; i < std::min(kTried, rings.size()); ++i) {
    RefinedRing refined;
    if (!refine_ring(scene, rings[i], refined)) continue;
    TaughtRing ring = assembled(scene, rings[i], refined);
    const auto notches = std::count(ring.notch_found.begin(), ring.notch_found.end(), true);
    // The width anew, now that the outer outline is known better.
    const double score =
        rings[i].score - rings[i].width_score + refined.inner_share + kNotchScore * static_cast<double>(notches);
    if (score <= std::max(most, kLeastScore)) continue;
    most = score;
    best.fault = refined.in_frame ? fault_of(refined, ring) : TeachFault::ring_cut_off;
    best.ring = std::move(ring);
  }
  return best;
}

}  // namespace

std::optional<vision::CameraPose> teach_camera(const cv::Mat& grey, const vision::Station& station) {
  const vision::BoardPose board = vision::board_pose(marks_in(grey, station), station);
  if (board.error != vision::BoardPoseError::none) return std::nullopt;
  return board.camera_from_board;
}

TeachOutcome teach_ring(const cv::Mat& grey, const vision::Station& station, const vision::CameraPose& pose,
                        double rim_height_mm) {
  check_arguments(grey, station.lens, rim_height_mm);
  return taught(grey, station, marks_in(grey, station), pose, rim_height_mm);
}

TeachOutcome teach_ring(const cv::Mat& grey, const vision::Station& station, double rim_height_mm) {
  check_arguments(grey, station.lens, rim_height_mm);
  const std::vector<vision::SeenTag> tags = marks_in(grey, station);
  const vision::BoardPose board = vision::board_pose(tags, station);
  if (board.error != vision::BoardPoseError::none) return {TeachFault::no_board, std::nullopt};
  return taught(grey, station, tags, board.camera_from_board, rim_height_mm);
}

}  // namespace calib
