// What the rendered station shows in one frame, and the truth about it.
// Lengths in mm, angles in degrees where the name ends in _deg; frames as in vision/ (board frame: z up).
#pragma once

#include <cstdint>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "app/render/printed_page.h"
#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/station.h"

namespace app {

// Where the camera hangs. With all tilts zero it looks straight down, the picture's top away from the operator.
struct CameraPlace {
  double height_mm = 650.0;
  double x_mm = 0.0, y_mm = 0.0;              // the point of the board straight below it
  double tilt_x_deg = 0.0, tilt_y_deg = 0.0;  // about the camera's own x and y axes
  double roll_deg = 0.0;                      // about the board's z axis
};
vision::CameraPose camera_from_board(const CameraPlace& place);

enum class BoardSurface { plain, wood, grid };
struct Board {
  BoardSurface surface = BoardSurface::plain;
  double albedo = 0.45;
  cv::Size2d size_mm{470.0, 370.0};
  double table_albedo = 0.10;  // what lies beyond the board
};

// A line that was worked into the cloth or pressed into it. Cloth frame; it runs along its own x, its middle at 0.
struct ClothLine {
  enum class Kind {
    crease,    // darker along its middle, and the cloth beyond it (its left) tilted a little in the light
    stitches,  // thread, stitch by stitch
    band,      // a woven border of another colour
    fold,      // the cloth ends here: rounded off on the right, its shadow on what lies beneath on the left
  };
  Kind kind = Kind::crease;
  vision::Pose2 cloth_from_line;
  double length_mm = 300.0;
  double width_mm = 0.4;   // standard deviation of a crease, width of a thread or band, reach of a fold's shadow
  double strength = 0.15;  // share of the light that a crease or a fold's shadow takes
  double step = 0.05;      // relative change of the light beyond a crease
  double albedo = 0.5;     // of thread and band
  double stitch_mm = 3.5, gap_mm = 0.7;
  double bow_mm = 0.0;  // how far its middle lies to the left of the chord
};
// Four lines of stitches between whose middles the box measures `size_mm`.
std::vector<ClothLine> stitched_box(cv::Size2d size_mm, const vision::Pose2& cloth_from_box, double albedo);

enum class ClothPattern { plain, stripes, checks, blobs, plaid };
struct Cloth {
  ClothPattern pattern = ClothPattern::plain;
  double albedo = 0.30, second_albedo = 0.08;  // linear reflectance of the ground and of the pattern
  double pitch_mm = 14.0;                      // of stripes, checks and blobs
  double weave = 0.06;                         // relative contrast of the threads
  double wrinkles = 0.06;                      // relative contrast of folds
  double loops = 0.0;                          // relative contrast of a towel's loops
  double cross_pitch_mm = 9.0;                 // of a plaid's upright bands; pitch_mm is that of its level ones
  bool hem = true;                             // a seam along all edges
  std::vector<ClothLine> lines{};
  cv::Size2d size_mm{290.0, 420.0};
  vision::Pose2 board_from_cloth;
  std::uint32_t seed = 1;
};

enum class RingState {
  none,
  assembled,    // both rings, empty, on the bare board
  under_cloth,  // the outer ring alone on the board, a ridge in the cloth that lies over it
  pressed,      // the inner ring in the cloth, the outer ring a ridge around it
};
struct Ring {
  RingState state = RingState::pressed;
  vision::Pose2 board_from_hoop;
  double rim_height_mm = 11.0;  // true in this frame, the taught one may differ
  double albedo = 0.40;
  double gloss = 0.1;           // 0 matt .. 1 mirror-like streaks
  double translucency = 0.0;    // share of the cloth that shines through
  double edge_radius_mm = 0.8;  // both edges of the top are rounded by this much
};

struct StickerPlace {
  int number = 0;
  vision::Pose2 board_from_sticker;
  double curl_mm = 0.0;            // how high its east edge lifts off the cloth
  vision::Pose2 print_from_paper;  // a mis-cut edge: where the paper lies under the print
};

// A strip of opaque tape or a thread end, flat on the sticker or the rim.
struct Tape {
  vision::Pose2 board_from_tape;
  cv::Size2d size_mm{40.0, 12.0};
  double height_mm = 1.2, albedo = 0.6;
};

// The finger tips point to the hand's +y; the palm's middle is its origin.
struct Hand {
  vision::Pose2 board_from_hand;
  double height_mm = 22.0;
  double albedo = 0.38;
};

struct Light {
  double azimuth_deg = 120.0, elevation_deg = 65.0;  // direction to the lamp, counter-clockwise from board +x
  double ambient = 0.7;                              // share of the light on a flat surface that has no direction
  double size_deg = 18.0;                            // half-width of the lamp as seen from the board: soft shadows
  double level = 1.0;                                // exposure; 1 shows white paper at about 0.8 of full scale
  double vignetting = 0.25;                          // light lost in the picture's corners
  double slope = 0.0;                                // relative change of the light over 100 mm towards the lamp
};

struct Optics {
  double blur_sigma_px = 0.55;
  cv::Point2d motion_px{0.0, 0.0};  // length and direction of a smear
};

struct Sensor {
  double full_well = 9000.0;  // electrons at full scale: shot noise
  double read_noise = 4.0;    // electrons
  double gamma = 2.2;         // picture value = 255 * light^(1/gamma)
  int jpeg_quality = 0;       // 0: no round trip
};

struct Scene {
  vision::CameraPose camera_from_board = app::camera_from_board({});
  Board board;
  std::optional<Cloth> cloth = Cloth{};
  double cloth_height_mm = 1.0;  // true in this frame
  std::optional<Cloth> laid;     // a second cloth, laid over ring and all, as a folded towel is
  double laid_height_mm = 1.0;
  Ring ring;
  std::vector<StickerPlace> stickers;
  std::vector<Tape> tapes;
  std::vector<ScenePage> pages;  // printed sheets, lying or held; a later one hides an earlier one
  std::optional<Hand> hand;
  Light light;
  Optics optics;
  Sensor sensor;
};

// The sticker's pose in the hoop frame, signs of a vision::Reading.
struct TrueReading {
  double offset_x_mm = 0.0, offset_y_mm = 0.0, rotation_deg = 0.0;
};
// Of the scene's first sticker; nothing without a ring that is pressed, or without a sticker.
std::optional<TrueReading> true_reading(const Scene& scene);

}  // namespace app
