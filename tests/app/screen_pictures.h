// Comparing pictures of the screen, 8 bit BGR.
#pragma once

#include <opencv2/imgproc.hpp>

#include "app/screen/theme.h"

// Share of pixels that differ by more than a trace.
inline double difference(const cv::Mat& a, const cv::Mat& b) {
  cv::Mat d;
  cv::absdiff(a, b, d);
  cv::cvtColor(d, d, cv::COLOR_BGR2GRAY);
  return static_cast<double>(cv::countNonZero(d > 24)) / static_cast<double>(d.total());
}

// Where a colour stands, nearly pure.
inline cv::Mat where(const cv::Mat& bgr, app::Colour c) {
  cv::Mat mask;
  cv::inRange(bgr, cv::Scalar(c.b - 6, c.g - 6, c.r - 6), cv::Scalar(c.b + 6, c.g + 6, c.r + 6), mask);
  return mask;
}
