// Teaching from plainly drawn rings: flat greys, no shading, one ring without a second around it.
#include <cmath>
#include <stdexcept>

#include "calib/outline_check.h"
#include "calib/outline_shapes.h"
#include "calib/teach_frame.h"
#include "calib/teach_ring.h"
#include "tests/catch.h"
#include "tests/vision/drawn_ring.h"

using namespace calib;
using vision::Side;

namespace {

// The drawn rings have no wall below their rim: a ring as flat as a printed one.
const vision::Pose2 kPlace{{9.0, -6.0}, 0.12};

TeachOutcome teach(const cv::Mat& picture, double rim_height_mm = 11.0) {
  return teach_ring(picture, test_scene::station(), test_scene::camera_pose(), rim_height_mm);
}

double off_outline(const std::vector<cv::Point2d>& outline, const std::vector<cv::Point2d>& truth) {
  double worst = 0.0;
  for (const cv::Point2d& p : outline) {
    double least = 1e9;
    for (std::size_t i = 0; i < truth.size(); ++i) {
      const cv::Point2d a = truth[i], d = truth[(i + 1) % truth.size()] - a;
      const double share = std::clamp((p - a).dot(d) / d.dot(d), 0.0, 1.0);
      least = std::min(least, cv::norm(p - a - share * d));
    }
    worst = std::max(worst, least);
  }
  return worst;
}

cv::Mat drawn(const vision::Hoop& hoop, const vision::Pose2& place = kPlace) {
  return test_scene::draw(hoop, place, test_scene::Look{});
}

// One picture of a rectangle, taught once for all tests that change it.
struct Taught {
  vision::Hoop hoop = test_scene::hoop(62.0, 84.0, 24.0);
  cv::Mat picture = drawn(hoop);
  TaughtRing ring = teach(picture).ring.value();
};
const Taught& taught() {
  static const Taught one;
  return one;
}

cv::Point2d on_picture(cv::Point2d p_in_hoop, double below_mm) {
  const vision::PlaneView view(test_scene::station().lens, test_scene::camera_pose(), 11.0 - below_mm, kPlace);
  return view.image(p_in_hoop);
}

}  // namespace

// Guarantees: outlines to 0.15 mm, origin and north of the hoop as drawn. Example failure: the doubled notch is not
// seen, and north is the side away from the operator.
TEST_CASE("a drawn ring is taught as it was drawn", "[teach]") {
  struct Case {
    vision::Hoop hoop;
    RingShape shape;
  };
  vision::Hoop oval = test_scene::hoop(52.0, 76.0, 20.0);
  oval.inner_mm = ellipse_outline(52.0, 76.0);
  oval.outer_mm = ellipse_outline(57.0, 81.0);
  const std::vector<Case> cases{{test_scene::hoop(70.0, 70.0, 70.0), RingShape::round}, {oval, RingShape::oval}};
  for (const Case& c : cases) {
    CAPTURE(name(c.shape));
    // North to the right in the picture.
    const vision::Pose2 place{{9.0, -6.0}, 0.12 - vision::kPi / 2.0};
    const TeachOutcome outcome = teach(drawn(c.hoop, place));
    CHECK(outcome.fault == TeachFault::none);
    REQUIRE(outcome.ring);
    const TaughtRing& ring = *outcome.ring;
    CHECK(ring.shape == c.shape);
    CHECK(ring.north_certain);
    CHECK(off_outline(ring.hoop.inner_mm, c.hoop.inner_mm) < 0.25);
    CHECK(off_outline(ring.hoop.outer_mm, c.hoop.outer_mm) < 0.15);
    const vision::Pose2 off = vision::compose(vision::inverse(place), ring.board_from_hoop);
    CHECK(cv::norm(off.origin_mm) < 0.06);
    CHECK(std::abs(off.angle_rad) < 0.1 * vision::kRadPerDeg);
    for (std::size_t k = 0; k < 4; ++k) {
      CHECK(ring.notch_found[k]);
      CHECK(ring.hoop.notches[k].side == vision::kSides[k]);
      CHECK(ring.hoop.notches[k].teeth == (k == 0 ? 2 : 1));
      CHECK(cv::norm(ring.hoop.notches[k].at_mm - c.hoop.notches[k].at_mm) < 0.25);
    }
  }
}

TEST_CASE("the rectangle that the next tests change is taught", "[teach]") {
  const TaughtRing& ring = taught().ring;
  CHECK(ring.shape == RingShape::rectangle);
  CHECK(ring.north_certain);
  CHECK(ring.seen_share > 0.95);
  CHECK(off_outline(ring.hoop.inner_mm, taught().hoop.inner_mm) < 0.25);
  CHECK(off_outline(ring.hoop.outer_mm, taught().hoop.outer_mm) < 0.15);
  // A ring of its own, without another one around it, is told to be looked at.
  CHECK(ring.doubts.size() == 1);
  CHECK(fault_of_outline(ring.hoop.inner_mm).message.empty());
  CHECK(fault_of_outline(ring.hoop.outer_mm).message.empty());
  CHECK(fault_of_ring(ring.hoop.inner_mm, ring.hoop.outer_mm).message.empty());
}

TEST_CASE("an empty board, a board with two rings and a ring cut off are told", "[teach][errors]") {
  const vision::Station station = test_scene::station();
  const cv::Size size(station.lens.width_px, station.lens.height_px);
  cv::Mat noise(size, CV_8UC1);
  cv::RNG random(3);
  random.fill(noise, cv::RNG::NORMAL, 120.0, 2.0);
  CHECK(teach(noise).fault == TeachFault::no_ring);

  const vision::Hoop small = test_scene::hoop(45.0, 45.0, 45.0);
  cv::Mat two = drawn(small, {{-95.0, 0.0}, 0.0});
  const cv::Mat right = drawn(small, {{90.0, 12.0}, 0.3});
  const cv::Rect half(size.width / 2, 0, size.width - size.width / 2, size.height);
  right(half).copyTo(two(half));
  CHECK(teach(two).fault == TeachFault::several_rings);

  const TeachOutcome cut = teach(drawn(test_scene::hoop(70.0, 70.0, 70.0), {{20.0, 135.0}, 0.0}));
  CAPTURE(static_cast<int>(cut.fault));
  CHECK(cut.fault == TeachFault::ring_cut_off);
}

TEST_CASE("a hand over a part of the ring is told", "[teach][errors]") {
  cv::Mat covered = taught().picture.clone();
  const cv::Point2d at = on_picture({62.0, 30.0}, 0.0);
  cv::ellipse(covered, cv::Point(at), cv::Size(260, 120), 20.0, 0.0, 360.0, cv::Scalar(150), cv::FILLED, cv::LINE_AA);
  const TeachOutcome outcome = teach(covered);
  CHECK(outcome.fault == TeachFault::ring_covered);
}

TEST_CASE("pictures of another kind and heights out of reason are refused", "[teach][errors]") {
  CHECK_THROWS_AS(teach(cv::Mat(100, 100, CV_8UC1, cv::Scalar(0))), std::invalid_argument);
  CHECK_THROWS_AS(teach(cv::Mat(1296, 2304, CV_8UC3, cv::Scalar::all(0))), std::invalid_argument);
  CHECK_THROWS_AS(teach(taught().picture, 0.0), std::invalid_argument);
  CHECK_THROWS_AS(teach(taught().picture, std::nan("")), std::invalid_argument);
  // The drawn picture has no board marks.
  CHECK(teach_ring(taught().picture, test_scene::station()).fault == TeachFault::no_board);
  for (int fault = 0; fault <= static_cast<int>(TeachFault::notches_missing); ++fault)
    CHECK(sentence(static_cast<TeachFault>(fault)).size() > 20);
}

// Hand-computed: with east named north, what lay to the east lies to the north, and to the north to the west.
TEST_CASE("naming another side north turns the hoop frame", "[teach][sign]") {
  const TaughtRing& ring = taught().ring;
  const TaughtRing turned = with_north(ring, Side::east);
  CHECK_THAT(turned.hoop.notches[0].at_mm.y, WithinAbs(ring.hoop.notches[1].at_mm.x, 1e-9));
  CHECK_THAT(turned.hoop.notches[3].at_mm.x, WithinAbs(-ring.hoop.notches[0].at_mm.y, 1e-9));
  CHECK(turned.hoop.notches[3].teeth == 2);
  CHECK(turned.hoop.notches[0].side == Side::north);
  for (std::size_t k = 0; k < 4; ++k) {
    const cv::Point2d before = vision::apply(ring.board_from_hoop, ring.hoop.notches[k].at_mm);
    const cv::Point2d after = vision::apply(turned.board_from_hoop, turned.hoop.notches[(k + 3) % 4].at_mm);
    CHECK(cv::norm(before - after) < 1e-9);
  }
  const TaughtRing back = with_north(turned, Side::west);
  CHECK(cv::norm(back.hoop.inner_mm.front() - ring.hoop.inner_mm.front()) < 1e-9);
}

TEST_CASE("a notch that is put near a groove snaps to it, and one put elsewhere stays", "[teach]") {
  const auto& [hoop, picture, ring] = taught();
  const auto put = [&](cv::Point2d p_in_hoop) {
    return with_notch(ring, picture, test_scene::station(), test_scene::camera_pose(), Side::east,
                      on_picture(p_in_hoop, 0.0));
  };
  const TaughtRing snapped = put({62.5, 1.8});
  CHECK(cv::norm(snapped.hoop.notches[1].at_mm - ring.hoop.notches[1].at_mm) < 0.1);
  CHECK(snapped.doubts.empty());
  // 20 mm up the side: the line to the west notch tilts, and the frame with it.
  const TaughtRing moved = put({62.0, 20.0});
  const cv::Point2d east = vision::apply(moved.board_from_hoop, moved.hoop.notches[1].at_mm);
  CHECK(cv::norm(east - vision::apply(kPlace, {62.0, 20.0})) < 0.4);
  CHECK(std::abs(moved.hoop.notches[0].at_mm.cross(moved.hoop.notches[2].at_mm)) < 1.0);
  const cv::Point2d turned =
      vision::apply(vision::compose(vision::inverse(ring.board_from_hoop), moved.board_from_hoop), {1.0, 0.0}) -
      vision::compose(vision::inverse(ring.board_from_hoop), moved.board_from_hoop).origin_mm;
  CHECK(turned.y > 0.05);
}

TEST_CASE("an outline follows the point that it is dragged through", "[teach]") {
  const auto& [hoop, picture, ring] = taught();
  const auto drag = [&](bool inner, cv::Point2d p_in_hoop) {
    return with_outline_point(ring, picture, test_scene::station(), test_scene::camera_pose(), inner,
                              on_picture(p_in_hoop, inner ? 0.4 : 0.8));
  };
  // Back to the edge that is there.
  CHECK(off_outline(drag(false, {67.3, 10.0}).hoop.outer_mm, hoop.outer_mm) < 0.15);
  // Where nothing is, the outline bends there and nowhere else.
  const TaughtRing bent = drag(false, {71.0, 10.0});
  CHECK(off_outline({{71.0, 10.0}}, bent.hoop.outer_mm) < 0.3);
  CHECK(off_outline({{-67.0, 10.0}}, bent.hoop.outer_mm) < 0.15);
  const TaughtRing wider = drag(true, {63.0, 10.0});
  CHECK(off_outline({{63.0, 10.0}, {-63.0, 10.0}}, wider.hoop.inner_mm) < 0.3);
  CHECK_THAT(wider.hoop.notches[3].at_mm.x, WithinAbs(-63.0, 0.3));
  // No outline crosses the other one.
  CHECK(drag(true, {75.0, 10.0}).hoop.inner_mm == ring.hoop.inner_mm);
}

// The same picture from a rim that is higher by 2 mm in 655 mm: smaller by 2 / 644.
TEST_CASE("at another rim height the ring is rescaled", "[teach]") {
  const TaughtRing& ring = taught().ring;
  const TaughtRing higher = with_rim_height(ring, test_scene::station(), test_scene::camera_pose(), 13.0);
  CHECK(higher.hoop.rim_height_mm == 13.0);
  const double scale = 1.0 - 2.0 / 644.0;
  CHECK_THAT(higher.hoop.outer_mm.front().x / ring.hoop.outer_mm.front().x, WithinAbs(scale, 2e-4));
  CHECK(higher.hoop.notches[0].teeth == 2);
  const TaughtRing back = with_rim_height(higher, test_scene::station(), test_scene::camera_pose(), 11.0);
  CHECK(cv::norm(back.hoop.outer_mm.front() - ring.hoop.outer_mm.front()) < 0.01);
}

TEST_CASE("a taught ring becomes a hoop file of a rim that the cloth lifts", "[teach]") {
  const vision::Hoop hoop = hoop_file_from(taught().ring, "my hoop", {}, 1.2);
  CHECK(hoop.name == "my hoop");
  CHECK_THAT(hoop.rim_height_mm, WithinAbs(12.2, 1e-12));
  CHECK(hoop.cloth_height_mm == 1.2);
  CHECK_FALSE(hoop.field_is_round);
  // 124 x 168 mm of opening, 5 mm free on all sides.
  CHECK(hoop.field_mm == cv::Size2d(110.0, 155.0));
  CHECK(hoop_file_from(taught().ring, "x", {100.0, 100.0}).field_mm == cv::Size2d(100.0, 100.0));
}

TEST_CASE("north can be told where no turn of the ring looks the same", "[teach]") {
  TaughtRing ring = taught().ring;
  CHECK(north_can_be_told(ring));
  for (vision::Notch& notch : ring.hoop.notches) notch.teeth = 1;
  CHECK_FALSE(north_can_be_told(ring));
  ring.hoop.notches[0].teeth = ring.hoop.notches[2].teeth = 2;
  CHECK_FALSE(north_can_be_told(ring));  // a rectangle turned by half
  ring.hoop.notches[1].teeth = 2;
  CHECK(north_can_be_told(ring));
}

// Guarantees: the frame follows its definition where the notches are not on the axes, and a single stray does not move
// it.
TEST_CASE("the hoop frame is laid through the notches", "[teach][sign]") {
  TaughtRing ring;
  ring.shape = RingShape::rectangle;
  ring.hoop.inner_mm = rounded_rectangle(120.0, 160.0, 20.0);
  ring.hoop.outer_mm = rounded_rectangle(130.0, 170.0, 25.0);
  const auto grooves = [](double north_x, double east_y, double south_x, double west_y) {
    return std::array<GrooveAt, 4>{GrooveAt{true, {north_x, 80.0}, 2, 0.1}, GrooveAt{true, {60.0, east_y}, 1, 0.1},
                                   GrooveAt{true, {south_x, -80.0}, 1, 0.1}, GrooveAt{true, {-60.0, west_y}, 1, 0.1}};
  };
  TaughtRing on_axes = ring;
  lay_frame(on_axes, grooves(0.2, -0.2, 0.1, 0.3), true);
  CHECK(cv::norm(on_axes.board_from_hoop.origin_mm) == 0.0);
  CHECK(on_axes.hoop.notches[0].at_mm == cv::Point2d(0.0, 80.0));
  CHECK(on_axes.doubts.empty());

  TaughtRing stray = ring;
  lay_frame(stray, grooves(0.1, 4.0, 0.0, 0.0), true);
  CHECK(cv::norm(stray.board_from_hoop.origin_mm) == 0.0);
  CHECK_FALSE(stray.notch_found[1]);
  CHECK(stray.doubts.size() == 1);

  TaughtRing moved = ring;
  lay_frame(moved, grooves(3.0, 2.0, 3.0, 2.0), true);
  CHECK(cv::norm(moved.board_from_hoop.origin_mm - cv::Point2d(3.0, 2.0)) < 1e-9);
  CHECK_THAT(moved.board_from_hoop.angle_rad, WithinAbs(0.0, 1e-12));
  CHECK(cv::norm(moved.hoop.notches[0].at_mm - cv::Point2d(0.0, 78.0)) < 1e-9);
  CHECK(moved.doubts.size() == 1);
}
