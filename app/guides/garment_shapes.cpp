#include "app/guides/garment_shapes.h"

#include <cmath>

#include "vision/geometry.h"

namespace app {
namespace {

using Line = std::vector<cv::Point2d>;

// In garment widths; the drawing's own proportions, for looks alone.
Line mirrored(const Line& right) {
  Line all = right;
  for (auto p = right.rbegin(); p != right.rend(); ++p)
    if (p->x != 0.0) all.push_back({-p->x, p->y});
  return all;
}

Line arc(cv::Point2d centre, cv::Size2d radii, double from_deg, double to_deg) {
  constexpr int kPieces = 24;
  Line out;
  for (int i = 0; i <= kPieces; ++i) {
    const double angle = (from_deg + (to_deg - from_deg) * i / kPieces) * vision::kRadPerDeg;
    out.push_back(centre + cv::Point2d(radii.width * std::cos(angle), radii.height * std::sin(angle)));
  }
  return out;
}

Line box(double left, double bottom, double right, double top) {
  return {{left, bottom}, {right, bottom}, {right, top}, {left, top}, {left, bottom}};
}

constexpr double kNeckHalf = 0.17, kNeckDrop = 0.15, kRib = 0.035;

GarmentLines shirt(bool long_sleeves) {
  GarmentLines g;
  Line right{{kNeckHalf, 0.0}, {0.45, -0.07}};
  if (long_sleeves) {
    right.insert(right.end(), {{0.74, -0.98}, {0.60, -1.02}, {0.50, -0.45}, {0.49, -1.25}, {0.0, -1.25}});
    g.seams = {{{0.725, -0.93}, {0.592, -0.97}}, {{-0.725, -0.93}, {-0.592, -0.97}}, {{-0.49, -1.18}, {0.49, -1.18}}};
  } else {
    right.insert(right.end(), {{0.68, -0.36}, {0.55, -0.44}, {0.50, -0.36}, {0.50, -1.30}, {0.0, -1.30}});
    g.seams = {{{0.66, -0.33}, {0.53, -0.41}}, {{-0.66, -0.33}, {-0.53, -0.41}}, {{-0.50, -1.27}, {0.50, -1.27}}};
  }
  g.outlines = {mirrored(right), arc({0.0, 0.0}, {kNeckHalf, kNeckDrop}, 180.0, 360.0),
                arc({0.0, 0.0}, {kNeckHalf, 0.03}, 180.0, 0.0)};
  g.seams.push_back(arc({0.0, 0.0}, {kNeckHalf + kRib, kNeckDrop + kRib}, 186.0, 354.0));
  g.seams.push_back({{0.45, -0.07}, {0.50, long_sleeves ? -0.45 : -0.36}});
  g.seams.push_back({{-0.45, -0.07}, {-0.50, long_sleeves ? -0.45 : -0.36}});
  g.shoulder = {kNeckHalf, 0.0};
  g.neck_y_mm = -kNeckDrop - kRib;
  g.middle_from_y_mm = g.neck_y_mm;
  g.middle_to_y_mm = -1.25;
  return g;
}

GarmentLines polo() {
  GarmentLines g = shirt(false);
  g.outlines.pop_back();  // the ribs' lines give way to a collar
  g.outlines.pop_back();
  g.seams.erase(g.seams.begin() + 3);
  const double half = 0.12;
  g.outlines.push_back(arc({0.0, 0.0}, {kNeckHalf, 0.05}, 180.0, 0.0));
  g.outlines.push_back({{-kNeckHalf, 0.0},
                        {-0.21, -0.10},
                        {-0.07, -0.17},
                        {0.0, -0.10},
                        {0.07, -0.17},
                        {0.21, -0.10},
                        {kNeckHalf, 0.0}});
  g.outlines.push_back(arc({0.0, 0.0}, {half, 0.10}, 180.0, 360.0));
  g.seams.push_back({{-0.03, -0.125}, {-0.03, -0.36}, {0.03, -0.36}, {0.03, -0.125}});
  for (const double y : {-0.20, -0.29}) g.seams.push_back(arc({0.0, y}, {0.008, 0.008}, 0.0, 360.0));
  g.neck_y_mm = -0.10;
  g.middle_from_y_mm = -0.36;
  return g;
}

GarmentLines towel() {
  GarmentLines g;
  g.outlines = {{{-0.5, 0.85}, {-0.5, -0.16}, {0.5, -0.16}, {0.5, 0.85}}};
  // The upper end goes on.
  Line wave;
  for (int i = 0; i <= 40; ++i)
    wave.push_back({-0.5 + i / 40.0, 0.85 + 0.012 * std::sin(i / 40.0 * 6.0 * vision::kPi)});
  g.seams = {wave, {{-0.5, 0.0}, {0.5, 0.0}}, {{-0.5, -0.09}, {0.5, -0.09}}, {{-0.5, -0.145}, {0.5, -0.145}}};
  g.upwards = true;
  g.middle_to_y_mm = 0.8;
  return g;
}

GarmentLines napkin() {
  GarmentLines g;
  const double d = std::sqrt(0.5), hem = 0.04;
  g.outlines = {{{0.0, 0.0}, {d, d}, {0.0, 2.0 * d}, {-d, d}, {0.0, 0.0}}};
  g.seams = {{{0.0, hem}, {d - hem, d}, {0.0, 2.0 * d - hem}, {hem - d, d}, {0.0, hem}}};
  g.upwards = true;
  g.middle_to_y_mm = 2.0 * d;
  return g;
}

GarmentLines apron() {
  GarmentLines g;
  g.outlines = {
      mirrored({{0.19, 0.0}, {0.21, -0.10}, {0.25, -0.20}, {0.33, -0.30}, {0.50, -0.40}, {0.50, -1.20}, {0.0, -1.20}})};
  g.outlines.front().push_back(g.outlines.front().front());
  g.seams = {box(-0.22, -0.85, 0.22, -0.58),
             {{0.0, -0.85}, {0.0, -0.58}},
             {{0.19, -0.025}, {-0.19, -0.025}},
             arc({0.0, 0.0}, {0.165, 0.22}, 180.0, 0.0),
             arc({0.0, 0.0}, {0.145, 0.195}, 180.0, 0.0),
             {{0.50, -0.42}, {0.64, -0.46}, {0.70, -0.56}},
             {{-0.50, -0.42}, {-0.64, -0.46}, {-0.70, -0.56}}};
  g.middle_to_y_mm = -1.2;
  return g;
}

// A piece of cloth, with what is known of the place.
GarmentLines plain() {
  GarmentLines g;
  g.outlines = {box(-0.5, -1.0, 0.5, 0.0)};
  g.middle_to_y_mm = -1.0;
  return g;
}

GarmentLines in_widths(GarmentShape shape) {
  switch (shape) {
    case GarmentShape::shirt:
      return shirt(false);
    case GarmentShape::sweatshirt:
      return shirt(true);
    case GarmentShape::polo:
      return polo();
    case GarmentShape::towel:
      return towel();
    case GarmentShape::napkin:
      return napkin();
    case GarmentShape::apron:
      return apron();
    case GarmentShape::other:
      break;
  }
  return plain();
}

}  // namespace

GarmentLines garment_lines(GarmentShape shape, double width_mm) {
  GarmentLines g = in_widths(shape);
  for (auto* lines : {&g.outlines, &g.seams})
    for (Line& line : *lines)
      for (cv::Point2d& p : line) p *= width_mm;
  g.shoulder *= width_mm;
  for (double* y : {&g.neck_y_mm, &g.middle_from_y_mm, &g.middle_to_y_mm}) *y *= width_mm;
  return g;
}

}  // namespace app
