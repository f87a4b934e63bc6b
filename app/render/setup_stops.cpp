#include "app/render/setup_stops.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

namespace app {
namespace {

cv::Matx33d turn(const cv::Vec3d& axis, double angle_rad) {
  cv::Matx33d rotation;
  const double c = std::cos(angle_rad), s = std::sin(angle_rad);
  const cv::Vec3d u = axis / std::max(cv::norm(axis), 1e-12);
  for (int row = 0; row < 3; ++row)
    for (int column = 0; column < 3; ++column)
      rotation(row, column) = (row == column ? c : 0.0) + (1.0 - c) * u[row] * u[column];
  rotation(0, 1) -= s * u[2], rotation(1, 0) += s * u[2];
  rotation(0, 2) += s * u[1], rotation(2, 0) -= s * u[1];
  rotation(1, 2) -= s * u[0], rotation(2, 1) += s * u[0];
  return rotation;
}

std::vector<cv::Point2d> corners_of(const cv::Rect2d& r) { return {r.tl(), {r.br().x, r.y}, r.br(), {r.x, r.br().y}}; }

// How a sheet is held: where its middle is in the picture, how large it looks, how it is tilted.
struct Hold {
  double across = 0.0, down = 0.0;           // -1 to 1: from one edge of the picture to the other
  double share = 0.4;                        // the sheet's width over the picture's
  double tilt_deg = 0.0, towards_deg = 0.0;  // angle from facing the camera, and the way it leans
  double roll_deg = 0.0;
};

PagePlace held_page(const vision::Lens& lens, const vision::CameraPose& camera_from_board, const cv::Rect2d& paper,
                    const Hold& hold) {
  const cv::Point2d image(0.5 * (lens.width_px - 1) * (1.0 + hold.across),
                          0.5 * (lens.height_px - 1) * (1.0 + hold.down));
  const cv::Point2d ray = vision::undistort(lens, image);
  const cv::Matx33d facing(1, 0, 0, 0, -1, 0, 0, 0, -1);
  const double towards = hold.towards_deg * vision::kRadPerDeg;
  const cv::Matx33d camera_from_page =
      turn({std::cos(towards), std::sin(towards), 0.0}, hold.tilt_deg * vision::kRadPerDeg) * facing *
      turn({0, 0, 1}, hold.roll_deg * vision::kRadPerDeg);
  const cv::Matx33d board_from_camera = camera_from_board.rotation.t();
  PagePlace place;
  place.rotation = board_from_camera * camera_from_page;
  // Nearer where it would go through the board.
  for (double depth = paper.width * lens.fx / (hold.share * lens.width_px); depth > 100.0; depth *= 0.97) {
    place.origin_mm = board_from_camera * (cv::Vec3d(ray.x, ray.y, 1.0) * depth - camera_from_board.translation_mm);
    double lowest = 1e9;
    for (const cv::Point2d& p : corners_of(paper))
      lowest = std::min(lowest, (place.rotation * cv::Vec3d(p.x, p.y, 0.0) + place.origin_mm)[2]);
    if (lowest > 4.0) break;
  }
  return place;
}

// One of nine parts of the picture; the second time further out, and leaning another way.
Hold in_part(int part, bool second, Random& random) {
  constexpr double kAcross[]{0.0, -1.0, 1.0}, kDown[]{0.0, -1.0, 1.0};
  Hold hold;
  hold.share = random.between(0.48, 0.58);
  hold.across = kAcross[part % 3] * (second ? 0.64 : 0.42);
  hold.down = kDown[part / 3] * (second ? 0.52 : 0.28);
  hold.tilt_deg = part == 0 && !second ? 3.0 : random.between(22.0, 38.0);
  hold.towards_deg = 100.0 * part + (second ? 45.0 : 0.0) + random.between(-15.0, 15.0);
  hold.roll_deg = random.between(-12.0, 12.0) + (second && part % 4 == 0 ? 180.0 : 0.0);
  return hold;
}

// Whether a flat thing with this outline leaves the marks' paper free and lies on the board.
bool is_free(const vision::Station& station, const std::vector<cv::Point2d>& outline, const vision::Pose2& pose) {
  const cv::Size2d board = Board{}.size_mm;
  std::vector<cv::Point2f> thing;
  for (const cv::Point2d& p : outline) {
    const cv::Point2d at = vision::apply(pose, p);
    if (std::abs(at.x) > board.width / 2.0 || std::abs(at.y) > board.height / 2.0) return false;
    thing.emplace_back(at);
  }
  cv::convexHull(std::vector<cv::Point2f>(thing), thing);
  for (const vision::BoardMark& mark : station.board_marks) {
    const double half = 0.75 * mark.size_mm;
    std::vector<cv::Point2f> paper, common;
    for (const cv::Point2d& p : corners_of({-half, -half, 2.0 * half, 2.0 * half}))
      paper.emplace_back(vision::apply({{mark.x_mm, mark.y_mm}, mark.angle_deg * vision::kRadPerDeg}, p));
    cv::convexHull(std::vector<cv::Point2f>(paper), paper);
    if (cv::intersectConvexConvex(thing, paper, common) > 0.0F) return false;
  }
  return true;
}

// As near to the wanted place as is free, put down by hand: never quite there.
vision::Pose2 put_down(const vision::Station& station, const std::vector<cv::Point2d>& outline, cv::Point2d wanted_mm,
                       double wanted_deg, Random& random) {
  constexpr double kOffMm = 4.0, kOffDeg = 2.0;
  for (double share = 1.0; share > 0.0; share -= 0.02) {
    const cv::Point2d off(random.between(-kOffMm, kOffMm), random.between(-kOffMm, kOffMm));
    const vision::Pose2 pose{wanted_mm * share + off,
                             (wanted_deg + random.between(-kOffDeg, kOffDeg)) * vision::kRadPerDeg};
    if (is_free(station, outline, pose)) return pose;
  }
  throw std::invalid_argument("the board marks leave no room for the sheet or the hoop; place them nearer to the rim");
}

struct Wanted {
  double x_mm, y_mm, angle_deg;
};

}  // namespace

PagePlace lying_page(const vision::Pose2& board_from_page) {
  PagePlace place;
  place.rotation = turn({0, 0, 1}, board_from_page.angle_rad);
  place.origin_mm = {board_from_page.origin_mm.x, board_from_page.origin_mm.y, 0.1};
  return place;
}

std::vector<SetupStop> lens_stops(const vision::Lens& lens, const vision::CameraPose& camera_from_board,
                                  const cv::Rect2d& paper, Random& random) {
  std::vector<Hold> holds;
  for (int part = 0; part < 9; ++part) holds.push_back(in_part(part, false, random));
  // Beyond the picture's corners, where a lens bends most; near, filling the picture; upright; then the sides again.
  for (const int corner : {4, 5, 7, 8}) holds.push_back(in_part(corner, true, random));
  for (int i = 0; i < 3; ++i)
    holds.push_back({0.2 * (i - 1), random.between(-0.1, 0.1), random.between(0.75, 0.85), random.between(15.0, 30.0),
                     120.0 * i + 30.0, random.between(-6.0, 6.0)});
  for (int i = 0; i < 3; ++i)
    holds.push_back({0.55 * (i - 1), random.between(-0.15, 0.15), 0.48, random.between(25.0, 38.0), 120.0 * i - 60.0,
                     90.0 + random.between(-10.0, 10.0)});
  for (const int side : {0, 1, 2, 3, 6}) holds.push_back(in_part(side, true, random));
  std::vector<SetupStop> stops;
  for (const Hold& hold : holds) stops.push_back({held_page(lens, camera_from_board, paper, hold), {}});
  return stops;
}

std::vector<SetupStop> board_stops(const vision::Station& station, const cv::Rect2d& paper, Random& random) {
  constexpr Wanted kPlaces[]{{0, 0, 0}, {22, 30, -5}, {-65, -25, 90}, {70, 25, -90}, {-20, -30, 180}};
  std::vector<SetupStop> stops;
  for (const Wanted& at : kPlaces)
    stops.push_back({lying_page(put_down(station, corners_of(paper), {at.x_mm, at.y_mm}, at.angle_deg, random)), {}});
  return stops;
}

std::vector<SetupStop> proof_stops(const vision::Station& station, const cv::Rect2d& paper, Random& random) {
  const cv::Point2d kPlaces[]{{0, 0}, {-72, 42}, {72, 42}, {72, -42}, {-72, -42}};
  std::vector<SetupStop> stops;
  for (int time = 0; time < 2; ++time)
    for (const cv::Point2d& at : kPlaces)
      for (const double angle_deg : {0.0, 180.0})
        stops.push_back({lying_page(put_down(station, corners_of(paper), at, angle_deg, random)), {}});
  return stops;
}

std::vector<SetupStop> teach_stops(const vision::Station& station, const vision::Hoop& hoop, Random& random) {
  constexpr Wanted kPlaces[]{{0, 0, 0}, {70, 35, 12}, {-70, -35, -14}, {10, 40, 22}};
  std::vector<SetupStop> stops;
  for (const Wanted& at : kPlaces)
    stops.push_back({{}, put_down(station, hoop.outer_mm, {at.x_mm, at.y_mm}, at.angle_deg, random)});
  return stops;
}

}  // namespace app
