#include "calib/chart.h"

#include <cstdint>
#include <opencv2/core/version.hpp>
#include <stdexcept>
// The dictionaries moved from the contrib module aruco to objdetect in OpenCV 4.7.
#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
#include <opencv2/aruco/dictionary.hpp>
#else
#include <opencv2/objdetect/aruco_dictionary.hpp>
#endif

namespace calib {
namespace {

constexpr int kBitsAcross = 5;

cv::Mat dictionary_bytes() {
#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
  return cv::aruco::getPredefinedDictionary(cv::aruco::DICT_5X5_100)->bytesList;
#else
  return cv::aruco::getPredefinedDictionary(cv::aruco::DICT_5X5_100).bytesList;
#endif
}

// Square in column c and row r, counted from the top left: is it black? The top-left one is.
bool is_black(int column, int row) { return (column + row) % 2 == 0; }

cv::Point2d from_top_left(double x, double y) {
  return {x - 0.5 * kChartColumns * kChartSquareMm, 0.5 * kChartRows * kChartSquareMm - y};
}

}  // namespace

cv::Point2d chart_corner_mm(int id) {
  if (id < 0 || id >= kChartCorners) throw std::out_of_range("the calibration sheet has corners 0 to 47");
  return from_top_left((1 + id % kChartCornerColumns) * kChartSquareMm,
                       (1 + id / kChartCornerColumns) * kChartSquareMm);
}

cv::Point2d chart_marker_mm(int id) {
  if (id < 0 || id >= kChartMarkers) throw std::out_of_range("the calibration sheet has markers 0 to 30");
  int seen = 0;
  for (int row = 0; row < kChartRows; ++row)
    for (int column = 0; column < kChartColumns; ++column)
      if (!is_black(column, row) && seen++ == id)
        return from_top_left((column + 0.5) * kChartSquareMm, (row + 0.5) * kChartSquareMm);
  throw std::logic_error("markers and white squares differ in number");
}

bool chart_marker_module_is_white(int id, int row, int column) {
  if (id < 0 || id >= kChartMarkers) throw std::out_of_range("the calibration sheet has markers 0 to 30");
  if (row < 1 || column < 1 || row > kBitsAcross || column > kBitsAcross) return false;
  static const cv::Mat bytes = dictionary_bytes();
  const cv::Mat bits = cv::aruco::Dictionary::getBitsFromByteList(bytes.rowRange(id, id + 1), kBitsAcross);
  return bits.at<std::uint8_t>(row - 1, column - 1) != 0;
}

}  // namespace calib
