// Pictures of tags with exactly known corners, drawn by area sampling through a lens; shares nothing with the finder
// but the code words and the lens formula.
#pragma once

#include <array>
#include <opencv2/core.hpp>

#include "vision/camera.h"

namespace tag_scene {

struct TagInScene {
  int id = 0;
  cv::Point2d centre_px;       // where the tag's centre is seen
  double side_px = 41.0;       // of the black square, about, seen straight on
  double angle_rad = 0.0;      // counter-clockwise as the viewer sees it
  double tilt_rad = 0.0;       // of its plane against the image plane
  double tilt_axis_rad = 0.0;  // in the image plane
  double border_modules = 1.5;
  double black = 40.0, white = 200.0;
};

// A lens like the station's, and one without distortion.
vision::Lens station_lens();
vision::Lens plain_lens(int width_px, int height_px);

// The corners in the order of SeenTag, in image px and normalised.
std::array<cv::Point2d, 4> true_corners_px(const vision::Lens& lens, const TagInScene& tag);
std::array<cv::Point2d, 4> true_corners_normalised(const vision::Lens& lens, const TagInScene& tag);

// A picture, CV_32FC1, of which each pixel is divided into `fine` by `fine`, so that blur acts before the sensor's
// pixels do: with the blur on whole pixels an edge along them becomes a staircase that no camera shows.
struct Picture {
  cv::Mat levels;
  int fine = 1;
};
Picture plain_picture(int width_px, int height_px, double level, int fine = 4);

void draw(Picture& picture, const vision::Lens& lens, const TagInScene& tag);

// Blur of standard deviation blur_px, pixels, noise of noise_levels, rounded to CV_8UC1.
// gamma: grey levels grow with light to the power of 1 / gamma, as in most cameras' pictures.
cv::Mat develop(const Picture& picture, double blur_px, double noise_levels, cv::RNG& rng, double gamma = 1.0);

}  // namespace tag_scene
