// What a frame is measured against: the surveyed board and the taught hoop.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/camera.h"

namespace vision {

// A printed tag on the board, board frame; angle counter-clockwise; size is the side of the black square.
struct BoardMark {
  int id = 0;
  double x_mm = 0.0, y_mm = 0.0, angle_deg = 0.0, size_mm = 30.0;
  // Expanded uncertainties of the survey (k = 2), of the place in its worse direction; 0 when not known.
  double u_mm = 0.0, u_angle_deg = 0.0;
};

struct Station {
  Lens lens;
  std::vector<BoardMark> board_marks;
  // Length of the sheets' 100 mm bar as the person measured it, over 100: true mm per printed mm.
  double print_scale = 1.0;
  // Where the camera hung when the board was surveyed (camera_from_board, without a covariance); a frame's pose is
  // compared with it to notice a knock.
  std::optional<CameraPose> surveyed_camera;
};

enum class Side { north, east, south, west };
inline constexpr std::array<Side, 4> kSides{Side::north, Side::east, Side::south, Side::west};

// How the hoop's north is told: by what was taught of its ring, by a north mark, or by a fixture that
// holds it with north within 45 degrees of the board's y axis.
enum class NorthBy { taught, mark, fixture };

struct Notch {
  Side side = Side::north;
  cv::Point2d at_mm;  // hoop frame, rim plane, where the notch meets the inner outline
  int teeth = 1;      // how many grooves stand side by side; north is doubled on most rings
};

// Rims are bevelled or rounded. What shows as the outer edge is the widest part, below the bevel; the inner edge shows
// about its middle. A bevel of 0.8 mm is usual; heights below the rim's face, mm.
inline constexpr double kInnerEdgeDropMm = 0.4;
inline constexpr double kOuterEdgeDropMm = 0.8;

// A taught hoop. Outlines: hoop frame, rim plane, counter-clockwise, closed without repeating the first point.
struct Hoop {
  std::string name;
  NorthBy north_by = NorthBy::taught;
  int north_mark = 0;  // tag id, with NorthBy::mark
  double rim_height_mm = 0.0;
  double cloth_height_mm = 0.0;
  cv::Size2d field_mm;           // width, height
  bool field_is_round = false;   // an oval with these axes; a circle when both are equal
  double field_corner_mm = 0.0;  // radius of a rectangle's rounded corners
  std::vector<cv::Point2d> inner_mm;
  std::vector<cv::Point2d> outer_mm;
  // How far below the rim's face each outline's edge shows; 0 for a printed ring.
  double inner_edge_drop_mm = kInnerEdgeDropMm;
  double outer_edge_drop_mm = kOuterEdgeDropMm;
  std::array<Notch, 4> notches;  // in the order of kSides
};

}  // namespace vision
