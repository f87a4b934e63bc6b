// The calibration sheet: a ChArUco board, DICT_5X5_100, 9 columns x 7 rows of 25 mm squares, markers of 18 mm.
//
// Chart frame: mm, origin at the pattern's centre, x to the right and y to the top of the upright sheet, z towards
// the viewer. Upright is as OpenCV draws the board: the top-left square is black, marker 0 in the square right of it,
// counting row by row in reading order; inner corner 0 is the top-left one, in reading order as well.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

namespace calib {

inline constexpr int kChartColumns = 9, kChartRows = 7;
inline constexpr double kChartSquareMm = 25.0, kChartMarkerMm = 18.0;
inline constexpr int kChartCornerColumns = kChartColumns - 1, kChartCornerRows = kChartRows - 1;
inline constexpr int kChartCorners = kChartCornerColumns * kChartCornerRows;
inline constexpr int kChartMarkers = kChartColumns * kChartRows / 2;

// Inner corner `id`, 0 to 47, chart frame, mm as printed at true scale.
cv::Point2d chart_corner_mm(int id);
// Centre of marker `id`, 0 to 30, chart frame, mm.
cv::Point2d chart_marker_mm(int id);
// Whether module (row, column), 0 to 6 from the top left, of marker `id`'s black square is white: a black ring one
// module wide around 5 x 5 bits.
bool chart_marker_module_is_white(int id, int row, int column);
inline constexpr int kChartMarkerModules = 7;

}  // namespace calib
