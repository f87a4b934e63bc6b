// The lens step and the command `hoopgauge lens`, on drawn photographs of the calibration sheet.
#include <cmath>
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/commands/lens.h"
#include "app/places.h"
#include "app/setup/lens_drawing.h"
#include "app/setup/lens_step.h"
#include "app/setup/lens_words.h"
#include "calib/file_text.h"
#include "calib/files.h"
#include "tests/calib/samples.h"
#include "tests/calib/sheet_scene.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

using namespace app;
namespace fs = std::filesystem;

namespace {

const vision::Lens kTruth{880, 640, 900.0, 901.0, 441.3, 315.8, {-0.12, 0.09, 0.0, 0.0, 0.0}, {}};

cv::Mat photograph(const vision::CameraPose& pose, double blur_px = 0.7) {
  cv::RNG rng(1);
  sheet_scene::Scene scene;
  scene.lens = kTruth;
  scene.camera_from_chart = pose;
  scene.blur_px = blur_px;
  return sheet_scene::photograph(scene, rng);
}

// A sitting: the sheet in the middle and in the four corners of the picture, tilted to all sides.
const std::vector<cv::Mat>& sitting() {
  static const std::vector<cv::Mat> pictures = [] {
    std::vector<cv::Mat> out;
    const double tilts[][2] = {{28, 0}, {-28, 0}, {0, 28}, {0, -28}, {20, 20}, {-20, -20}, {20, -20}, {-20, 20}};
    for (int i = 0; i < 8; ++i) {
      const double right = i % 2 == 0 ? 0.2 : -0.2, down = i % 4 < 2 ? 0.12 : -0.12;
      out.push_back(photograph(sheet_scene::facing(300.0 + 8.0 * i, tilts[i][0], tilts[i][1], 12.0 * i, {},
                                                   {i < 4 ? 0.3 * right : right, i < 4 ? 0.3 * down : down})));
    }
    return out;
  }();
  return pictures;
}

struct Shop {
  Shop() {
    fs::create_directory(folder.path / "lens");
    options.station_file = folder.path / "station.toml";
  }
  void write(const std::vector<cv::Mat>& pictures) {
    for (const cv::Mat& picture : pictures)
      cv::imwrite((folder.path / "lens" / (std::string("p").append(std::to_string(written++)) + ".png")).string(),
                  picture);
    options.frames = {(folder.path / "lens").string()};
  }
  int run() {
    std::ostringstream out_stream, err_stream;
    const int code = run_lens(options, out_stream, err_stream);
    out = out_stream.str();
    err = err_stream.str();
    return code;
  }

  TemporaryFolder folder;
  LensOptions options;
  std::string out, err;
  int written = 0;
};

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

// Guarantees: pictures in, a right lens out, what else stands in the station file untouched, the old file kept, and the
// stale survey told.
TEST_CASE("pictures of the sheet give the lens in the station file", "[lens][step]") {
  Shop shop;
  shop.write(sitting());
  shop.write({photograph(sheet_scene::facing(320.0), 3.5), cv::Mat(640, 880, CV_8UC1, cv::Scalar(90))});
  vision::Station before = calib::station_from_text(samples::kStation, "");
  before.print_scale = 0.97;
  calib::save_station(before, *shop.options.station_file);

  const int code = shop.run();
  CAPTURE(shop.out, shop.err);
  REQUIRE(code == 0);
  CHECK(has(shop.out, "p0.png: + Taken"));
  CHECK(has(shop.out, "p8.png: Not sharp"));
  CHECK(has(shop.out, "p9.png: Show the calibration sheet"));
  CHECK(has(shop.out, "in 8 pictures"));
  CHECK(has(shop.out, "survey it again with hoopgauge board"));

  const vision::Station after = calib::load_station(*shop.options.station_file);
  CHECK(after.print_scale == 0.97);
  CHECK(after.board_marks.size() == before.board_marks.size());
  REQUIRE(after.lens.covariance);
  CHECK(after.lens.width_px == kTruth.width_px);
  for (std::size_t i = 0; i < 4; ++i) {
    CAPTURE(i, calib::standard_uncertainty(after.lens, i));
    CHECK_THAT(calib::parameter(after.lens, i),
               WithinAbs(calib::parameter(kTruth, i), 4.0 * calib::standard_uncertainty(after.lens, i)));
    CHECK(calib::standard_uncertainty(after.lens, i) < 1.0);
  }
  int kept = 0;
  for (const auto& entry : fs::directory_iterator(shop.folder.path))
    kept += has(entry.path().filename().string(), "station.toml.") ? 1 : 0;
  CHECK(kept == 1);
  const cv::Mat picture = cv::imread((shop.folder.path / "lens.png").string());
  CHECK(picture.cols == 1600);
}

// Guarantees: nothing is written without a result, and the reason is told.
TEST_CASE("pictures that hold no lens write nothing", "[lens][step]") {
  Shop shop;
  shop.write({sitting()[0], sitting()[1], sitting()[2]});
  CHECK(shop.run() == 1);
  CHECK(has(shop.err, "too few pictures"));
  CHECK_FALSE(fs::exists(*shop.options.station_file));
  CHECK_FALSE(fs::exists(shop.folder.path / "lens.png"));

  shop.options.frames = {(shop.folder.path / "nothing").string()};
  CHECK(shop.run() == 2);
  shop.folder.put("station.toml", "[camera]\nwidth = 12\n");
  CHECK(shop.run() == 2);
  CHECK(has(shop.err, "station.toml:"));
}

TEST_CASE("the live step takes a still sheet by itself, marks what is done and takes back", "[lens][step]") {
  const TemporaryFolder folder;
  const auto step = make_lens_step({folder.path / "station.toml"});
  CHECK(step->title() == "Lens");
  CHECK_FALSE(step->undo());
  CHECK_THROWS_AS(step->finish(), StepError);
  const StepAdvice none = step->take(cv::Mat(640, 880, CV_8UC1, cv::Scalar(90)), 0.0, "");
  CHECK(has(none.sentence, "a lens that refocuses is another lens"));
  CHECK(none.progress == 0.0);
  CHECK_FALSE(none.marks.empty());

  StepAdvice advice;
  double time_s = 1.0;
  int frames = 0;
  for (; frames < 10 && !advice.taken; ++frames) advice = step->take(sitting()[0], time_s += 0.15, "");
  REQUIRE(advice.taken);
  CHECK(frames > 2);
  CHECK(advice.progress > 0.0);
  CHECK_FALSE(advice.complete);
  CHECK_FALSE(advice.enough);
  int found = 0, aim = 0;
  for (const StepMark& mark : advice.marks) {
    found += mark.kind == StepMark::Kind::found ? 1 : 0;
    aim += mark.kind == StepMark::Kind::aim ? 1 : 0;
  }
  CHECK(found == 1);
  CHECK(aim == 1);
  CHECK(step->take(sitting()[0], time_s += 0.15, "").headline == "Move the sheet");
  CHECK(step->take(cv::Mat(480, 640, CV_8UC1, cv::Scalar(90)), time_s += 0.15, "").headline == "Another picture size");
  CHECK(step->undo());
  CHECK_FALSE(step->undo());
}

TEST_CASE("parts and wishes are told in words", "[lens][step]") {
  calib::LensGuide guide({2304, 1296});
  CHECK(part_name(guide, 0) == "top far left");
  CHECK(part_name(guide, 2) == "top");
  CHECK(part_name(guide, 6) == "left");
  CHECK(part_name(guide, 7) == "middle");
  CHECK(part_name(guide, 14) == "bottom far right");
  CHECK(next_wish(guide) == "Bring the sheet to the top far left of the picture, its edge on the left further away.");
  const std::vector<std::string> details = details_of(guide);
  CHECK(details.front() == "0 pictures, at least 15");
  CHECK(details.back() == "The focus stays locked");
}

// Guarantees: the picture shows the residuals where and as they are. Example failure: x and y swapped.
TEST_CASE("the lens's picture draws arrows at their corners", "[lens][step]") {
  calib::LensFit fit;
  fit.lens = kTruth;
  fit.lens.width_px = 1600;
  fit.lens.height_px = 900;
  std::vector<calib::LensPicture> pictures(2);
  fit.each.resize(2);
  for (std::size_t i = 0; i < 2; ++i) {
    pictures[i].name = fit.each[i].name = i == 0 ? "first" : "second";
    pictures[i].image_px = {i == 0 ? cv::Point2d(400, 200) : cv::Point2d(1200, 700)};
    fit.each[i].used = i == 0;  // the other one was left out
    fit.each[i].residuals_px = {{0.2, 0.0}};
    fit.each[i].corner_used = {true};
  }
  const cv::Mat picture = draw_lens({fit, pictures, 4, 2, 0.1});
  REQUIRE(picture.type() == CV_8UC3);
  // Saturated colour in the frame: an arrow pointing right from the corner, none at the other.
  const double scale = 1140.0 / 1600.0;
  const auto coloured = [&](cv::Point2d image_px, cv::Rect around) {
    const cv::Rect where = around + cv::Point(cvRound(40.0 + scale * image_px.x), cvRound(120.0 + scale * image_px.y));
    int count = 0;
    for (int y = where.y; y < where.br().y; ++y)
      for (int x = where.x; x < where.br().x; ++x) {
        const cv::Vec3b p = picture.at<cv::Vec3b>(y, x);
        count += std::max({p[0], p[1], p[2]}) - std::min({p[0], p[1], p[2]}) > 120 ? 1 : 0;
      }
    return count;
  };
  CHECK(coloured({400, 200}, {4, -2, 14, 5}) > 14);
  CHECK(coloured({400, 200}, {-20, -2, 14, 5}) == 0);
  CHECK(coloured({400, 200}, {-2, 6, 5, 14}) == 0);
  CHECK(coloured({1200, 700}, {-20, -20, 40, 40}) == 0);
}
