#include "calib/chart_markers.h"

#include <opencv2/core/version.hpp>
#include <opencv2/imgproc.hpp>

#include "calib/chart.h"
// The detector moved from the contrib module aruco to objdetect in OpenCV 4.7, and changed its interface.
#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
#include <opencv2/aruco.hpp>
#else
#include <opencv2/objdetect/aruco_detector.hpp>
#endif

namespace calib {
namespace {

using Corners = std::vector<std::vector<cv::Point2f>>;

// Wide windows see the solid borders of large markers, narrow ones the small markers of a sheet far away.
void set_parameters(cv::aruco::DetectorParameters& parameters) {
  parameters.adaptiveThreshWinSizeMin = 7;
  parameters.adaptiveThreshWinSizeMax = 47;
  parameters.adaptiveThreshWinSizeStep = 20;
  parameters.minMarkerPerimeterRate = 0.02;
  parameters.cornerRefinementMethod = cv::aruco::CORNER_REFINE_NONE;
}

#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7

void detect(const cv::Mat& grey, Corners& corners, std::vector<int>& ids) {
  const auto dictionary = cv::aruco::getPredefinedDictionary(cv::aruco::DICT_5X5_100);
  const auto parameters = cv::aruco::DetectorParameters::create();
  set_parameters(*parameters);
  cv::aruco::detectMarkers(grey, dictionary, corners, ids, parameters);
}

#else

void detect(const cv::Mat& grey, Corners& corners, std::vector<int>& ids) {
  cv::aruco::DetectorParameters parameters;
  set_parameters(parameters);
  const cv::aruco::ArucoDetector detector(cv::aruco::getPredefinedDictionary(cv::aruco::DICT_5X5_100), parameters);
  detector.detectMarkers(grey, corners, ids);
}

#endif

// In a large picture markers are looked for at half its size, which takes a quarter of the time, and at full size where
// that shows few: they may be small.
constexpr int kLargeWidthPx = 1600;
constexpr std::size_t kFew = 6;

std::vector<ChartMarker> detect(const cv::Mat& grey) {
  Corners corners;
  std::vector<int> ids;
  detect(grey, corners, ids);
  std::vector<ChartMarker> markers;
  for (std::size_t i = 0; i < ids.size(); ++i) {
    if (ids[i] < 0 || ids[i] >= kChartMarkers || corners[i].size() != 4) continue;
    ChartMarker marker;
    marker.id = ids[i];
    for (std::size_t k = 0; k < 4; ++k) marker.corners_px[k] = corners[i][k];
    markers.push_back(marker);
  }
  return markers;
}

}  // namespace

std::vector<ChartMarker> find_chart_markers(const cv::Mat& grey) {
  CV_Assert(grey.type() == CV_8UC1);
  if (grey.cols < kLargeWidthPx) return detect(grey);
  cv::Mat half;
  cv::resize(grey, half, {}, 0.5, 0.5, cv::INTER_AREA);
  std::vector<ChartMarker> markers = detect(half);
  if (markers.size() < kFew) return detect(grey);
  // The centre of a pixel of the half picture is the corner between four.
  for (ChartMarker& marker : markers)
    for (cv::Point2d& corner : marker.corners_px) corner = corner * 2.0 + cv::Point2d(0.5, 0.5);
  return markers;
}

}  // namespace calib
