#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>

#include "app/picture.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::load_picture;
using app::PictureFault;

constexpr int kWidth = 160, kHeight = 120;
const cv::Size kSize(kWidth, kHeight);

// Noise, so that every part of a file carries pixels.
cv::Mat colourful() {
  cv::Mat picture(kSize, CV_8UC3);
  cv::RNG random(7);
  random.fill(picture, cv::RNG::UNIFORM, 0, 255);
  cv::GaussianBlur(picture, picture, {5, 5}, 0);
  return picture;
}

std::string encoded(const cv::Mat& picture, const char* ending) {
  std::vector<unsigned char> bytes;
  REQUIRE(cv::imencode(ending, picture, bytes));
  return {bytes.begin(), bytes.end()};
}

PictureFault fault_of(const TemporaryFolder& folder, const std::string& bytes) {
  const app::Picture picture = load_picture(folder.put("frame", bytes), kSize);
  CHECK(picture.grey.empty() == (picture.fault != PictureFault::none));
  CHECK(picture.detail.empty() == (picture.fault == PictureFault::none));
  return picture.fault;
}

}  // namespace

// Guarantees: the pixels are those that OpenCV reads; our own way of unpacking changes no value.
TEST_CASE("pictures are read as OpenCV reads them", "[picture]") {
  const TemporaryFolder folder;
  cv::Mat grey;
  cv::cvtColor(colourful(), grey, cv::COLOR_BGR2GRAY);
  for (const char* ending : {".jpg", ".png"}) {
    for (const cv::Mat& picture : {colourful(), grey}) {
      const auto file = folder.put(std::string("frame") + ending, encoded(picture, ending));
      const app::Picture loaded = load_picture(file, kSize);
      INFO(loaded.detail);
      REQUIRE(loaded.fault == PictureFault::none);
      REQUIRE(loaded.grey.type() == CV_8UC1);
      CHECK(cv::norm(loaded.grey, cv::imread(file.string(), cv::IMREAD_GRAYSCALE), cv::NORM_INF) == 0.0);
    }
  }
}

TEST_CASE("what is no picture is named", "[picture][errors]") {
  const TemporaryFolder folder;
  CHECK(load_picture(folder.path / "none.jpg", kSize).fault == PictureFault::missing);
  CHECK(load_picture(folder.path / "none.jpg", kSize).detail ==
        (folder.path / "none.jpg").string() + " is not there; check its name");
  CHECK(load_picture(folder.path, kSize).fault == PictureFault::unreadable);
  CHECK(load_picture("/dev/zero", kSize).fault == PictureFault::unreadable);
  CHECK(fault_of(folder, "") == PictureFault::empty);
  CHECK(fault_of(folder, "BM some other kind of picture") == PictureFault::unreadable);
  CHECK(fault_of(folder, "\xff") == PictureFault::unreadable);
  CHECK(fault_of(folder, "\xff\xd8\xff") != PictureFault::none);
  CHECK(fault_of(folder, "\x89PNG\r\n\x1a\n") == PictureFault::truncated);
}

TEST_CASE("a picture of another size or depth is refused by name", "[picture][errors]") {
  const TemporaryFolder folder;
  const cv::Mat one(1, 1, CV_8UC1, cv::Scalar(9)), turned(kWidth, kHeight, CV_8UC1, cv::Scalar(9));
  for (const char* ending : {".jpg", ".png"}) {
    CHECK(fault_of(folder, encoded(one, ending)) == PictureFault::wrong_size);
    CHECK(fault_of(folder, encoded(turned, ending)) == PictureFault::wrong_size);
  }
  const std::string detail = load_picture(folder.put("f.png", encoded(one, ".png")), kSize).detail;
  CHECK(detail.find("is 1 x 1 pixels and the station's camera has 160 x 120; name a frame") != std::string::npos);
  CHECK(fault_of(folder, encoded(cv::Mat(kSize, CV_16UC1, cv::Scalar(4000)), ".png")) == PictureFault::sixteen_bit);
  CHECK(fault_of(folder, encoded(cv::Mat(kSize, CV_16UC3, cv::Scalar::all(4000)), ".png")) ==
        PictureFault::sixteen_bit);
}

TEST_CASE("where any size is welcome, a picture has its own", "[picture]") {
  const TemporaryFolder folder;
  for (const char* ending : {".jpg", ".png"}) {
    const app::Picture picture = load_picture(folder.put("frame", encoded(colourful(), ending)), {});
    INFO(picture.detail);
    CHECK(picture.fault == PictureFault::none);
    CHECK(picture.grey.size() == kSize);
  }
  std::string huge = encoded(colourful(), ".png");
  for (const std::size_t at : {16u, 20u}) huge.replace(at, 4, std::string("\x7f\xff\xff\xff", 4));  // width, height
  CHECK(load_picture(folder.put("huge", huge), {}).fault == PictureFault::damaged);
}

// Guarantees: a picture cut anywhere is no picture. Example failure: libjpeg fills the rest with grey and only warns.
TEST_CASE("a picture cut anywhere is refused", "[picture][errors]") {
  const TemporaryFolder folder;
  for (const char* ending : {".jpg", ".png"}) {
    const std::string whole = encoded(colourful(), ending);
    REQUIRE(fault_of(folder, whole) == PictureFault::none);
    for (std::size_t length = 1; length < whole.size(); length += 1 + whole.size() / 150) {
      INFO(ending << " cut to " << length << " of " << whole.size());
      CHECK(fault_of(folder, whole.substr(0, length)) != PictureFault::none);
    }
    CHECK(fault_of(folder, whole.substr(0, whole.size() / 2)) == PictureFault::truncated);
    CHECK(fault_of(folder, whole.substr(0, whole.size() - 1)) == PictureFault::truncated);
  }
}

// A transfer that lost its middle: both ends are there.
TEST_CASE("a picture with a hole is refused", "[picture][errors]") {
  const TemporaryFolder folder;
  for (const char* ending : {".jpg", ".png"}) {
    std::string holed = encoded(colourful(), ending);
    holed.erase(holed.size() / 2, holed.size() / 4);
    INFO(ending);
    const PictureFault fault = fault_of(folder, holed);
    CHECK((fault == PictureFault::damaged || fault == PictureFault::truncated));
  }
  std::string flipped = encoded(colourful(), ".png");
  flipped[flipped.size() / 2] = static_cast<char>(flipped[flipped.size() / 2] ^ 1);
  CHECK(fault_of(folder, flipped) == PictureFault::damaged);
}

TEST_CASE("any bytes give a picture or a fault", "[picture][fuzz]") {
  const TemporaryFolder folder;
  cv::RNG random(99);
  for (const char* ending : {".jpg", ".png"}) {
    const std::string whole = encoded(colourful(), ending);
    for (int round = 0; round < 400; ++round) {
      std::string bytes = whole;
      for (int damage = random.uniform(1, 6); damage > 0; --damage)
        bytes[static_cast<std::size_t>(random.uniform(0, damage % 2 ? 200 : static_cast<int>(bytes.size())))] =
            static_cast<char>(random.uniform(0, 256));
      const app::Picture picture = load_picture(folder.put("frame", bytes), kSize);
      if (picture.fault == PictureFault::none) {
        CHECK(picture.grey.size() == kSize);
        CHECK(picture.grey.type() == CV_8UC1);
      }
    }
  }
}

TEST_CASE("names of pictures", "[picture]") {
  CHECK(app::is_picture_name("a/b.jpg"));
  CHECK(app::is_picture_name("B.JPEG"));
  CHECK(app::is_picture_name("b.Png"));
  CHECK_FALSE(app::is_picture_name("b.txt"));
  CHECK_FALSE(app::is_picture_name("jpg"));
  for (int i = 0; i <= static_cast<int>(PictureFault::wrong_size); ++i)
    CHECK(name(static_cast<PictureFault>(i)) != "unknown");
}
