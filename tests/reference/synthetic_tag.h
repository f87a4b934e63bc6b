// A tag painted from its bits at corners known to a hundredth of a pixel, to test detectors for bias.
#pragma once

#include <array>
#include <opencv2/core.hpp>

namespace reference {

// Paints `modules` (8 x 8, 255 is white) so that its top-left, top-right, bottom-right and bottom-left corners lie at
// corners_px (centre of the top-left pixel is (0, 0)), with white paper a quarter of its width around it, into
// `picture` (8 bit). Every pixel is the mean of 16 x 16 points of its area: the picture is as exact as 8 bits allow.
void paint_tag(const cv::Mat& modules, const std::array<cv::Point2d, 4>& corners_px, cv::Mat& picture);

// Corners of a square of this side around a centre, turned counter-clockwise as the viewer sees it.
std::array<cv::Point2d, 4> square_px(cv::Point2d centre, double side, double angle_deg);

}  // namespace reference
