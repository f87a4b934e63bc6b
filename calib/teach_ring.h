// A hoop that nobody has described yet, found in a frame of its assembled empty rings on the bare board.
//
// What is wanted is the ring that garment frames show: the inner one, from its opening to the gap between the rings,
// with its four notches. Its outlines depend on its height; the height can be typed, or found from two or more frames
// of the same hoop at different places (calib/teach_height.h).
//
// Frames: hoop frame as everywhere; the rim's height here is that of the bare rings over the board. Under a garment the
// rim lies higher by the cloth: hoop_file_from() adds it.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/station.h"

namespace calib {

enum class TeachFault {
  none,
  no_board,         // fewer than three board marks agree
  no_ring,          // nothing closed and ring-like
  several_rings,    // two hoops, or one beside another thing that looks like one
  ring_cut_off,     // it reaches beyond the picture
  ring_covered,     // a hand or a cloth hides a part of it
  notches_missing,  // outlines found, but fewer than two opposite pairs of notches: the person shows them
};
// What is wrong and what to do, one sentence.
std::string sentence(TeachFault fault);

enum class RingShape { round, oval, square, rectangle, other };
std::string name(RingShape shape);  // "round", "oval", ...

// The outlines and notches as they were found, at one rim height.
struct TaughtRing {
  // Outlines, notches and edge drops; on a ring of a simple shape whose notches stand on its axes to within what can be
  // seen, outlines and notches are exactly symmetrical about them. rim_height_mm is that of the bare rings,
  // cloth_height_mm 0; no name and no field.
  vision::Hoop hoop;
  vision::Pose2 board_from_hoop;
  std::array<bool, 4> notch_found{};  // in the order of vision::kSides; one that was not is where it should be
  // Exactly one notch is doubled, and it is north. Otherwise the notch that is furthest from the operator is taken for
  // north until a person says so: with_north().
  bool north_certain = false;
  RingShape shape = RingShape::other;
  // The opening was found by the foot of the ring's inner wall, on the board: it does not depend on the height.
  bool inner_from_board = false;
  double rms_mm = 0.0;      // of the found edges about the outlines
  double seen_share = 0.0;  // of the outlines, 0 to 1
  // Standard uncertainties, mm: of the outlines as a whole (a common size), and of the origin that the notches give.
  double u_inner_mm = 0.0, u_outer_mm = 0.0, u_origin_mm = 0.0;
  double u_angle_deg = 0.0;
  std::vector<std::string> doubts;  // what a person should look at, a sentence each
};

struct TeachOutcome {
  TeachFault fault = TeachFault::no_board;
  // With fault none; with notches_missing and ring_covered as well where outlines were found, for the person to mend.
  std::optional<TaughtRing> ring;
};

inline constexpr double kUsualRimHeightMm = 10.5;   // of bare rings over the board (common practice: 9 to 12)
inline constexpr double kUsualClothHeightMm = 1.0;  // of a garment with its stabilizer
inline constexpr double kLeastRimHeightMm = 1.0, kMostRimHeightMm = 40.0;

// The camera's pose from the board marks of this frame; nothing when fewer than three agree.
// grey: 8 bit, one channel, of the lens's size.
std::optional<vision::CameraPose> teach_camera(const cv::Mat& grey, const vision::Station& station);

// Finds the ring. `rim_height_mm`: of the bare rings over the board. Throws std::invalid_argument for a picture of
// another type or size and for a height outside kLeastRimHeightMm to kMostRimHeightMm.
TeachOutcome teach_ring(const cv::Mat& grey, const vision::Station& station,
                        const vision::CameraPose& camera_from_board, double rim_height_mm = kUsualRimHeightMm);
// The same with the camera's pose from the frame itself.
TeachOutcome teach_ring(const cv::Mat& grey, const vision::Station& station, double rim_height_mm = kUsualRimHeightMm);

// The side that was called `side` becomes north: the hoop frame turns with it and the others are renamed. Where no
// notch is doubled the hoop then cannot tell north by itself: see north_can_be_told().
TaughtRing with_north(const TaughtRing& ring, vision::Side side);

// A person put the notch `side` at an image point: it snaps to a groove within a few millimetres of there along the
// inner outline, else it stays where it was put. `teeth` 0: as counted, or as it was. The hoop frame follows.
TaughtRing with_notch(const TaughtRing& ring, const cv::Mat& grey, const vision::Station& station,
                      const vision::CameraPose& camera_from_board, vision::Side side, cv::Point2d image_px,
                      int teeth = 0);

// A person dragged the nearest outline through an image point: the outline is looked for again through there; where it
// does not show, it is bent to pass through the point.
TaughtRing with_outline_point(const TaughtRing& ring, const cv::Mat& grey, const vision::Station& station,
                              const vision::CameraPose& camera_from_board, bool inner, cv::Point2d image_px);

// The same picture, another rim height: outlines, notches and pose rescaled.
TaughtRing with_rim_height(const TaughtRing& ring, const vision::Station& station,
                           const vision::CameraPose& camera_from_board, double rim_height_mm);

// Image points of the outlines and notches, for drawing.
struct RingPicture {
  std::vector<cv::Point2d> inner_px, outer_px;
  std::array<cv::Point2d, 4> notch_px;
};
RingPicture picture_of(const TaughtRing& ring, const vision::Station& station,
                       const vision::CameraPose& camera_from_board);

// Whether a ring of these notches shows which way up it lies; otherwise the hoop file needs a north mark or a fixture.
bool north_can_be_told(const TaughtRing& ring);

// The largest field that leaves 5 mm to the opening on each side, in whole 5 mm; a diameter for a round ring.
cv::Size2d suggested_field_mm(const TaughtRing& ring);

// What a hoop file holds: the rim raised by the cloth, cloth, name and field filled in (a field of zero: the suggested
// one). north_by stays as it is in ring.hoop.
vision::Hoop hoop_file_from(const TaughtRing& ring, const std::string& name, cv::Size2d field_mm = {},
                            double cloth_height_mm = kUsualClothHeightMm);

}  // namespace calib
