// A plainly drawn ring for tests of the ring's own code: flat greys, grooves for notches, no shading. Photo-like rings
// are tested on rendered and photo-like frames.
#pragma once

#include <opencv2/imgproc.hpp>

#include "tests/vision/station_scene.h"
#include "vision/plane_view.h"
#include "vision/rim_edges.h"

namespace test_scene {

inline std::vector<cv::Point2d> rounded_rectangle(double half_width, double half_height, double radius) {
  std::vector<cv::Point2d> outline;
  const double cx[4] = {half_width - radius, radius - half_width, radius - half_width, half_width - radius};
  const double cy[4] = {half_height - radius, half_height - radius, radius - half_height, radius - half_height};
  for (int corner = 0; corner < 4; ++corner) {
    for (int i = 0; i <= 12; ++i) {
      const double phi = (corner + i / 12.0) * vision::kPi / 2.0;
      outline.emplace_back(cx[corner] + radius * std::cos(phi), cy[corner] + radius * std::sin(phi));
    }
  }
  return outline;
}

// Inner outline half_width x half_height with corners of that radius (a circle when all are equal), 5 mm wide.
inline vision::Hoop hoop(double half_width, double half_height, double radius) {
  vision::Hoop h;
  h.name = "drawn";
  h.rim_height_mm = 11.0;
  h.cloth_height_mm = 1.0;
  h.inner_mm = rounded_rectangle(half_width, half_height, radius);
  h.outer_mm = rounded_rectangle(half_width + 5.0, half_height + 5.0, radius + 5.0);
  h.notches = {vision::Notch{vision::Side::north, {0.0, half_height}, 2},
               vision::Notch{vision::Side::east, {half_width, 0.0}, 1},
               vision::Notch{vision::Side::south, {0.0, -half_height}, 1},
               vision::Notch{vision::Side::west, {-half_width, 0.0}, 1}};
  return h;
}

// Paints at eight times the resolution; the mean of 8 x 8 then makes the pixel.
constexpr int kOver = 8;
struct Canvas {
  cv::Rect region;  // of the picture, px
  cv::Mat fine;
};

inline void fill(Canvas& canvas, const vision::PlaneView& view, const std::vector<cv::Point2d>& outline, double grey) {
  std::vector<cv::Point> scaled;
  for (const cv::Point2d& p : outline) {
    // Pixel centres are whole numbers on both scales; fillPoly takes 1/256 px.
    const cv::Point2d px =
        (view.image(p) - cv::Point2d(canvas.region.tl()) + cv::Point2d(0.5, 0.5)) * kOver - cv::Point2d(0.5, 0.5);
    scaled.emplace_back(static_cast<int>(std::lround(256.0 * px.x)), static_cast<int>(std::lround(256.0 * px.y)));
  }
  const std::vector<std::vector<cv::Point>> all{scaled};
  cv::fillPoly(canvas.fine, all, cv::Scalar(grey), cv::LINE_8, 8);
}

inline void draw_groove(Canvas& canvas, const vision::PlaneView& view, cv::Point2d middle, double shift_mm,
                        double grey) {
  const cv::Point2d out = middle * (1.0 / cv::norm(middle)), along{-out.y, out.x};
  const cv::Point2d foot = middle + shift_mm * along - 0.2 * out;
  fill(canvas, view, {foot - 1.9 * along, foot + 1.9 * along, foot + 2.0 * out}, grey);
}

struct Look {
  double cloth = 120.0, rim = 210.0, groove = 60.0, noise = 1.5, blur_px = 0.7;
};

inline cv::Mat draw(const vision::Hoop& h, const vision::Pose2& board_from_hoop, const Look& look, unsigned seed = 1) {
  const vision::Station s = station();
  cv::Mat picture(s.lens.height_px, s.lens.width_px, CV_8UC1, cv::Scalar(look.cloth));
  const vision::RimViews views(s.lens, camera_pose(), h.rim_height_mm, h, board_from_hoop);
  const vision::PlaneView face(s.lens, camera_pose(), h.rim_height_mm, board_from_hoop);
  std::vector<cv::Point> round;
  for (const cv::Point2d& p : h.outer_mm) round.emplace_back(views.outer.image(p));
  const cv::Rect tight = cv::boundingRect(round);
  Canvas canvas;
  canvas.region = cv::Rect(tight.x - 8, tight.y - 8, tight.width + 16, tight.height + 16) &
                  cv::Rect(0, 0, picture.cols, picture.rows);
  canvas.fine = cv::Mat(canvas.region.size() * kOver, CV_8UC1, cv::Scalar(look.cloth));
  fill(canvas, views.outer, h.outer_mm, look.rim);
  fill(canvas, views.inner, h.inner_mm, look.cloth);
  for (const vision::Notch& notch : h.notches) {
    if (notch.teeth == 2) {
      draw_groove(canvas, face, notch.at_mm, -2.65, look.groove);
      draw_groove(canvas, face, notch.at_mm, 2.65, look.groove);
    } else {
      draw_groove(canvas, face, notch.at_mm, 0.0, look.groove);
    }
  }
  cv::resize(canvas.fine, picture(canvas.region), canvas.region.size(), 0, 0, cv::INTER_AREA);
  cv::GaussianBlur(picture, picture, {}, look.blur_px);
  cv::Mat noise(picture.size(), CV_16S), sum;
  cv::RNG random(seed);
  random.fill(noise, cv::RNG::NORMAL, 0.0, look.noise);
  picture.convertTo(sum, CV_16S);
  sum += noise;
  sum.convertTo(picture, CV_8U);
  return picture;
}

}  // namespace test_scene
