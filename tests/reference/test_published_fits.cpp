// Worked examples of the literature, scored to the digits that were printed.
// READ: seen in a public text, which is named. FROM MEMORY: the printed result was not seen again; it is
// corroborated because an independent computation (numpy, scipy) gave the same digits.
#include <array>
#include <cmath>
#include <vector>

#include "tests/catch.h"
#include "vision/fits.h"

using namespace vision;

namespace {

const std::vector<cv::Point2d> kGanderEight{{1, 7}, {2, 6}, {5, 8}, {7, 7}, {9, 5}, {3, 7}, {6, 2}, {8, 4}};

}  // namespace

// S. Umeyama, "Least-squares estimation of transformation parameters between two point patterns", IEEE TPAMI
// 13(4):376-380 (1991), the example of Fig. 1. Point sets READ (a public test labelled with the paper); R, t and c FROM
// MEMORY. The second set is a mirror image of the first, so a fit that forgets the determinant returns a
// reflection. The paper's printed error figure is not used: it is not reproduced (mean square here 8/15).
TEST_CASE("Umeyama 1991: a proper rotation although the sets are mirrored", "[reference][fits]") {
  const std::vector<cv::Point2d> x{{0, 0}, {1, 0}, {0, 2}}, y{{0, 0}, {-1, 0}, {0, 2}};
  CHECK(fit_rigid(x, y).status == FitStatus::mirrored);

  const RigidFit fit = fit_rigid(x, y, {}, {.with_scale = true, .refuse_mirrored = false});
  REQUIRE(fit.status == FitStatus::ok);
  // R printed as [0.832 0.555; -0.555 0.832].
  CHECK_THAT(std::cos(fit.a_from_b.angle_rad), WithinAbs(0.832, 0.0005));
  CHECK_THAT(std::sin(fit.a_from_b.angle_rad), WithinAbs(-0.555, 0.0005));
  CHECK_THAT(fit.a_from_b.origin_mm.x, WithinAbs(-0.800, 0.0005));
  CHECK_THAT(fit.a_from_b.origin_mm.y, WithinAbs(0.400, 0.0005));
  CHECK_THAT(fit.scale, WithinAbs(0.721, 0.0005));
  // The closed form behind the print: R = [3 2; -2 3] / sqrt(13), c = 2.6 / sqrt(13), mean square 8 / 15.
  CHECK_THAT(fit.a_from_b.angle_rad, WithinAbs(-std::atan2(2.0, 3.0), 1e-12));
  CHECK_THAT(fit.scale, WithinAbs(2.6 / std::sqrt(13.0), 1e-12));
  CHECK_THAT(fit.rms * fit.rms, WithinAbs(8.0 / 15.0, 1e-12));
}

// The same sets without scale; values computed independently with numpy, not published.
TEST_CASE("Umeyama's sets without scale", "[reference][fits]") {
  const std::vector<cv::Point2d> x{{0, 0}, {1, 0}, {0, 2}}, y{{0, 0}, {-1, 0}, {0, 2}};
  const RigidFit fit = fit_rigid(x, y, {}, {.refuse_mirrored = false});
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.a_from_b.origin_mm.x, WithinAbs(-0.9804835623, 1e-9));
  CHECK_THAT(fit.a_from_b.origin_mm.y, WithinAbs(0.2968665358, 1e-9));
  CHECK_THAT(fit.rms * fit.rms, WithinAbs(0.6197549886826713, 1e-12));
}

// Procrustes example of W. Burger's imagingbook-public, ProcrustesFit2dTest.java at 7dd656c0 (BSD-2-Clause), READ:
// Q = P turned by 0.6 rad, scaled by 3.5, shifted by (4, -3) and rounded to one decimal; tolerances as there.
TEST_CASE("Burger's Procrustes example", "[reference][fits]") {
  const std::vector<cv::Point2d> p{{2, 5}, {7, 3}, {0, 9}, {5, 4}};
  std::vector<cv::Point2d> q;
  for (const cv::Point2d& point : p) {
    const cv::Point2d exact = apply(Pose2{{4, -3}, 0.6}, 3.5 * point);
    q.push_back({std::round(exact.x * 10.0) / 10.0, std::round(exact.y * 10.0) / 10.0});
  }
  const RigidFit fit = fit_rigid(p, q, {}, {.with_scale = true});
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.a_from_b.angle_rad, WithinAbs(0.6, 0.001));
  CHECK_THAT(fit.a_from_b.origin_mm.x, WithinAbs(4.0, 0.1));
  CHECK_THAT(fit.a_from_b.origin_mm.y, WithinAbs(-3.0, 0.1));
  CHECK_THAT(fit.scale, WithinAbs(3.5, 0.001));
  CHECK_THAT(fit.rms * std::sqrt(4.0), WithinAbs(0.048079, 5e-7));  // E: root of the summed squares
}

// W. Gander, G. H. Golub, R. Strebel, "Least-squares fitting of circles and ellipses", BIT 34:558-578 (1994), six-point
// circle. Points READ (CRAN conicfit, fit.ellipseLMG); that these six are the circle example, and the result, FROM
// MEMORY.
TEST_CASE("Gander, Golub and Strebel 1994: the geometric circle", "[reference][fits]") {
  const std::vector<cv::Point2d> six(kGanderEight.begin(), kGanderEight.begin() + 6);
  const CircleFit fit = fit_circle(six);
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.centre.x, WithinAbs(4.7398, 0.00005));
  CHECK_THAT(fit.centre.y, WithinAbs(2.9835, 0.00005));
  CHECK_THAT(fit.radius, WithinAbs(4.7142, 0.00005));
  CHECK_THAT(fit.rms * std::sqrt(6.0), WithinAbs(1.1079707, 1e-6));  // computed, not published
}

// The same paper's eight-point ellipse. Points READ as above; result FROM MEMORY.
TEST_CASE("Gander, Golub and Strebel 1994: the geometric ellipse", "[reference][fits]") {
  const EllipseFit fit = fit_ellipse(kGanderEight);
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.centre.x, WithinAbs(2.6996, 0.00005));
  CHECK_THAT(fit.centre.y, WithinAbs(3.8160, 0.00005));
  CHECK_THAT(fit.long_half_axis, WithinAbs(6.5187, 0.00005));
  CHECK_THAT(fit.short_half_axis, WithinAbs(3.0319, 0.00005));
  CHECK_THAT(fit.angle_rad, WithinAbs(0.3596, 0.00005));
  CHECK_THAT(fit.rms * std::sqrt(8.0), WithinAbs(1.1719, 0.00005));
}

// I. D. Coope, "Circle fitting by linear and nonlinear least squares", JOTA 76:381-388 (1993). Points READ (CRAN
// circular, data coope, documented as the paper's); result FROM MEMORY as quoted in the circle-fit literature.
TEST_CASE("Coope 1993: the geometric circle", "[reference][fits]") {
  const std::vector<cv::Point2d> points{{0.7, 4.0},  {3.3, 4.7},  {5.6, 4.0},  {7.5, 1.3},
                                        {6.4, -1.1}, {4.4, -3.0}, {0.3, -2.5}, {-1.1, 1.3}};
  const CircleFit fit = fit_circle(points);
  REQUIRE(fit.status == FitStatus::ok);
  CHECK_THAT(fit.centre.x, WithinAbs(3.043239, 1e-6));
  CHECK_THAT(fit.centre.y, WithinAbs(0.745678, 1e-6));
  CHECK_THAT(fit.radius, WithinAbs(4.105856, 1e-6));
}

// W. Burger, M. J. Burge, Digital Image Processing, 3rd ed., ch. 10, as in imagingbook-public
// OrthogonalLineFitEigenTest.java at 7dd656c0 (BSD-2-Clause), READ: A x + B y + C = 0.
TEST_CASE("Burger and Burge: the orthogonal line", "[reference][fits]") {
  const std::vector<cv::Point2d> points{{1, 8}, {4, 5}, {4, 7}, {6, 4}, {9, 4}};
  const LineFit fit = fit_line(points);
  REQUIRE(fit.status == FitStatus::ok);
  const double a = fit.direction.y, b = -fit.direction.x, c = -(a * fit.point.x + b * fit.point.y);
  CHECK_THAT(a, WithinAbs(-0.4968900437902618, 1e-12));
  CHECK_THAT(b, WithinAbs(-0.8678135078357052, 1e-12));
  CHECK_THAT(c, WithinAbs(7.244827854073206, 1e-12));
  CHECK_THAT(fit.rms * fit.rms * 5.0, WithinAbs(2.6645834350486606, 1e-12));
}
