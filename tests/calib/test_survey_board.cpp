#include <algorithm>
#include <cmath>
#include <set>

#include "calib/survey_board.h"
#include "tests/calib/survey_scene.h"
#include "tests/catch.h"

using namespace survey_scene;
using calib::BoardSurvey;
using calib::MarkFault;
using calib::PictureUse;
using calib::survey_board;
using calib::SurveyedMark;

namespace {

const SurveyedMark& mark_of(const BoardSurvey& survey, int id) {
  const auto at = std::find_if(survey.marks.begin(), survey.marks.end(),
                               [id](const SurveyedMark& mark) { return mark.mark.id == id; });
  REQUIRE(at != survey.marks.end());
  return *at;
}

// x mm, y mm, angle rad: found minus true.
cv::Vec3d error(const SurveyedMark& found, const TrueMark& truth) {
  return {found.mark.x_mm - truth.mark.x_mm, found.mark.y_mm - truth.mark.y_mm,
          vision::wrapped_rad((found.mark.angle_deg - truth.mark.angle_deg) * vision::kRadPerDeg)};
}

std::set<int> faulty(const BoardSurvey& survey) {
  std::set<int> ids;
  for (const SurveyedMark& mark : survey.marks)
    if (!mark.in_use()) ids.insert(mark.mark.id);
  return ids;
}

void check_marks(const BoardSurvey& survey, const Scene& truth, double limit_mm, double limit_deg) {
  for (const TrueMark& mark : truth.marks) {
    const SurveyedMark& found = mark_of(survey, mark.mark.id);
    if (!found.in_use()) continue;
    const cv::Vec3d off = error(found, mark);
    INFO("mark " << mark.mark.id << " off by " << off[0] << ", " << off[1] << " mm, " << off[2] << " rad; stated "
                 << found.mark.u_mm << " mm");
    CHECK(std::hypot(off[0], off[1]) <= limit_mm);
    CHECK(std::abs(off[2]) * vision::kDegPerRad <= limit_deg);
  }
}

}  // namespace

// Guarantees: exact corners give every mark back to the last digit, with one picture as with five, at any print scale.
// Example failure: the paper's thickness put below the board, or the print scale applied to the sheet and not the
// marks.
TEST_CASE("exact corners give the marks and the camera exactly", "[survey]") {
  for (const int sheets : {1, 2, 5}) {
    for (const double print_scale : {1.0, 0.97}) {
      std::mt19937 random(3);
      Scene truth = scene(random, sheets);
      truth.print_scale = print_scale;
      truth.corner_sigma_px = truth.tag_sigma_px = 0.0;
      const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, print_scale);
      INFO(sheets << " pictures, print scale " << print_scale);
      REQUIRE(survey.marks_in_use() == 6);
      CHECK(survey.cameras == 1);
      check_marks(survey, truth, 1e-5, 1e-5);
      CHECK(survey.rms_px < 1e-5);
      const calib::CameraPlace camera = calib::camera_place(survey.camera_from_board);
      CHECK_THAT(camera.x_mm, WithinAbs(truth.cameras.back().x_mm, 1e-4));
      CHECK_THAT(camera.height_mm, WithinAbs(truth.cameras.back().height_mm, 1e-4));
      CHECK_THAT(camera.tilt_x_deg, WithinAbs(truth.cameras.back().tilt_x_deg, 1e-5));
    }
  }
}

// Guarantees: the frame's signs, by hand. Example failure: the y axis points to the operator.
TEST_CASE("the board frame is the sheet's first position", "[survey][sign]") {
  std::mt19937 random(4);
  Scene truth = scene(random, 1, 4);
  truth.cameras[0] = {0.0, 0.0, 650.0, 0.0, 0.0, 0.0};
  truth.marks[0].mark = {400, -190.0, 140.0, 0.0, 30.0};  // to the left, away from the operator: up left in the picture
  truth.marks[1].mark = {401, 190.0, 140.0, 30.0, 30.0};  // turned counter-clockwise
  const calib::SurveyPicture seen = picture(truth, 0, random);
  REQUIRE(seen.tags[0].corners_px[0].x < truth.lens.cx);
  REQUIRE(seen.tags[0].corners_px[0].y < truth.lens.cy);
  REQUIRE(seen.tags[1].corners_px[1].y < seen.tags[1].corners_px[0].y);  // its right side went up
  const BoardSurvey survey = survey_board({seen}, truth.lens, 1.0);
  CHECK_THAT(mark_of(survey, 400).mark.x_mm, WithinAbs(-190.0, 0.3));
  CHECK_THAT(mark_of(survey, 400).mark.y_mm, WithinAbs(140.0, 0.3));
  CHECK_THAT(mark_of(survey, 401).mark.angle_deg, WithinAbs(30.0, 0.1));
}

// Guarantees: places to 0.1 mm and 0.05 deg, and a stated uncertainty that is that of the errors, over a hundred boards
// with unflat sheets and marks. The sum of the squared standardised errors of all marks together is chi-square
// distributed; its mean over the surveys is known to sqrt(2 / (n dof)). Example failure: a covariance without the share
// of the sheets' flatness, which is the larger part.
TEST_CASE("a hundred synthetic surveys scatter as stated", "[survey][covariance]") {
  constexpr int kSurveys = 100;
  for (const int sheets : {1, 4}) {
    std::mt19937 random(1000 + static_cast<unsigned>(sheets));
    double chi2 = 0.0, dof = 0.0, place_squares = 0.0, stated_squares = 0.0;
    int within = 0, all = 0, good = 0;
    for (int i = 0; i < kSurveys; ++i) {
      Scene truth = scene(random, sheets);
      make_unflat(truth, random);
      const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
      REQUIRE(survey.marks_in_use() == 6);
      cv::Mat1d off(18, 1);
      for (int m = 0; m < 6; ++m) {
        const auto at = static_cast<std::size_t>(m);
        const cv::Vec3d e = error(survey.marks[at], truth.marks[at]);
        for (int k = 0; k < 3; ++k) off(3 * m + k, 0) = e[k];
        const double way = std::hypot(e[0], e[1]);
        within += way <= survey.marks[at].mark.u_mm ? 1 : 0;
        good += way <= 0.1 && std::abs(e[2]) * vision::kDegPerRad <= 0.05 ? 1 : 0;
        place_squares += e[0] * e[0] + e[1] * e[1];
        stated_squares += survey.marks[at].covariance(0, 0) + survey.marks[at].covariance(1, 1);
        ++all;
      }
      cv::Mat1d solved;
      REQUIRE(cv::solve(survey.covariance, off, solved, cv::DECOMP_CHOLESKY));
      chi2 += off.dot(solved);
      dof += 18.0;
    }
    INFO(sheets << " pictures: chi2/dof " << chi2 / dof << ", errors " << std::sqrt(place_squares / all)
                << " mm, stated " << std::sqrt(stated_squares / all) << " mm, within U " << within << " of " << all
                << ", within 0.1 mm and 0.05 deg " << good);
    CHECK_THAT(chi2 / dof, WithinAbs(1.0, 4.0 * std::sqrt(2.0 / dof)));
    CHECK(within >= 0.93 * all);
    if (sheets > 1) CHECK(good >= 0.9 * all);
  }
}

// Guarantees: on a flat board with flat marks every mark of every survey is within 0.1 mm and 0.05 deg of the truth.
TEST_CASE("on a flat board every mark is within 0.1 mm and 0.05 deg", "[survey]") {
  std::mt19937 random(2000);
  for (int i = 0; i < 100; ++i) {
    const Scene truth = scene(random, 2 + i % 4, 4 + i % 4);
    const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
    REQUIRE(faulty(survey).empty());
    check_marks(survey, truth, 0.1, 0.05);
  }
}

// Guarantees: the lens's uncertainty is in the marks' too. Truth is photographed with lenses drawn from the covariance
// that the survey is told. Example failure: a chi-square far above 1 because the lens is taken for exact.
TEST_CASE("an uncertain lens widens the stated uncertainty as far as it moves the marks", "[survey][covariance]") {
  constexpr int kSurveys = 60;
  std::mt19937 random(77);
  vision::Lens told = lens();
  const std::array<double, 9> u{1.5, 1.5, 1.2, 1.2, 0.003, 0.01, 1e-4, 1e-4, 0.01};
  cv::Matx<double, 9, 9> covariance = cv::Matx<double, 9, 9>::zeros();
  for (int i = 0; i < 9; ++i) covariance(i, i) = u[static_cast<std::size_t>(i)] * u[static_cast<std::size_t>(i)];
  told.covariance = covariance;
  double with = 0.0, without = 0.0;
  for (int i = 0; i < kSurveys; ++i) {
    Scene truth = scene(random, 3);
    make_unflat(truth, random);
    double* const parameters[] = {&truth.lens.fx, &truth.lens.fy, &truth.lens.cx, &truth.lens.cy};
    for (std::size_t k = 0; k < 9; ++k) (k < 4 ? *parameters[k] : truth.lens.distortion[k - 4]) += normal(random, u[k]);
    const std::vector<calib::SurveyPicture> seen = pictures(truth, random);
    vision::Lens exact = told;
    exact.covariance.reset();
    for (const bool knows : {true, false}) {
      const BoardSurvey survey = survey_board(seen, knows ? told : exact, 1.0);
      REQUIRE(survey.marks_in_use() == 6);
      cv::Mat1d off(18, 1), solved;
      for (int k = 0; k < 18; ++k)
        off(k, 0) =
            error(survey.marks[static_cast<std::size_t>(k / 3)], truth.marks[static_cast<std::size_t>(k / 3)])[k % 3];
      REQUIRE(cv::solve(survey.covariance, off, solved, cv::DECOMP_CHOLESKY));
      (knows ? with : without) += off.dot(solved) / (18.0 * kSurveys);
    }
  }
  INFO("chi2/dof with the lens's covariance " << with << ", without " << without);
  // Where the lens makes the corners scatter as well, the scatter is counted again: the statement may be wide.
  CHECK(with < 1.0 + 4.0 * std::sqrt(2.0 / (18.0 * kSurveys)));
  CHECK(with > 0.5);
  CHECK(without > 1.3);
}

// Guarantees: a camera that was bumped between two pictures has its own pose, and the marks are none the worse; one
// that rested has one. Example failure: one camera forced on all, and every mark off by a millimetre.
TEST_CASE("a bumped camera is told from one that rested", "[survey][camera]") {
  std::mt19937 random(9);
  Scene truth = scene(random, 5);
  make_unflat(truth, random, 0.5);
  const BoardSurvey rested = survey_board(pictures(truth, random), truth.lens, 1.0);
  CHECK(rested.cameras == 1);
  check_marks(rested, truth, 0.1, 0.05);
  for (std::size_t i = 3; i < 5; ++i) {
    truth.cameras[i].x_mm += 4.0;
    truth.cameras[i].tilt_y_deg -= 0.6;
  }
  const BoardSurvey bumped = survey_board(pictures(truth, random), truth.lens, 1.0);
  CHECK(bumped.cameras == 2);
  CHECK(bumped.pictures[2].camera == 0);
  CHECK(bumped.pictures[3].camera == 1);
  CHECK(bumped.pictures[4].camera == 1);
  CHECK(faulty(bumped).empty());
  check_marks(bumped, truth, 0.1, 0.05);
  CHECK_THAT(calib::camera_place(bumped.camera_from_board).x_mm, WithinAbs(truth.cameras[4].x_mm, 1.0));
  // By less than a tenth of a millimetre on the board: still seen, still harmless.
  for (std::size_t i = 3; i < 5; ++i) truth.cameras[i] = truth.cameras[0];
  for (std::size_t i = 3; i < 5; ++i) truth.cameras[i].tilt_y_deg += 0.008;
  const BoardSurvey touched = survey_board(pictures(truth, random), truth.lens, 1.0);
  CHECK(touched.cameras == 2);
  check_marks(touched, truth, 0.1, 0.05);
}

// Guarantees: more pictures tell more. Example failure: an uncertainty that does not know how many pictures there were.
TEST_CASE("one picture works, with a larger uncertainty", "[survey]") {
  std::mt19937 random(10);
  Scene truth = scene(random, 5);
  make_unflat(truth, random);
  std::vector<calib::SurveyPicture> seen = pictures(truth, random);
  const BoardSurvey five = survey_board(seen, truth.lens, 1.0);
  seen.resize(1);
  const BoardSurvey one = survey_board(seen, truth.lens, 1.0);
  REQUIRE(one.marks_in_use() == 6);
  for (std::size_t m = 0; m < 6; ++m) {
    CHECK(one.marks[m].pictures == 1);
    CHECK(one.marks[m].mark.u_mm > 1.1 * five.marks[m].mark.u_mm);
    const cv::Vec3d off = error(one.marks[m], truth.marks[m]);
    CHECK(std::hypot(off[0], off[1]) <= 1.5 * one.marks[m].mark.u_mm);
  }
}

// Guarantees: each kind of bad mark is named, alone, and the others are as good as without it.
TEST_CASE("bad marks are found and named", "[survey][faults]") {
  std::mt19937 random(11);
  for (int bad = 0; bad < 6; ++bad) {
    const auto at = static_cast<std::size_t>(bad);
    Scene truth = scene(random, 4);
    make_unflat(truth, random, 0.5);
    SECTION("moved by 0.5 mm after the second picture, mark " + std::to_string(400 + bad)) {
      std::vector<calib::SurveyPicture> seen = pictures(truth, random);
      Scene later = truth;
      later.marks[at].mark.x_mm += 0.4;
      later.marks[at].mark.y_mm -= 0.3;
      for (std::size_t i = 3; i < 4; ++i) seen[i] = picture(later, i, random);
      const BoardSurvey survey = survey_board(seen, truth.lens, 1.0);
      CHECK(faulty(survey) == std::set<int>{400 + bad});
      CHECK(survey.marks[at].fault == MarkFault::moved);
      CHECK(survey.marks[at].moved_in == std::vector<int>{3});
      CHECK_THAT(survey.marks[at].moved_mm, WithinAbs(0.5, 0.1));
      CHECK(survey.cameras == 1);
      check_marks(survey, truth, 0.1, 0.05);
    }
    SECTION("moved by 40 mm, mark " + std::to_string(400 + bad)) {
      std::vector<calib::SurveyPicture> seen = pictures(truth, random);
      Scene later = truth;
      later.marks[at].mark.y_mm -= 40.0;
      for (std::size_t i = 2; i < 4; ++i) seen[i] = picture(later, i, random);
      const BoardSurvey survey = survey_board(seen, truth.lens, 1.0);
      CHECK(faulty(survey) == std::set<int>{400 + bad});
      CHECK(survey.marks[at].fault == MarkFault::moved);
      check_marks(survey, truth, 0.1, 0.05);
    }
    SECTION("curled, mark " + std::to_string(400 + bad)) {
      // Two neighbouring corners lift by 2 mm: the edge that leans on something.
      truth.marks[at].corner_height_mm = {0.0, 2.0, 2.0, 0.0};
      const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
      CHECK(faulty(survey) == std::set<int>{400 + bad});
      CHECK(survey.marks[at].fault == MarkFault::bent);
      check_marks(survey, truth, 0.1, 0.05);
    }
    SECTION("10 mm higher than the others, mark " + std::to_string(400 + bad)) {
      truth.marks[at].height_mm = 10.0;
      const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
      CHECK(faulty(survey) == std::set<int>{400 + bad});
      CHECK(survey.marks[at].fault == MarkFault::off_size);
      CHECK_THAT(survey.marks[at].height_mm, WithinAbs(10.0, survey.marks[at].u_height_mm));
      check_marks(survey, truth, 0.1, 0.05);
    }
    SECTION("there twice, mark " + std::to_string(400 + bad)) {
      TrueMark twin = truth.marks[at];
      twin.mark.x_mm *= 0.5;
      twin.mark.y_mm += 60.0;
      truth.marks.push_back(twin);
      const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
      truth.marks.pop_back();
      CHECK(faulty(survey) == std::set<int>{400 + bad});
      CHECK(survey.marks[at].fault == MarkFault::twice);
      check_marks(survey, truth, 0.1, 0.05);
    }
  }
}

// Guarantees: good boards are not accused. Example failure: limits so tight that every tenth survey names a sound mark.
TEST_CASE("marks stuck askew and usual unflatness are no faults", "[survey][faults]") {
  std::mt19937 random(12);
  for (int i = 0; i < 40; ++i) {
    Scene truth = scene(random, 1 + i % 5, 4 + i % 5);
    for (TrueMark& mark : truth.marks) mark.mark.angle_deg = uniform(random, -180, 180);
    make_unflat(truth, random);
    const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
    CHECK(faulty(survey).empty());
    CHECK(survey.cameras == 1);
  }
}

// Guarantees: a sheet with a wave or held off the board is seen. Example failure: the fit swallows it without a word.
TEST_CASE("a sheet that does not lie flat is told with its height", "[survey][faults]") {
  std::mt19937 random(13);
  Scene truth = scene(random, 4);
  truth.sheets[2].bend_mm = {0.9, 0.0, 0.0};  // its left and right edges stand up by 1.1 mm
  const BoardSurvey survey = survey_board(pictures(truth, random), truth.lens, 1.0);
  CHECK(faulty(survey).empty());
  CHECK_THAT(survey.pictures[2].highest_mm, WithinAbs(1.14, 0.3));
  CHECK(survey.pictures[1].highest_mm < 0.25);
  check_marks(survey, truth, 0.1, 0.05);
}

// Guarantees: a picture of another board, or with every mark moved, spoils nothing and is named.
TEST_CASE("a picture that fits none of the others is left out", "[survey][faults]") {
  std::mt19937 random(14);
  Scene truth = scene(random, 4);
  std::vector<calib::SurveyPicture> seen = pictures(truth, random);
  Scene other = scene(random, 4);
  for (TrueMark& mark : other.marks) mark.mark.x_mm *= uniform(random, 0.8, 0.95);
  seen[1] = picture(other, 1, random);
  const BoardSurvey survey = survey_board(seen, truth.lens, 1.0);
  CHECK(survey.pictures[1].use == PictureUse::disagrees);
  CHECK(survey.pictures[2].use == PictureUse::used);
  CHECK(faulty(survey).empty());
  check_marks(survey, truth, 0.1, 0.05);
  // The first picture is the bad one: the frame is that of the first good one.
  seen[0] = picture(other, 0, random);
  seen[1] = picture(truth, 1, random);
  CHECK(survey_board(seen, truth.lens, 1.0).pictures[0].use == PictureUse::disagrees);
}

TEST_CASE("corners that are grossly wrong pull nothing", "[survey][faults]") {
  std::mt19937 random(15);
  Scene truth = scene(random, 3);
  std::vector<calib::SurveyPicture> seen = pictures(truth, random);
  for (calib::SurveyPicture& one : seen) {
    one.chart.corners[5].image_px.x += 40.0;
    one.chart.corners[30].image_px.y -= 3.0;
  }
  const BoardSurvey survey = survey_board(seen, truth.lens, 1.0);
  CHECK(survey.pictures[0].corners == calib::kChartCorners - 2);
  check_marks(survey, truth, 0.1, 0.05);
}

TEST_CASE("what cannot be surveyed says why", "[survey][errors]") {
  std::mt19937 random(16);
  const Scene truth = scene(random, 2);
  CHECK_THROWS_AS(survey_board({}, truth.lens, 1.0), calib::SurveyError);
  std::vector<calib::SurveyPicture> seen = pictures(truth, random);
  seen[0].chart.corners.clear();
  seen[1].tags.clear();
  CHECK_THROWS_AS(survey_board(seen, truth.lens, 1.0), calib::SurveyError);
  // One of two without a sheet: the other is enough, and it is said.
  seen = pictures(truth, random);
  seen[0].chart.corners.resize(8);
  const BoardSurvey survey = survey_board(seen, truth.lens, 1.0);
  CHECK(survey.pictures[0].use == PictureUse::no_sheet);
  CHECK(survey.pictures[1].use == PictureUse::used);
  // Broken numbers and strange ids are passed over.
  seen = pictures(truth, random);
  for (calib::ChartCorner& corner : seen[0].chart.corners) corner.image_px.x = std::nan("");
  for (vision::SeenTag& tag : seen[1].tags) tag.id += 60;
  CHECK_THROWS_AS(survey_board(seen, truth.lens, 1.0), calib::SurveyError);
  // All corners on one line hold no camera.
  seen = pictures(truth, random);
  for (calib::SurveyPicture& one : seen)
    for (calib::ChartCorner& corner : one.chart.corners) corner.image_px.y = 500.0;
  CHECK_THROWS_AS(survey_board(seen, truth.lens, 1.0), calib::SurveyError);
}

// Guarantees: nonsense gives a SurveyError or a result, never another exception, a crash or an endless loop.
TEST_CASE("made-up corners never do worse than be refused", "[survey][errors]") {
  std::mt19937 random(17);
  const Scene truth = scene(random, 3);
  const std::vector<calib::SurveyPicture> sound = pictures(truth, random);
  int refused = 0;
  for (int i = 0; i < 150; ++i) {
    std::vector<calib::SurveyPicture> seen = sound;
    const double wild = i % 3 == 0 ? 1e4 : i % 3 == 1 ? 30.0 : 1.0;
    for (calib::SurveyPicture& one : seen) {
      for (calib::ChartCorner& corner : one.chart.corners) {
        if (uniform(random, 0, 1) < 0.3) corner.id = static_cast<int>(uniform(random, -5, 60));
        if (uniform(random, 0, 1) < 0.3) corner.image_px = noisy(corner.image_px, wild, random);
        if (i % 7 == 0) corner.image_px = {700.0, 700.0};
      }
      for (vision::SeenTag& tag : one.tags) {
        if (uniform(random, 0, 1) < 0.3) tag.id = static_cast<int>(uniform(random, 398, 452));
        if (uniform(random, 0, 1) < 0.3)
          for (cv::Point2d& corner : tag.corners_px) corner = noisy(corner, wild, random);
        if (i % 11 == 0) tag.corners_px.fill({500.0, 400.0});
        if (i % 13 == 0) tag.sigma_px = std::nan("");
      }
    }
    try {
      survey_board(seen, truth.lens, 1.0);
    } catch (const calib::SurveyError&) {
      ++refused;
    }
  }
  CHECK(refused > 0);
  CHECK(refused < 150);
}
