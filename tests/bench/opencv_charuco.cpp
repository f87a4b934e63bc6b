#include "tests/bench/opencv_charuco.h"

#include <opencv2/core/version.hpp>

#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
#include <opencv2/aruco/charuco.hpp>
#else
#include <opencv2/objdetect/charuco_detector.hpp>
#endif

namespace bench {
namespace {

const cv::Size kSquares(9, 7);
constexpr float kSquareMm = 25.0F, kMarkerMm = 18.0F;

auto dictionary() { return cv::aruco::getPredefinedDictionary(cv::aruco::DICT_5X5_100); }

SeenCharuco seen(const std::vector<std::vector<cv::Point2f>>& markers, const std::vector<int>& marker_ids,
                 const std::vector<cv::Point2f>& corners, const std::vector<int>& corner_ids) {
  SeenCharuco all;
  for (std::size_t i = 0; i < marker_ids.size(); ++i) {
    all.markers.push_back({marker_ids[i], {}});
    for (std::size_t k = 0; k < 4; ++k) all.markers.back().corners_px[k] = markers[i][k];
  }
  for (std::size_t i = 0; i < corner_ids.size(); ++i) all.corners.emplace_back(corner_ids[i], corners[i]);
  return all;
}

}  // namespace

#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7

namespace {
auto board() {
  return cv::aruco::CharucoBoard::create(kSquares.width, kSquares.height, kSquareMm, kMarkerMm, dictionary());
}
}  // namespace

cv::Mat drawn_charuco(int px_per_mm) {
  cv::Mat picture;
  board()->draw(kSquares * (static_cast<int>(kSquareMm) * px_per_mm), picture);
  return picture;
}

SeenCharuco find_charuco(const cv::Mat& grey) {
  const auto parameters = cv::aruco::DetectorParameters::create();
  parameters->cornerRefinementMethod = cv::aruco::CORNER_REFINE_SUBPIX;
  std::vector<std::vector<cv::Point2f>> markers;
  std::vector<cv::Point2f> corners;
  std::vector<int> marker_ids, corner_ids;
  cv::aruco::detectMarkers(grey, dictionary(), markers, marker_ids, parameters);
  cv::aruco::interpolateCornersCharuco(markers, marker_ids, grey, board(), corners, corner_ids);
  return seen(markers, marker_ids, corners, corner_ids);
}

#else

namespace {
auto board() { return cv::aruco::CharucoBoard(kSquares, kSquareMm, kMarkerMm, dictionary()); }
}  // namespace

cv::Mat drawn_charuco(int px_per_mm) {
  cv::Mat picture;
  board().generateImage(kSquares * (static_cast<int>(kSquareMm) * px_per_mm), picture);
  return picture;
}

SeenCharuco find_charuco(const cv::Mat& grey) {
  cv::aruco::DetectorParameters parameters;
  parameters.cornerRefinementMethod = cv::aruco::CORNER_REFINE_SUBPIX;
  const cv::aruco::CharucoDetector detector(board(), {}, parameters);
  std::vector<std::vector<cv::Point2f>> markers;
  std::vector<cv::Point2f> corners;
  std::vector<int> marker_ids, corner_ids;
  detector.detectBoard(grey, corners, corner_ids, markers, marker_ids);
  return seen(markers, marker_ids, corners, corner_ids);
}

#endif

}  // namespace bench
