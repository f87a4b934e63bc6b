// The cloth inside a ring as one frame shows it: what is known of the frame, and the cloth laid out flat.
// Plane of the cloth: the hoop frame, mm, at the cloth's height.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/plane_view.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace vision {

// Everything a look at the cloth depends on. Standard uncertainties, k = 1.
struct ClothSight {
  Lens lens;
  CameraPose camera_from_board;
  Pose2 board_from_hoop;
  Covariance3 hoop_covariance = Covariance3::zeros();  // of (x mm, y mm, rad) in the hoop frame
  std::vector<cv::Point2d> inner_mm;                   // the ring's opening, hoop frame, rim plane
  double rim_height_mm = 0.0, cloth_height_mm = 0.0;
  double rim_height_u_mm = 0.4, cloth_height_u_mm = 0.4;
  double print_scale_u = 0.0005;                      // relative
  std::vector<std::array<cv::Point2d, 4>> hidden_px;  // papers that lie on the cloth
};

// Nothing without the camera's place, or where the frame shows no ring and none is given as `kept` (the hoop as it was
// set, while cloth hides it). A thick cloth's face lies at another height than the hoop's taught one:
// `cloth_height_mm`.
std::optional<ClothSight> cloth_sight(const Station& station, const Hoop& hoop, const FrameResult& frame,
                                      const std::optional<Pose2>& kept = std::nullopt,
                                      std::optional<double> cloth_height_mm = std::nullopt);

PlaneView cloth_view(const ClothSight& sight);

// The cloth laid out flat: columns along +x, rows against y.
struct ClothPatch {
  cv::Mat1f grey;    // grey levels of the picture
  cv::Mat1b usable;  // 255 where the cloth is in sight, away from rim, papers and the picture's edge
  double mm_per_px = 0.4;
  cv::Point2d first_mm;  // hoop frame, centre of the pixel (0, 0)

  cv::Point2d at(double column, double row) const {
    return {first_mm.x + column * mm_per_px, first_mm.y - row * mm_per_px};
  }
  cv::Point2d pixel(cv::Point2d p_mm) const {
    return {(p_mm.x - first_mm.x) / mm_per_px, (first_mm.y - p_mm.y) / mm_per_px};
  }
  bool shows(cv::Point2d p_mm) const;
};

struct PatchOptions {
  double mm_per_px = 0.4;
  double rim_margin_mm = 5.5;    // beside the ring's wall lie its crease and whatever a filter carries over
  double paper_margin_mm = 4.0;  // around stickers
};
ClothPatch cloth_patch(const cv::Mat& grey, const ClothSight& sight, const PatchOptions& options = {});

// The covariance of (x mm, y mm, rad) in the hoop frame, k = 1, of a thing on the cloth that the picture alone gives to
// `own`, in the same frame: ring, camera, heights and print scale enter as in reading_of().
Covariance3 covariance_in_hoop(const ClothSight& sight, const Pose2& hoop_from_thing, const Covariance3& own);

// A straight thing's place in the hoop. Expanded uncertainties, k = 2.
struct LinePlace {
  double angle_deg = 0.0;    // of its direction, counter-clockwise from the hoop's +x, in (-90, 90]
  double distance_mm = 0.0;  // of the line from the hoop's centre, positive to the left of its direction
  double u_angle_deg = 0.0, u_distance_mm = 0.0;
  cv::Matx22d covariance = cv::Matx22d::zeros();  // of (angle rad, distance mm), k = 1
};

// Of a line through p_in_hoop at angle_rad, known across to `variance_across` (mm^2) at that point and in its angle to
// `variance_angle` (rad^2), the two independent; all else enters as in covariance_in_hoop().
LinePlace line_place(const ClothSight& sight, cv::Point2d p_in_hoop, double angle_rad, double variance_across,
                     double variance_angle);

}  // namespace vision
