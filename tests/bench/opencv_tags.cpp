#include "tests/bench/opencv_tags.h"

#include <opencv2/core/version.hpp>

#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7
#include <opencv2/aruco.hpp>
#else
#include <opencv2/objdetect/aruco_detector.hpp>
#endif

namespace bench {
namespace {

auto predefined(TagDictionary dictionary) {
  return cv::aruco::getPredefinedDictionary(dictionary == TagDictionary::april_36h11 ? cv::aruco::DICT_APRILTAG_36h11
                                                                                     : cv::aruco::DICT_6X6_250);
}

PeerTags peer_tags(const std::vector<int>& ids, const std::vector<std::vector<cv::Point2f>>& corners) {
  PeerTags tags(ids.size());
  for (std::size_t i = 0; i < ids.size(); ++i) {
    tags[i].id = ids[i];
    for (std::size_t k = 0; k < 4; ++k) tags[i].corners_px[k] = corners[i][k];
  }
  return tags;
}

constexpr int kModulesAcross = 8;  // of both dictionaries: 6 x 6 bits and a border of one module

}  // namespace

#if CV_VERSION_MAJOR == 4 && CV_VERSION_MINOR < 7

struct OpencvTags::State {
  cv::Ptr<cv::aruco::Dictionary> dictionary;
  cv::Ptr<cv::aruco::DetectorParameters> parameters = cv::aruco::DetectorParameters::create();
};

OpencvTags::OpencvTags(TagDictionary dictionary) : state_(new State{predefined(dictionary)}) {
  state_->parameters->cornerRefinementMethod = cv::aruco::CORNER_REFINE_SUBPIX;
}

PeerTags OpencvTags::detect(const cv::Mat& grey) const {
  std::vector<int> ids;
  std::vector<std::vector<cv::Point2f>> corners;
  cv::aruco::detectMarkers(grey, state_->dictionary, corners, ids, state_->parameters);
  return peer_tags(ids, corners);
}

cv::Mat OpencvTags::drawn(int id) const {
  cv::Mat picture;
  cv::aruco::drawMarker(state_->dictionary, id, kModulesAcross, picture);
  return picture;
}

#else

struct OpencvTags::State {
  cv::aruco::Dictionary dictionary;
  cv::aruco::ArucoDetector detector;
};

namespace {

cv::aruco::DetectorParameters subpixel() {
  cv::aruco::DetectorParameters parameters;
  parameters.cornerRefinementMethod = cv::aruco::CORNER_REFINE_SUBPIX;
  return parameters;
}

}  // namespace

OpencvTags::OpencvTags(TagDictionary dictionary)
    : state_(new State{predefined(dictionary), cv::aruco::ArucoDetector(predefined(dictionary), subpixel())}) {}

PeerTags OpencvTags::detect(const cv::Mat& grey) const {
  std::vector<int> ids;
  std::vector<std::vector<cv::Point2f>> corners;
  state_->detector.detectMarkers(grey, corners, ids);
  return peer_tags(ids, corners);
}

cv::Mat OpencvTags::drawn(int id) const {
  cv::Mat picture;
  cv::aruco::generateImageMarker(state_->dictionary, id, kModulesAcross, picture);
  return picture;
}

#endif

OpencvTags::~OpencvTags() = default;
OpencvTags::OpencvTags(OpencvTags&&) noexcept = default;

}  // namespace bench
