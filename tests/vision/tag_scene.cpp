#include "tests/vision/tag_scene.h"

#include <algorithm>
#include <cmath>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgproc.hpp>

#include "vision/tag_family.h"

namespace tag_scene {
namespace {

constexpr double kHalf = 4.0;  // modules from the centre to a side of the black square

// From modules on the tag (x right, y down, origin at its centre) to a point in the camera frame, up to scale.
cv::Matx33d camera_from_tag(const vision::Lens& lens, const TagInScene& tag) {
  const cv::Point2d centre = vision::undistort(lens, tag.centre_px);
  const cv::Vec3d axis(std::cos(tag.tilt_axis_rad), std::sin(tag.tilt_axis_rad), 0.0);
  cv::Matx33d tilt, turn;
  cv::Rodrigues(axis * tag.tilt_rad, tilt);
  cv::Rodrigues(cv::Vec3d(0.0, 0.0, -tag.angle_rad), turn);  // y is down: counter-clockwise is negative
  const cv::Matx33d rotation = tilt * turn;
  const double module = tag.side_px / (2.0 * kHalf) / lens.fx;         // at distance 1
  return {rotation(0, 0) * module, rotation(0, 1) * module, centre.x,  //
          rotation(1, 0) * module, rotation(1, 1) * module, centre.y,  //
          rotation(2, 0) * module, rotation(2, 1) * module, 1.0};
}

cv::Point2d normalised(const cv::Matx33d& camera_from_modules, double x, double y) {
  const cv::Vec3d p = camera_from_modules * cv::Vec3d(x, y, 1.0);
  return {p[0] / p[2], p[1] / p[2]};
}

}  // namespace

vision::Lens station_lens() {
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

vision::Lens plain_lens(int width_px, int height_px) {
  vision::Lens lens;
  lens.width_px = width_px;
  lens.height_px = height_px;
  lens.fx = lens.fy = width_px;
  lens.cx = 0.5 * (width_px - 1);
  lens.cy = 0.5 * (height_px - 1);
  return lens;
}

std::array<cv::Point2d, 4> true_corners_normalised(const vision::Lens& lens, const TagInScene& tag) {
  const cv::Matx33d m = camera_from_tag(lens, tag);
  return {normalised(m, -kHalf, -kHalf), normalised(m, kHalf, -kHalf), normalised(m, kHalf, kHalf),
          normalised(m, -kHalf, kHalf)};
}

std::array<cv::Point2d, 4> true_corners_px(const vision::Lens& lens, const TagInScene& tag) {
  std::array<cv::Point2d, 4> corners = true_corners_normalised(lens, tag);
  for (cv::Point2d& c : corners) c = vision::project(lens, {c.x, c.y, 1.0});
  return corners;
}

Picture plain_picture(int width_px, int height_px, double level, int fine) {
  return {cv::Mat(height_px * fine, width_px * fine, CV_32FC1, cv::Scalar(level)), fine};
}

void draw(Picture& picture, const vision::Lens& lens, const TagInScene& tag) {
  const int fine = picture.fine, samples = 2 + 8 / fine;  // across a fine pixel
  const cv::Matx33d tag_from_camera = camera_from_tag(lens, tag).inv();
  const double edge = kHalf + tag.border_modules;
  const double reach = 1.5 * tag.side_px * edge / (2.0 * kHalf) + 2.0;
  const int width = picture.levels.cols / fine, height = picture.levels.rows / fine;
  const int left = std::max(0, static_cast<int>(tag.centre_px.x - reach)),
            top = std::max(0, static_cast<int>(tag.centre_px.y - reach));
  const int right = std::min(width, static_cast<int>(tag.centre_px.x + reach)),
            bottom = std::min(height, static_cast<int>(tag.centre_px.y + reach));
  const auto level = [&](cv::Point2d at, double behind) {
    const cv::Vec3d p = tag_from_camera * cv::Vec3d(at.x, at.y, 1.0);
    const double u = p[0] / p[2], v = p[1] / p[2], out = std::max(std::abs(u), std::abs(v));
    if (out > edge) return behind;
    const int row = static_cast<int>(std::floor(v + kHalf)), column = static_cast<int>(std::floor(u + kHalf));
    return out > kHalf || vision::tag_module_is_white(tag.id, row, column) ? tag.white : tag.black;
  };
  for (int y = top; y < bottom; ++y) {
    for (int x = left; x < right; ++x) {
      // The lens is as good as straight within a pixel.
      const cv::Point2d n = vision::undistort(lens, cv::Point2d(x, y));
      const cv::Point2d dx = vision::undistort(lens, cv::Point2d(x + 0.5, y)) * 2.0 - n * 2.0;
      const cv::Point2d dy = vision::undistort(lens, cv::Point2d(x, y + 0.5)) * 2.0 - n * 2.0;
      for (int part = 0; part < fine * fine; ++part) {
        const int column = part % fine, row = part / fine;
        float& pixel = picture.levels.at<float>(y * fine + row, x * fine + column);
        double sum = 0.0;
        for (int sample = 0; sample < samples * samples; ++sample) {
          const double i = (column + (sample % samples + 0.5) / samples) / fine - 0.5;
          const double j = (row + (sample / samples + 0.5) / samples) / fine - 0.5;
          sum += level(n + dx * i + dy * j, static_cast<double>(pixel));
        }
        pixel = static_cast<float>(sum / (samples * samples));
      }
    }
  }
}

cv::Mat develop(const Picture& picture, double blur_px, double noise_levels, cv::RNG& rng, double gamma) {
  cv::Mat light = picture.levels.clone(), pixels, grey;
  if (gamma != 1.0) cv::pow(light / 255.0, gamma, light);
  const double fine_blur = blur_px * picture.fine;
  cv::GaussianBlur(light, light, {0, 0}, fine_blur, fine_blur, cv::BORDER_REPLICATE);
  cv::resize(light, pixels, {light.cols / picture.fine, light.rows / picture.fine}, 0, 0, cv::INTER_AREA);
  if (gamma != 1.0) {
    cv::pow(pixels, 1.0 / gamma, pixels);
    pixels *= 255.0;
  }
  cv::Mat noise(pixels.size(), CV_32FC1);
  rng.fill(noise, cv::RNG::NORMAL, 0.0, noise_levels);
  pixels += noise;
  pixels.convertTo(grey, CV_8UC1);
  return grey;
}

}  // namespace tag_scene
