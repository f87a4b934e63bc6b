// Real photographs with published detections. They are not kept with the code (share-alike licence): shared_folder.h.
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <sstream>

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/opencv_tags.h"
#include "tests/catch.h"
#include "tests/reference/shared_folder.h"
#include "vision/tag_finder.h"

using namespace bench;

namespace {

// Three photographs by NASA/KSC (CC BY-SA 2.0) and the detections that github AprilRobotics/apriltag @1c21707a
// test/data expects in them, READ; there with decimate 1, no edge refinement,
// within 0.1 px. They are the reference detector's
// own output, no surveyed truth.
struct Photograph {
  const char* name;
  std::size_t tags;
  std::size_t ours;  // of these, by our finder
};
// Most of these tags are far smaller or more slanted than any at a station (10 to 30 px a side; a sticker's have 36 and
// more): what our finder reaches is kept, so that it does not get worse. One of the first photograph is refused because
// it is bent over the edge of a box. For scale, OpenCV finds 11, 4 and 7.
constexpr Photograph kPhotographs[] = {
    {"33369213973_9d9bb4cc96_c", 12, 7}, {"34085369442_304b6bafd9_c", 25, 20}, {"34139872896_defdb2f8d9_c", 10, 7}};

PeerTags published(const std::filesystem::path& file) {
  std::ifstream in(file);
  PeerTags tags;
  for (std::string line; std::getline(in, line);) {
    for (char& c : line)
      if (c == ',' || c == '(' || c == ')') c = ' ';
    std::istringstream numbers(line);
    PeerTag tag;
    std::array<cv::Point2d, 4> p;
    if (!(numbers >> tag.id)) continue;
    for (cv::Point2d& corner : p) numbers >> corner.x >> corner.y;
    // Their corners 1, 0, 3, 2 are ours, their origin half a pixel off: apriltag_tags.cpp.
    tag.corners_px = {p[1], p[0], p[3], p[2]};
    for (cv::Point2d& corner : tag.corners_px) corner -= cv::Point2d(0.5, 0.5);
    tags.push_back(tag);
  }
  return tags;
}

double farthest_corner_px(const std::array<cv::Point2d, 4>& a, const std::array<cv::Point2d, 4>& b) {
  double farthest = 0.0;
  for (std::size_t k = 0; k < 4; ++k) farthest = std::max(farthest, cv::norm(a[k] - b[k]));
  return farthest;
}

// How many of the published tags have a tag of ours at the same place, within tolerance_px at every corner.
template <class Tags>
std::size_t found(const PeerTags& expected, const Tags& seen, double tolerance_px) {
  std::size_t count = 0;
  for (const PeerTag& e : expected) {
    for (const auto& s : seen) {
      if (s.id == e.id && farthest_corner_px(e.corners_px, s.corners_px) <= tolerance_px) {
        ++count;
        break;
      }
    }
  }
  return count;
}

}  // namespace

// Guarantees: libapriltag as linked here is the detector that its authors published, and our adapter undoes nothing
// else.
TEST_CASE("libapriltag finds its published tags in the photographs", "[reference][photographs]") {
  const auto folder = reference::shared_folder("refdata/apriltag36h11");
  if (!folder) return;
  for (const Photograph& photograph : kPhotographs) {
    CAPTURE(photograph.name);
    const PeerTags expected = published(*folder / (std::string(photograph.name) + ".txt"));
    REQUIRE(expected.size() == photograph.tags);
    const cv::Mat grey = cv::imread((*folder / (std::string(photograph.name) + ".jpg")).string(), cv::IMREAD_GRAYSCALE);
    REQUIRE_FALSE(grey.empty());
    CHECK(found(expected, ApriltagTags(1.0F, false).detect(grey), 0.15) == photograph.tags);  // 0.1 px in x and in y
  }
}

// Guarantees: our finder sees real tags where their publishers do, and sees none where there is none. A half turn or a
// wrong origin would be off by more than the tolerance.
TEST_CASE("our finder sees the published tags and no others", "[reference][photographs][tags]") {
  const auto folder = reference::shared_folder("refdata/apriltag36h11");
  if (!folder) return;
  constexpr double tolerance_px = 2.5;  // the published corners are unrefined, up to 2 px off on small slanted tags
  for (const Photograph& photograph : kPhotographs) {
    CAPTURE(photograph.name);
    const PeerTags expected = published(*folder / (std::string(photograph.name) + ".txt"));
    const cv::Mat grey = cv::imread((*folder / (std::string(photograph.name) + ".jpg")).string(), cv::IMREAD_GRAYSCALE);
    REQUIRE_FALSE(grey.empty());
    vision::Lens lens;
    lens.width_px = grey.cols;
    lens.height_px = grey.rows;
    lens.fx = lens.fy = 800.0;
    lens.cx = 0.5 * grey.cols;
    lens.cy = 0.5 * grey.rows;
    vision::TagFinder finder(lens);
    const std::vector<vision::SeenTag>& seen = finder.find(grey);
    const std::size_t agreeing = found(expected, seen, tolerance_px);
    CHECK(agreeing >= photograph.ours);
    CHECK(seen.size() == agreeing);
  }
}

// OpenCV's own test of its tutorial pictures: opencv_contrib modules/aruco/test/test_aruco_tutorial.cpp @101c4d85f5f4
// (Apache-2.0), READ: ids and corners, clockwise from the marker's own top-left, within 1 px.
// Guarantees: what we take for OpenCV's corner order is what OpenCV publishes, on a real photograph.
TEST_CASE("OpenCV's markers in its tutorial photographs are the published ones", "[reference][photographs]") {
  const auto folder = reference::shared_folder("refdata/aruco_tutorial");
  if (!folder) return;
  std::ifstream file(*folder / "gold.json");
  const nlohmann::json gold = nlohmann::json::parse(file);
  const std::string picture = "singlemarkersoriginal.jpg";
  const cv::Mat grey = cv::imread((*folder / picture).string(), cv::IMREAD_GRAYSCALE);
  REQUIRE_FALSE(grey.empty());
  PeerTags expected;
  for (const auto& [id, corners] : gold.at(picture).items()) {
    PeerTag tag;
    tag.id = std::stoi(id);
    for (std::size_t k = 0; k < 4; ++k)
      tag.corners_px[k] = {corners[2 * k].get<double>(), corners[2 * k + 1].get<double>()};
    expected.push_back(tag);
  }
  REQUIRE(expected.size() == 6);
  const PeerTags seen = OpencvTags(TagDictionary::aruco_6x6_250).detect(grey);
  CHECK(seen.size() == 6);
  CHECK(found(expected, seen, 1.5) == 6);  // 1 px in x and in y, with our sub-pixel corners
}
