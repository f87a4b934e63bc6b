// An invented board with marks stuck by hand, photographed with the calibration sheet lying on it: projected corners
// with exact truth, in the frame of the sheet's first position.
#pragma once

#include <random>
#include <vector>

#include "calib/camera_place.h"
#include "calib/survey_board.h"

namespace survey_scene {

struct TrueMark {
  vision::BoardMark mark;
  double height_mm = 0.0;
  std::array<double, 4> corner_height_mm{};  // a curled mark's corners over its plane
  double swell_mm = 0.0;
  std::array<cv::Point2d, 4> bias_px{};  // of the corners, in every picture alike
};

struct TrueSheet {
  vision::Pose2 board_from_sheet;
  double height_mm = 0.0, tilt_x_mm = 0.0, tilt_y_mm = 0.0;  // over the plane of the marks at 100 mm
  std::array<double, 3> bend_mm{};                           // xx, xy, yy at 100 mm
};

struct Scene {
  vision::Lens lens;  // as it truly is
  double print_scale = 1.0;
  std::vector<TrueMark> marks;
  std::vector<TrueSheet> sheets;
  std::vector<calib::CameraPlace> cameras;  // one a sheet
  double corner_sigma_px = 0.03, tag_sigma_px = 0.03;
};

inline vision::Lens lens() {
  vision::Lens lens;
  lens.width_px = 2304;
  lens.height_px = 1296;
  lens.fx = 2246.3;
  lens.fy = 2248.1;
  lens.cx = 1160.4;
  lens.cy = 640.7;
  lens.distortion = {-0.1182, 0.0871, 0.00064, -0.00047, -0.0213};
  return lens;
}

inline double uniform(std::mt19937& random, double low, double high) {
  return std::uniform_real_distribution<double>(low, high)(random);
}
inline double normal(std::mt19937& random, double sigma) {
  return sigma > 0.0 ? std::normal_distribution<double>(0.0, sigma)(random) : 0.0;
}

// `marks` marks around the board's rim, stuck askew; the sheet first in the middle, then moved and turned.
inline Scene scene(std::mt19937& random, int sheets, int marks = 6) {
  Scene out;
  out.lens = lens();
  const double places[8][2] = {{-196, 138}, {197, 139}, {195, -138}, {-198, -137},
                               {-199, 2},   {198, -4},  {-150, 150}, {150, 150}};
  for (int i = 0; i < marks; ++i) {
    TrueMark mark;
    mark.mark = {400 + i, places[i][0] + uniform(random, -6, 6), places[i][1] + uniform(random, -6, 6),
                 uniform(random, -12, 12), calib::kBoardMarkSizeMm};
    out.marks.push_back(mark);
  }
  const double stops[6][3] = {{0, 0, 0}, {28, 30, -6}, {-30, -32, 10}, {25, -28, 95}, {-24, 26, 185}, {10, 5, -40}};
  calib::CameraPlace camera{uniform(random, -8, 8), uniform(random, -8, 8), uniform(random, 640, 670),
                            uniform(random, -2, 2), uniform(random, -2, 2), uniform(random, -2, 2)};
  for (int i = 0; i < sheets; ++i) {
    TrueSheet sheet;
    if (i > 0)
      sheet.board_from_sheet = {{stops[i % 6][0] + uniform(random, -4, 4), stops[i % 6][1] + uniform(random, -4, 4)},
                                (stops[i % 6][2] + uniform(random, -3, 3)) * vision::kRadPerDeg};
    out.sheets.push_back(sheet);
    out.cameras.push_back(camera);
  }
  return out;
}

// Heights, bends and swellings as the survey takes them to be usual, or `share` of that.
inline void make_unflat(Scene& scene, std::mt19937& random, double share = 1.0) {
  calib::SurveyOptions options;
  for (double* u : {&options.sheet_height_u_mm, &options.sheet_tilt_u_mm, &options.sheet_bend_u_mm,
                    &options.mark_height_u_mm, &options.corner_bias_u_px})
    *u *= share;
  for (TrueSheet& sheet : scene.sheets) {
    sheet.height_mm = normal(random, options.sheet_height_u_mm);
    sheet.tilt_x_mm = normal(random, options.sheet_tilt_u_mm);
    sheet.tilt_y_mm = normal(random, options.sheet_tilt_u_mm);
    for (double& bend : sheet.bend_mm) bend = normal(random, options.sheet_bend_u_mm);
  }
  const double ink_mm = uniform(random, -0.1, 0.1);
  for (TrueMark& mark : scene.marks) {
    mark.height_mm = normal(random, options.mark_height_u_mm);
    mark.swell_mm = ink_mm + normal(random, 0.02);
    for (cv::Point2d& bias : mark.bias_px)
      bias = {normal(random, options.corner_bias_u_px), normal(random, options.corner_bias_u_px)};
  }
}

inline cv::Point2d noisy(cv::Point2d p, double sigma_px, std::mt19937& random) {
  return {p.x + normal(random, sigma_px), p.y + normal(random, sigma_px)};
}

inline std::array<cv::Vec3d, 4> corners_in_board(const TrueMark& mark, double print_scale) {
  std::array<cv::Vec3d, 4> out;
  const double half = 0.5 * mark.mark.size_mm * print_scale + mark.swell_mm;
  const cv::Point2d own[4] = {{-half, half}, {half, half}, {half, -half}, {-half, -half}};
  for (std::size_t k = 0; k < 4; ++k) {
    const cv::Point2d p =
        vision::apply({{mark.mark.x_mm, mark.mark.y_mm}, mark.mark.angle_deg * vision::kRadPerDeg}, own[k]);
    out[k] = {p.x, p.y, mark.height_mm + mark.corner_height_mm[k]};
  }
  return out;
}

inline vision::SeenTag seen_tag(const Scene& scene, const TrueMark& mark, const vision::CameraPose& camera,
                                std::mt19937& random) {
  vision::SeenTag tag;
  tag.id = mark.mark.id;
  tag.sigma_px = scene.tag_sigma_px;
  tag.side_samples = 200;
  const std::array<cv::Vec3d, 4> corners = corners_in_board(mark, scene.print_scale);
  for (std::size_t k = 0; k < 4; ++k) {
    tag.corners_px[k] =
        noisy(vision::image_from_board(scene.lens, camera, corners[k]) + mark.bias_px[k], scene.tag_sigma_px, random);
    tag.corners_normalised[k] = vision::undistort(scene.lens, tag.corners_px[k]);
  }
  return tag;
}

inline calib::SurveyPicture picture(const Scene& scene, std::size_t i, std::mt19937& random) {
  calib::SurveyPicture out;
  out.name = "picture " + std::to_string(i + 1);
  const vision::CameraPose camera = calib::camera_from_board(scene.cameras[i]);
  const TrueSheet& sheet = scene.sheets[i];
  for (int id = 0; id < calib::kChartCorners; ++id) {
    const cv::Point2d q = calib::chart_corner_mm(id) * scene.print_scale;
    const cv::Point2d p = vision::apply(sheet.board_from_sheet, q);
    const double u = q.x / 100.0, v = q.y / 100.0;
    const double z = 0.1 + sheet.height_mm + sheet.tilt_x_mm * u + sheet.tilt_y_mm * v + sheet.bend_mm[0] * u * u +
                     sheet.bend_mm[1] * u * v + sheet.bend_mm[2] * v * v;
    out.chart.corners.push_back(
        {id, noisy(vision::image_from_board(scene.lens, camera, {p.x, p.y, z}), scene.corner_sigma_px, random),
         scene.corner_sigma_px});
  }
  for (const TrueMark& mark : scene.marks) out.tags.push_back(seen_tag(scene, mark, camera, random));
  return out;
}

inline std::vector<calib::SurveyPicture> pictures(const Scene& scene, std::mt19937& random) {
  std::vector<calib::SurveyPicture> out;
  for (std::size_t i = 0; i < scene.sheets.size(); ++i) out.push_back(picture(scene, i, random));
  return out;
}

}  // namespace survey_scene
