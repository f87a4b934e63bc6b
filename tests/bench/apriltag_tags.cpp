#include "tests/bench/apriltag_tags.h"

#include <apriltag/apriltag.h>
#include <apriltag/tag36h11.h>

namespace bench {
namespace {

struct FamilyDeleter {
  void operator()(apriltag_family_t* family) const { tag36h11_destroy(family); }
};
struct DetectorDeleter {
  void operator()(apriltag_detector_t* detector) const { apriltag_detector_destroy(detector); }
};
using Family = std::unique_ptr<apriltag_family_t, FamilyDeleter>;

// libapriltag puts the centre of the top-left pixel at (0.5, 0.5). It lists corners counter-clockwise as seen, from the
// official picture's bottom-left; the official picture stands upside down against OpenCV's, so that its corners
// 1, 0, 3, 2 are our top-left, top-right, bottom-right, bottom-left.
PeerTag in_our_convention(const apriltag_detection_t& detection) {
  PeerTag tag;
  tag.id = detection.id;
  constexpr std::array<std::size_t, 4> theirs{1, 0, 3, 2};
  for (std::size_t k = 0; k < 4; ++k)
    tag.corners_px[k] = {detection.p[theirs[k]][0] - 0.5, detection.p[theirs[k]][1] - 0.5};
  return tag;
}

}  // namespace

struct ApriltagTags::State {
  Family family{tag36h11_create()};
  std::unique_ptr<apriltag_detector_t, DetectorDeleter> detector{apriltag_detector_create()};
};

ApriltagTags::ApriltagTags(float decimate, bool refine_edges) : state_(new State) {
  apriltag_detector_add_family(state_->detector.get(), state_->family.get());
  state_->detector->nthreads = 1;
  state_->detector->quad_decimate = decimate;
  state_->detector->refine_edges = refine_edges;
}

ApriltagTags::~ApriltagTags() = default;
ApriltagTags::ApriltagTags(ApriltagTags&&) noexcept = default;

PeerTags ApriltagTags::detect(const cv::Mat& grey) const {
  image_u8_t image{grey.cols, grey.rows, static_cast<int32_t>(grey.step), grey.data};
  zarray_t* detections = apriltag_detector_detect(state_->detector.get(), &image);
  PeerTags tags;
  for (int i = 0; i < zarray_size(detections); ++i) {
    apriltag_detection_t* detection = nullptr;
    zarray_get(detections, i, static_cast<void*>(&detection));
    tags.push_back(in_our_convention(*detection));
  }
  apriltag_detections_destroy(detections);
  return tags;
}

cv::Mat official_picture(int id) {
  const Family family{tag36h11_create()};
  const int across = family->width_at_border;
  cv::Mat picture(across, across, CV_8UC1, cv::Scalar(0));
  for (uint32_t bit = 0; bit < family->nbits; ++bit) {
    const bool white = (family->codes[id] >> (family->nbits - 1 - bit)) & 1U;
    if (white) picture.at<uchar>(static_cast<int>(family->bit_y[bit]), static_cast<int>(family->bit_x[bit])) = 255;
  }
  return picture;
}

int official_count() {
  const Family family{tag36h11_create()};
  return static_cast<int>(family->ncodes);
}

}  // namespace bench
