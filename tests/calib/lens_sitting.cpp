#include "tests/calib/lens_sitting.h"

#include <cmath>

#include "tests/calib/sheet_scene.h"
#include "vision/geometry.h"

namespace lens_sitting {

vision::Lens random_lens(cv::RNG& rng, calib::LensModel model) {
  vision::Lens lens;
  lens.width_px = 2304;
  lens.height_px = 1296;
  lens.fx = 1152.0 / std::tan(0.5 * rng.uniform(50.0, 75.0) * vision::kRadPerDeg);
  lens.fy = lens.fx * rng.uniform(0.995, 1.005);
  lens.cx = 1151.5 + rng.uniform(-40.0, 40.0);
  lens.cy = 647.5 + rng.uniform(-40.0, 40.0);
  const std::array<double, 5> full{rng.uniform(-0.20, 0.10), rng.uniform(-0.02, 0.12), rng.uniform(-2e-3, 2e-3),
                                   rng.uniform(-2e-3, 2e-3), rng.uniform(-0.02, 0.03)};
  for (std::size_t i = 4; i < calib::parameters_of(model).size(); ++i) lens.distortion[i - 4] = full[i - 4];
  return lens;
}

std::vector<vision::CameraPose> random_poses(cv::RNG& rng, const vision::Lens& lens, int count) {
  std::vector<vision::CameraPose> poses;
  for (int i = 0; i < count; ++i) {
    const cv::Point2d aim(rng.uniform(-0.7, 0.7) * 0.5 * lens.width_px / lens.fx,
                          rng.uniform(-0.7, 0.7) * 0.5 * lens.height_px / lens.fy);
    poses.push_back(sheet_scene::facing(rng.uniform(200.0, 450.0), rng.uniform(-40.0, 40.0), rng.uniform(-40.0, 40.0),
                                        rng.uniform(-180.0, 180.0), {}, aim));
  }
  return poses;
}

std::vector<calib::LensPicture> sitting(cv::RNG& rng, const vision::Lens& lens,
                                        const std::vector<vision::CameraPose>& poses, double sigma_px) {
  std::vector<calib::LensPicture> pictures;
  for (const vision::CameraPose& pose : poses) {
    calib::LensPicture picture;
    picture.name = "picture " + std::to_string(pictures.size() + 1);
    for (int id = 0; id < calib::kChartCorners; ++id) {
      const cv::Point2d p = calib::chart_corner_mm(id);
      const cv::Point2d seen = vision::image_from_board(lens, pose, {p.x, p.y, 0.0});
      if (!(seen.x > 5.0 && seen.y > 5.0 && seen.x < lens.width_px - 6.0 && seen.y < lens.height_px - 6.0)) continue;
      picture.in_sheet_mm.push_back(p);
      picture.image_px.push_back(seen + cv::Point2d(rng.gaussian(sigma_px), rng.gaussian(sigma_px)));
      picture.sigma_px.push_back(0.02);  // what the finder says, which is less than print and paper make of it
    }
    pictures.push_back(picture);
  }
  return pictures;
}

}  // namespace lens_sitting
