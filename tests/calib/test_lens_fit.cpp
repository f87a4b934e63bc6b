// One lens from many pictures: right within its stated uncertainty, outliers named, poor material refused.
#include <cmath>
#include <map>

#include "calib/file_text.h"
#include "calib/lens_fit.h"
#include "calib/lens_jacobian.h"
#include "tests/calib/lens_sitting.h"
#include "tests/calib/sheet_scene.h"
#include "tests/catch.h"

using namespace calib;
using namespace lens_sitting;

namespace {

const cv::Size kSize(2304, 1296);

// Error' * covariance^-1 * error over the model's own parameters.
double chi_square(const vision::Lens& lens, const vision::Lens& truth, LensModel model) {
  const auto active = parameters_of(model);
  const int n = static_cast<int>(active.size());
  cv::Mat covariance(n, n, CV_64F), error(n, 1, CV_64F);
  for (int i = 0; i < n; ++i) {
    const auto a = active[static_cast<std::size_t>(i)];
    const double scale_a = standard_uncertainty(lens, a);
    error.at<double>(i) = (parameter(lens, a) - parameter(truth, a)) / scale_a;
    for (int k = 0; k < n; ++k) {
      const auto b = active[static_cast<std::size_t>(k)];
      covariance.at<double>(i, k) =
          (*lens.covariance)(static_cast<int>(a), static_cast<int>(b)) / (scale_a * standard_uncertainty(lens, b));
    }
  }
  cv::Mat weighted;
  REQUIRE(cv::solve(covariance, error, weighted, cv::DECOMP_CHOLESKY));
  return error.dot(weighted);
}

LensFitOptions fixed(LensModel model) {
  LensFitOptions options;
  options.model = model;
  return options;
}

}  // namespace

// Guarantees: the slopes that the adjustment climbs by, against differences.
TEST_CASE("the projection's slopes are those of the projection", "[lens]") {
  cv::RNG rng(1);
  const vision::Lens lens = random_lens(rng, LensModel::k1_k2_p1_p2_k3);
  const vision::CameraPose pose = random_poses(rng, lens, 1).front();
  const cv::Point2d p(71.0, -38.0);
  LensJacobian j;
  REQUIRE(lens_jacobian(lens, pose, p, j));
  const auto seen = [&](const vision::Lens& l, const vision::CameraPose& at) {
    return vision::image_from_board(l, at, {p.x, p.y, 0.0});
  };
  CHECK(cv::norm(j.image_px - seen(lens, pose)) < 1e-9);
  for (std::size_t i = 0; i < kLensParameters; ++i) {
    const double step = i < 4 ? 1e-3 : 1e-6;
    vision::Lens more = lens, less = lens;
    set_parameter(more, i, parameter(lens, i) + step);
    set_parameter(less, i, parameter(lens, i) - step);
    const cv::Point2d slope = (seen(more, pose) - seen(less, pose)) / (2.0 * step);
    CHECK_THAT(j.by_lens(0, static_cast<int>(i)), WithinAbs(slope.x, 1e-5 * (1.0 + std::abs(slope.x))));
    CHECK_THAT(j.by_lens(1, static_cast<int>(i)), WithinAbs(slope.y, 1e-5 * (1.0 + std::abs(slope.y))));
  }
  for (int i = 0; i < 6; ++i) {
    const double step = i < 3 ? 1e-6 : 1e-3;
    cv::Vec6d change = cv::Vec6d::all(0.0);
    change[i] = step;
    const cv::Point2d slope = (seen(lens, moved(pose, change)) - seen(lens, moved(pose, -change))) / (2.0 * step);
    CHECK_THAT(j.by_pose(0, i), WithinAbs(slope.x, 1e-5 * (1.0 + std::abs(slope.x))));
    CHECK_THAT(j.by_pose(1, i), WithinAbs(slope.y, 1e-5 * (1.0 + std::abs(slope.y))));
  }
}

// Guarantees: the stated covariance is that of the errors. The sum over 200 lenses of the chi-square of nine parameters
// has the mean 9 and the standard deviation sqrt(18 / 200) = 0.3 of its mean; the share within k = 2 is 95.45 %
// (normal distribution), of 1800 correlated parameters.
TEST_CASE("the errors of 200 lenses are as large as their stated uncertainty", "[lens][study][accuracy]") {
  cv::RNG rng(2024);
  double chi = 0.0;
  int within = 0, all = 0, lenses = 0;
  std::array<double, kLensParameters> square{};
  for (int i = 0; i < 200; ++i) {
    const vision::Lens truth = random_lens(rng, LensModel::k1_k2_p1_p2_k3);
    const auto pictures = sitting(rng, truth, random_poses(rng, truth, 9), 0.1);
    const LensFit fit = fit_lens(pictures, kSize, fixed(LensModel::k1_k2_p1_p2_k3));
    CAPTURE(i);
    REQUIRE(fit.fault == LensFault::none);
    ++lenses;
    chi += chi_square(fit.lens, truth, fit.model);
    for (std::size_t k = 0; k < kLensParameters; ++k) {
      const double standardised = (parameter(fit.lens, k) - parameter(truth, k)) / standard_uncertainty(fit.lens, k);
      square[k] += standardised * standardised / 200.0;
      within += std::abs(standardised) <= 2.0 ? 1 : 0;
      ++all;
    }
  }
  REQUIRE(lenses == 200);
  CAPTURE(chi / lenses, 100.0 * within / all);
  CHECK_THAT(chi / lenses, WithinAbs(9.0, 0.9));  // three standard deviations
  CHECK_THAT(100.0 * within / all, WithinAbs(95.45, 2.0));
  // Each alone: the mean of 200 squares has the standard deviation 0.1.
  for (const double mean_square : square) CHECK_THAT(mean_square, WithinAbs(1.0, 0.35));
}

// Guarantees: the model is chosen by what the pictures show. Example failure: always the fullest.
TEST_CASE("the distortion model is the simplest that the pictures call for", "[lens]") {
  cv::RNG rng(7);
  for (const LensModel model : {LensModel::none, LensModel::k1, LensModel::k1_k2, LensModel::k1_k2_p1_p2}) {
    std::map<LensModel, int> chosen;
    for (int i = 0; i < 5; ++i) {
      vision::Lens truth = random_lens(rng, model);
      // Coefficients that matter: at the picture's corner each moves a point by some pixels.
      if (model >= LensModel::k1) truth.distortion[0] = -0.15;
      if (model >= LensModel::k1_k2) truth.distortion[1] = 0.12;
      const LensFit fit = fit_lens(sitting(rng, truth, random_poses(rng, truth, 10), 0.1), kSize);
      REQUIRE(fit.fault == LensFault::none);
      REQUIRE(fit.scores.size() == kLensModels.size());
      ++chosen[fit.model];
      CHECK(fit.model >= model);  // never too simple
      for (std::size_t k = parameters_of(fit.model).size(); k < kLensParameters; ++k)
        CHECK(standard_uncertainty(fit.lens, k) == 0.0);
    }
    CAPTURE(name(model));
    CHECK(chosen[model] >= 3);
  }
}

// Guarantees: a picture taken while the sheet moved, and one with a bent sheet, are left out and named; the lens stays.
TEST_CASE("pictures that do not fit the others are left out by name", "[lens][outlier]") {
  cv::RNG rng(8);
  const vision::Lens truth = random_lens(rng, LensModel::k1_k2_p1_p2);
  std::vector<LensPicture> pictures = sitting(rng, truth, random_poses(rng, truth, 14), 0.1);
  for (std::size_t i = 0; i < pictures[3].image_px.size(); ++i)  // smeared by another way here and there
    pictures[3].image_px[i] += cv::Point2d(rng.gaussian(1.0), rng.gaussian(1.0));
  for (std::size_t i = 0; i < pictures[9].image_px.size(); ++i)  // bent: further out on one side
    pictures[9].image_px[i].x += 4e-4 * std::pow(pictures[9].in_sheet_mm[i].x, 2);
  const LensFit fit = fit_lens(pictures, kSize, fixed(LensModel::k1_k2_p1_p2));
  REQUIRE(fit.fault == LensFault::none);
  CHECK(fit.pictures == 12);
  for (std::size_t i = 0; i < fit.each.size(); ++i) {
    CAPTURE(i, fit.each[i].why, fit.each[i].rms_px);
    CHECK(fit.each[i].name == "picture " + std::to_string(i + 1));
    CHECK(fit.each[i].used == (i != 3 && i != 9));
    CHECK(fit.each[i].why.empty() == (i != 3 && i != 9));
  }
  CHECK(chi_square(fit.lens, truth, fit.model) < 26.1);  // 0.1 % of chi-square's distribution with 8 degrees lie beyond
  const double coordinates = 2.0 * static_cast<double>(fit.corners), fitted = 8.0 + 6.0 * 12.0;
  CHECK_THAT(fit.rms_px, WithinRel(0.1 * std::sqrt(2.0 * (1.0 - fitted / coordinates)), 0.05));
}

// Guarantees: a few wrong corners cost themselves alone, not their picture.
TEST_CASE("single corners that are off do not count", "[lens][outlier]") {
  cv::RNG rng(9);
  const vision::Lens truth = random_lens(rng, LensModel::k1_k2);
  std::vector<LensPicture> pictures = sitting(rng, truth, random_poses(rng, truth, 10), 0.1);
  pictures[2].image_px[5] += cv::Point2d(0.0, 9.0);
  pictures[6].image_px[11] += cv::Point2d(-3.0, 2.0);
  const LensFit fit = fit_lens(pictures, kSize, fixed(LensModel::k1_k2));
  REQUIRE(fit.fault == LensFault::none);
  CHECK(fit.pictures == 10);
  CHECK_FALSE(fit.each[2].corner_used[5]);
  CHECK_FALSE(fit.each[6].corner_used[11]);
  CHECK(chi_square(fit.lens, truth, fit.model) < 22.5);  // 0.1 % with 6 degrees
}

TEST_CASE("material that holds no lens is refused with a reason", "[lens][refuse]") {
  cv::RNG rng(10);
  const vision::Lens truth = random_lens(rng, LensModel::k1_k2);
  const auto pictures = sitting(rng, truth, random_poses(rng, truth, 8), 0.1);
  CHECK(fit_lens({}, kSize).fault == LensFault::too_few_pictures);
  CHECK(fit_lens({pictures.begin(), pictures.begin() + 5}, kSize).fault == LensFault::too_few_pictures);

  // The sheet always square to the view: distance and focal length cannot be told apart.
  std::vector<vision::CameraPose> flat;
  for (int i = 0; i < 10; ++i)
    flat.push_back(sheet_scene::facing(300.0 + 20.0 * i, 0.0, 0.0, 36.0 * i, {}, {0.02 * i - 0.1, 0.0}));
  const LensFit too_flat = fit_lens(sitting(rng, truth, flat, 0.1), kSize);
  CHECK(too_flat.fault == LensFault::too_flat);
  CHECK_FALSE(too_flat.lens.covariance);
  CHECK_FALSE(advice(too_flat.fault).empty());
  // Each picture through another lens: the focus was not locked.
  std::vector<LensPicture> refocused;
  for (int i = 0; i < 10; ++i) {
    const vision::Lens other = random_lens(rng, LensModel::k1_k2);
    refocused.push_back(sitting(rng, other, random_poses(rng, other, 1), 0.1).front());
  }
  const LensFit mixed = fit_lens(refocused, kSize);
  CHECK((mixed.fault != LensFault::none || mixed.rms_px > 1.0));

  // Pictures with few corners, or with lists that differ, are named and left out.
  std::vector<LensPicture> some = pictures;
  some[1].image_px.resize(6);
  some[1].in_sheet_mm.resize(6);
  some[1].sigma_px.resize(6);
  some[4].in_sheet_mm.pop_back();
  LensPicture line;
  line.name = "line";
  for (int i = 0; i < 20; ++i) {
    line.in_sheet_mm.emplace_back(i, i);
    line.image_px.emplace_back(100.0 + i, 100.0 + 2.0 * i);
  }
  some.push_back(line);
  const LensFit fit = fit_lens(some, kSize, fixed(LensModel::k1_k2));
  CHECK(fit.fault == LensFault::none);
  CHECK(fit.pictures == 6);
  for (const std::size_t left_out : {1U, 4U, 8U}) {
    CHECK_FALSE(fit.each[left_out].used);
    CHECK_FALSE(fit.each[left_out].why.empty());
  }
}

// Guarantees: what the fit gives can be written to the station file, which checks the covariance.
TEST_CASE("the lens with its covariance goes into the station file and back", "[lens]") {
  cv::RNG rng(12);
  for (const LensModel model : kLensModels) {
    const vision::Lens truth = random_lens(rng, model);
    const LensFit fit = fit_lens(sitting(rng, truth, random_poses(rng, truth, 8), 0.1), kSize, fixed(model));
    REQUIRE(fit.fault == LensFault::none);
    vision::Station station;
    station.lens = fit.lens;
    const vision::Station back = station_from_text(text_of(station), "station.toml", StationNeeds::lens);
    for (std::size_t i = 0; i < kLensParameters; ++i)
      CHECK_THAT(standard_uncertainty(back.lens, i), WithinRel(standard_uncertainty(fit.lens, i), 1e-6));
  }
}

// Guarantees: a sheet printed too small changes distances alone, never the lens.
TEST_CASE("the print's scale does not touch the lens", "[lens]") {
  cv::RNG rng(13);
  const vision::Lens truth = random_lens(rng, LensModel::k1_k2);
  std::vector<LensPicture> pictures = sitting(rng, truth, random_poses(rng, truth, 8), 0.1);
  const LensFit printed = fit_lens(pictures, kSize, fixed(LensModel::k1_k2));
  for (LensPicture& picture : pictures)
    for (cv::Point2d& p : picture.in_sheet_mm) p *= 0.97;
  const LensFit scaled = fit_lens(pictures, kSize, fixed(LensModel::k1_k2));
  for (std::size_t i = 0; i < kLensParameters; ++i)
    CHECK_THAT(parameter(scaled.lens, i),
               WithinAbs(parameter(printed.lens, i), 1e-6 * (1.0 + std::abs(parameter(printed.lens, i)))));
  for (std::size_t i = 0; i < pictures.size(); ++i)
    CHECK_THAT(scaled.each[i].camera_from_sheet.translation_mm[2],
               WithinRel(0.97 * printed.each[i].camera_from_sheet.translation_mm[2], 1e-6));

  SeenChart chart;
  chart.corners.push_back({0, {10.0, 20.0}, 0.05});
  const LensPicture one = lens_picture(chart, "one", 0.97);
  CHECK_THAT(one.in_sheet_mm[0].x, WithinAbs(-0.97 * 87.5, 1e-12));  // seven half squares of 25 mm left of the centre
  CHECK_THAT(one.in_sheet_mm[0].y, WithinAbs(0.97 * 62.5, 1e-12));
}
