#include "app/guides/garment_drawing.h"

#include <algorithm>

#include "app/guides/garment_shapes.h"

namespace app {
namespace {

constexpr double kBeside = 0.05;          // a dimension's line from the design, in garment widths
constexpr double kPlainDesign_mm = 40.0;  // room that a design of unknown size gets

// Where `down` is measured from: the rib for the front's upper edge, else the garment's own origin.
double down_from_y_mm(const GarmentLines& lines, const Place& place) {
  return place.to == Place::To::top ? lines.neck_y_mm : 0.0;
}

std::optional<double> shown_mm(const std::optional<double>& said, const std::optional<LengthRange>& usual) {
  if (said) return said;
  return usual ? std::optional(usual->middle_mm()) : std::nullopt;
}

cv::Rect2d box_of(const GarmentDrawing& drawing) {
  std::vector<cv::Point2d> all;
  const auto take = [&](const std::vector<GarmentDrawing::Line>& lines) {
    for (const auto& line : lines) all.insert(all.end(), line.begin(), line.end());
  };
  take(drawing.outlines);
  take(drawing.seams);
  for (const auto* one : {&drawing.down, &drawing.across})
    if (*one) all.insert(all.end(), {(*one)->from, (*one)->to});
  const auto [left, right] =
      std::minmax_element(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.x < b.x; });
  const auto [low, high] =
      std::minmax_element(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.y < b.y; });
  return {left->x, low->y, right->x - left->x, high->y - low->y};
}

void measure_down(GarmentDrawing& drawing, const GarmentLines& lines, const Place& place, double down_mm,
                  double width_mm) {
  const double from_y = down_from_y_mm(lines, place);
  const double to_y = from_y + (lines.upwards ? down_mm : -down_mm);
  const double reach = drawing.design_mm.value_or(cv::Size2d(kPlainDesign_mm, kPlainDesign_mm)).width / 2.0;
  const double x = drawing.centre.x + reach + kBeside * width_mm;
  GarmentDrawing::Dimension d;
  d.from = {x, from_y};
  d.to = {x, to_y};
  const double start = place.to == Place::To::top || lines.upwards ? 0.0 : lines.shoulder.x;
  d.extensions = {{{start, from_y}, {x + kBeside / 3.0 * width_mm, from_y}},
                  {{drawing.centre.x, to_y}, {x + kBeside / 3.0 * width_mm, to_y}}};
  drawing.down = d;
}

void measure_across(GarmentDrawing& drawing, const GarmentLines& lines, double width_mm) {
  const double reach = drawing.design_mm.value_or(cv::Size2d(kPlainDesign_mm, kPlainDesign_mm)).height / 2.0;
  const double away = reach + kBeside * width_mm;
  const double y = lines.upwards ? drawing.centre.y + away : drawing.centre.y - away;
  GarmentDrawing::Dimension d;
  d.from = {0.0, y};
  d.to = {drawing.centre.x, y};
  d.extensions = {{drawing.centre, {drawing.centre.x, y + (lines.upwards ? 1.0 : -1.0) * kBeside / 3.0 * width_mm}}};
  drawing.across = d;
}

}  // namespace

std::optional<GarmentDrawing> garment_drawing(const Job& job, const PlaceGuide& guide,
                                              const std::optional<cv::Size2d>& design_mm) {
  const Place* place = guide.find(job.garment, job.place.name);
  const Garment* garment = guide.find_garment(job.garment);
  if (place == nullptr || garment == nullptr) return std::nullopt;
  const GarmentLines lines = garment_lines(garment->shape, garment->width_mm);
  GarmentDrawing out;
  out.outlines = lines.outlines;
  out.seams = lines.seams;
  out.design_mm = design_mm;
  out.middle = GarmentDrawing::Line{{0.0, lines.middle_from_y_mm}, {0.0, lines.middle_to_y_mm}};
  const auto down = shown_mm(job.place.down_mm, place->down_mm);
  const double across = shown_mm(job.place.across_mm, place->across_mm).value_or(0.0);
  const cv::Size2d size = design_mm.value_or(cv::Size2d(0.0, 0.0));
  const double to_centre = down_to_centre_mm(*place, down.value_or(0.0), size).value_or(0.0);
  out.centre = {across, down_from_y_mm(lines, *place) + (lines.upwards ? to_centre : -to_centre)};
  if (down) {
    measure_down(out, lines, *place, *down, garment->width_mm);
    out.down->said_mm = job.place.down_mm;
  }
  if (across != 0.0) {
    measure_across(out, lines, garment->width_mm);
    out.across->said_mm = job.place.across_mm;
  }
  out.box = box_of(out);
  return out;
}

}  // namespace app
