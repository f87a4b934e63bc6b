// The lens fit against published calibrations, from the published corners and from our own in the same photographs.
//
// Zhang: Z. Zhang, IEEE TPAMI 22(11), 2000, and his published result file; his table 1 with the standard deviations is
// from memory, but refits reproduce it to the printed digits (2 and 4 pictures) or nearly (5). His gamma, the axes'
// skew, is not in our model: 0.20 to 0.29 px, 3 of its own standard deviations. Bouguet: camera calibration toolbox,
// example 5, values after its stereo optimisation; the uncertainties are from memory, and are about three standard
// deviations.
#include <cmath>

#include "tests/catch.h"
#include "tests/reference/lens_data.h"
#include "tests/reference/shared_folder.h"

using namespace calib;
using namespace reference;

namespace {

const cv::Size kSize(640, 480);

struct Published {
  double value, sigma;
};

// fx fy cx cy k1 k2
using Zhang = std::array<Published, 6>;
constexpr Zhang kZhang2{
    {{830.47, 4.74}, {830.24, 4.85}, {307.03, 1.37}, {206.55, 0.93}, {-0.227, 0.006}, {0.194, 0.032}}};
constexpr Zhang kZhang4{
    {{831.81, 1.56}, {831.82, 1.55}, {304.53, 0.86}, {206.79, 0.78}, {-0.229, 0.005}, {0.195, 0.028}}};
// Values of the result file; its uncertainties as recomputed from his corners.
constexpr Zhang kZhang5{
    {{832.5, 1.41}, {832.53, 1.39}, {303.959, 0.71}, {206.585, 0.66}, {-0.228601, 0.0041}, {0.190353, 0.025}}};

LensFitOptions zhang_options(bool plain) {
  LensFitOptions options;
  options.model = LensModel::k1_k2;
  options.fewest_pictures = 2;
  options.robust = options.remove_pictures = !plain;
  return options;
}

std::vector<LensPicture> zhang_pictures(const std::filesystem::path& folder, int count, bool photographs,
                                        int* missing = nullptr) {
  std::vector<LensPicture> pictures;
  for (int i = 1; i <= count; ++i)
    pictures.push_back(photographs ? zhang_photograph(folder, i, missing) : zhang_corners(folder, i));
  return pictures;
}

void check_parameters(const vision::Lens& lens, const Zhang& published, double sigmas) {
  for (std::size_t i = 0; i < published.size(); ++i) {
    CAPTURE(i, parameter(lens, i), standard_uncertainty(lens, i));
    CHECK_THAT(parameter(lens, i), WithinAbs(published[i].value, sigmas * published[i].sigma));
  }
}

}  // namespace

// Guarantees: the same corners give the same least squares, from our own start. With two pictures he fixed gamma at 0
// as we do: every printed digit, and the standard deviations.
TEST_CASE("Zhang's corners of two pictures give his result to the printed digits", "[reference][lens]") {
  const auto folder = shared_folder("refdata/zhang");
  if (!folder) return;
  const LensFit fit = fit_lens(zhang_pictures(*folder, 2, false), kSize, zhang_options(true));
  REQUIRE(fit.fault == LensFault::none);
  constexpr std::array<double, 6> kLastDigit{0.01, 0.01, 0.01, 0.01, 0.001, 0.001};
  for (std::size_t i = 0; i < kZhang2.size(); ++i) {
    CAPTURE(i);
    CHECK_THAT(parameter(fit.lens, i), WithinAbs(kZhang2[i].value, kLastDigit[i]));
    CHECK_THAT(standard_uncertainty(fit.lens, i), WithinAbs(kZhang2[i].sigma, kLastDigit[i]));
  }
  CHECK_THAT(fit.rms_px, WithinAbs(0.295, 0.0006));
}

// Guarantees: with four and five pictures, where gamma makes a difference to him, all within his standard deviations.
TEST_CASE("Zhang's corners of four and five pictures give his result within his uncertainty", "[reference][lens]") {
  const auto folder = shared_folder("refdata/zhang");
  if (!folder) return;
  for (const bool plain : {true, false}) {
    CAPTURE(plain);
    const LensFit four = fit_lens(zhang_pictures(*folder, 4, false), kSize, zhang_options(plain));
    const LensFit five = fit_lens(zhang_pictures(*folder, 5, false), kSize, zhang_options(plain));
    REQUIRE(four.fault == LensFault::none);
    REQUIRE(five.fault == LensFault::none);
    CHECK(five.pictures == 5);
    check_parameters(four.lens, kZhang4, 1.0);
    check_parameters(five.lens, kZhang5, 1.0);
    CHECK_THAT(five.rms_px, WithinAbs(0.3364, 0.003));
  }
}

// Guarantees: our own corners in his photographs, of single squares in pictures that the camera sharpened, give his
// lens. Both sets of corners come from the same pixels, so twice his uncertainty is wide; and they scatter less.
TEST_CASE("our own corners in Zhang's photographs give his lens", "[reference][lens][photograph]") {
  const auto folder = shared_folder("refdata/zhang");
  if (!folder) return;
  int missing = 0;
  const std::vector<LensPicture> five = zhang_pictures(*folder, 5, true, &missing);
  CHECK(missing < 64);  // of 1280, those that fit no two blurred edges
  for (const bool plain : {true, false}) {
    const LensFit fit = fit_lens(five, kSize, zhang_options(plain));
    REQUIRE(fit.fault == LensFault::none);
    CHECK(fit.pictures == 5);
    check_parameters(fit.lens, kZhang5, 1.5);
    CHECK(fit.rms_px < 0.30);  // 0.336 with his
  }
  const LensFit two = fit_lens({five.begin(), five.begin() + 2}, kSize, zhang_options(false));
  REQUIRE(two.fault == LensFault::none);
  check_parameters(two.lens, kZhang2, 2.0);
}

namespace {

struct BouguetCamera {
  const char* side;
  std::array<Published, 4> pinhole;  // sigma: his uncertainty, about three standard deviations
};
constexpr BouguetCamera kBouguet[] = {
    {"left", {{{533.52331, 0.83147}, {533.52699, 0.84055}, {341.60376, 1.23937}, {235.19287, 1.2047}}}},
    {"right", {{{536.81377, 0.8786}, {536.47649, 0.85881}, {326.28657, 1.31005}, {250.10121, 1.2}}}}};

std::vector<LensPicture> bouguet_pictures(const std::filesystem::path& folder, const std::string& side,
                                          int half_window) {
  std::vector<LensPicture> pictures;
  for (const std::string& name : bouguet_names(side)) pictures.push_back(bouguet_photograph(folder, name, half_window));
  return pictures;
}

}  // namespace

// Guarantees: our own corners, outliers and choice of model lead to his focal lengths and centres, in both cameras; no
// picture of his is an outlier with corners that are right.
TEST_CASE("our own corners in Bouguet's photographs give his lenses", "[reference][lens][photograph]") {
  const auto folder = shared_folder("refdata/bouguet_stereo");
  if (!folder) return;
  for (const BouguetCamera& camera : kBouguet) {
    const LensFit fit = fit_lens(bouguet_pictures(*folder, camera.side, 0), kSize);
    CAPTURE(camera.side, fit.rms_px, name(fit.model));
    REQUIRE(fit.fault == LensFault::none);
    CHECK(fit.pictures == 13);
    CHECK(fit.corners >= 680);  // of 702
    CHECK(fit.model >= LensModel::k1_k2);
    CHECK(fit.rms_px < 0.17);  // 0.196 and 0.208 with cornerSubPix in 5 x 5
    for (std::size_t i = 0; i < 4; ++i) {
      CAPTURE(i, parameter(fit.lens, i), standard_uncertainty(fit.lens, i));
      CHECK_THAT(parameter(fit.lens, i), WithinAbs(camera.pinhole[i].value, camera.pinhole[i].sigma));
    }
  }
}

// Guarantees: the damage that the usual 11-pixel window does to one picture is noticed, and the picture named. With all
// corners counting alike the focal length is off by 3 px.
TEST_CASE("the picture that a wide corner window damages is named as the outlier", "[reference][lens][photograph]") {
  const auto folder = shared_folder("refdata/bouguet_stereo");
  if (!folder) return;
  const std::vector<LensPicture> damaged = bouguet_pictures(*folder, "left", 11);
  LensFitOptions plain;
  plain.model = LensModel::k1_k2_p1_p2;
  plain.robust = plain.remove_pictures = false;
  const LensFit harmed = fit_lens(damaged, kSize, plain);
  CHECK(harmed.lens.fx - kBouguet[0].pinhole[0].value > 2.5);

  const LensFit fit = fit_lens(damaged, kSize);
  REQUIRE(fit.fault == LensFault::none);
  for (const LensPictureFit& picture : fit.each) {
    CAPTURE(picture.name, picture.why);
    CHECK(picture.used == (picture.name != "left02"));
  }
  CHECK(fit.each[1].why.find("px off") != std::string::npos);
  for (std::size_t i = 0; i < 4; ++i)
    CHECK_THAT(parameter(fit.lens, i), WithinAbs(kBouguet[0].pinhole[i].value, 1.1 * kBouguet[0].pinhole[i].sigma));
}
