#include "app/render/demo_station.h"

#include <stdexcept>

#include "calib/outline_shapes.h"

namespace app {
namespace {

vision::Hoop hoop(std::string name, cv::Size2d field, cv::Size2d inner) {
  vision::Hoop hoop;
  hoop.name = std::move(name);
  hoop.rim_height_mm = 11.2;
  hoop.cloth_height_mm = 1.1;
  hoop.field_mm = field;
  const double x = inner.width / 2.0, y = inner.height / 2.0;
  hoop.notches = {{{vision::Side::north, {0.0, y}, 2},
                   {vision::Side::east, {x, 0.0}, 1},
                   {vision::Side::south, {0.0, -y}, 1},
                   {vision::Side::west, {-x, 0.0}, 1}}};
  return hoop;
}

vision::Hoop rectangle_hoop(std::string name, cv::Size2d field, cv::Size2d inner, double radius, double rim) {
  vision::Hoop made = hoop(std::move(name), field, inner);
  made.inner_mm = calib::rounded_rectangle(inner.width, inner.height, radius);
  made.outer_mm = calib::rounded_rectangle(inner.width + 2.0 * rim, inner.height + 2.0 * rim, radius + rim);
  return made;
}

vision::Hoop ellipse_hoop(std::string name, cv::Size2d field, cv::Size2d inner, double rim) {
  vision::Hoop made = hoop(std::move(name), field, inner);
  made.inner_mm = calib::ellipse_outline(inner.width / 2.0, inner.height / 2.0);
  made.outer_mm = calib::ellipse_outline(inner.width / 2.0 + rim, inner.height / 2.0 + rim);
  return made;
}

}  // namespace

vision::Station demo_station() {
  vision::Station station;
  station.lens.width_px = 2304;
  station.lens.height_px = 1296;
  station.lens.fx = 2231.0;
  station.lens.fy = 2233.5;
  station.lens.cx = 1143.8;
  station.lens.cy = 655.2;
  station.lens.distortion = {-0.1043, 0.0692, -0.00051, 0.00038, -0.0157};
  constexpr double kX = 198.0, kY = 138.0;
  station.board_marks = {{400, -kX, kY, 0.0, 30.0},  {401, kX, kY, 0.0, 30.0},         {402, kX, -kY, 0.0, 30.0},
                         {403, -kX, -kY, 0.0, 30.0}, {404, -kX - 2.0, 3.0, 1.5, 30.0}, {405, kX, -4.0, -1.0, 30.0}};
  return station;
}

CameraPlace demo_camera_place() {
  CameraPlace place;
  place.height_mm = 655.0;
  place.x_mm = 4.0;
  place.y_mm = -6.0;
  place.tilt_x_deg = 0.7;
  place.tilt_y_deg = -0.5;
  place.roll_deg = 0.4;
  return place;
}

std::vector<vision::Hoop> demo_hoops() {
  vision::Hoop round = ellipse_hoop("demo round 160", {130.0, 130.0}, {160.0, 160.0}, 6.0);
  round.field_is_round = true;
  return {rectangle_hoop("demo 130 x 180", {130.0, 180.0}, {140.0, 190.0}, 32.0, 6.2), round,
          rectangle_hoop("demo 110 x 110", {110.0, 110.0}, {122.0, 122.0}, 28.0, 5.4),
          ellipse_hoop("demo oval", {100.0, 150.0}, {118.0, 172.0}, 5.8)};
}

vision::Hoop demo_hoop(const std::string& name) {
  std::string names;
  for (vision::Hoop& made : demo_hoops()) {
    if (made.name == name) return std::move(made);
    names += (names.empty() ? "\"" : ", \"") + made.name + "\"";
  }
  throw std::invalid_argument("there is no demo hoop \"" + name + "\"; there are " + names);
}

}  // namespace app
