// How far the cloth was stretched by hooping: distances between stickers flat, and again after the ring was pressed.
// Pure arithmetic.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <vector>

namespace app {

// A sticker's cross lying still, the mean of some frames. Board frame, mm.
struct RestingCross {
  int number = 0;
  cv::Point2d in_board_mm;
  cv::Matx22d covariance = cv::Matx22d::zeros();  // k = 1: noise and unflatness of its paper
  cv::Point2d per_height;                         // how its place moves for a millimetre of the cloth's height
};

// One sticker, and where it belongs in the design.
struct StretchPoint {
  int number = 0;
  cv::Point2d in_design_mm;
  RestingCross flat, pressed;
};

struct StretchOptions {
  // Standard uncertainties: of the cloth's height over the board, flat and pressed each for itself, and of how far it
  // differs between stickers. The first as for readings (0.7 mm, rectangular); the second assumed.
  double height_u_mm = 0.4, height_apart_u_mm = 0.2;
  // What lens and camera pose leave of the scale between two places of the board, relative. Assumed: a pixel in five
  // thousand. The print's scale cancels.
  double scale_u = 0.0002;
};

// Percent of the flat length, positive longer. Uncertainties are expanded, k = 2.
struct Stretch {
  // Along the line of the stickers; with three or more that do not lie on a line, of the direction that changed most.
  double percent = 0.0, u_percent = 0.0;
  // Where that is: counter-clockwise from the design's right, in (-90, 90].
  double direction_deg = 0.0, u_direction_deg = 0.0;
  // At right angles to it, where three or more tell.
  std::optional<double> across_percent;
  double u_across_percent = 0.0;
  int first = 0, second = 0;  // the numbers of the two stickers furthest apart
  int stickers = 0;           // that were compared
  double base_mm = 0.0;       // between those two, flat
};

// Two or more; least squares over all. Nothing where there are fewer, where they lie in one place (nearer than 10 mm),
// or where a coordinate is not finite. By JCGM 100:2008, 5.1.2, first order; a direction that two strains of nearly one
// size leave open has an uncertainty of 90 degrees.
std::optional<Stretch> stretch_of(const std::vector<StretchPoint>& points, const StretchOptions& options = {});

inline constexpr double kStretchLimitPercent = 1.0;  // for knits; our own choice where the cloth guide says nothing

enum class StretchVerdict {
  within,
  stretched,  // longer by more than the limit
  gathered,   // shorter by more than the limit
  not_told,   // the uncertainty is larger than the limit, and the figure does not stand clear of both
};
// Of the worse of both directions.
StretchVerdict verdict(const Stretch& stretch, double limit_percent);

}  // namespace app
