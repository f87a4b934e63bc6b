#include "app/sheets/garment_sheet.h"

#include <algorithm>
#include <cmath>

namespace app {
namespace {

using Line = GarmentDrawing::Line;

constexpr double kOutline_mm = 0.35, kSeam_mm = 0.15, kDesign_mm = 0.4, kDimension_mm = 0.15;
constexpr double kSeamGrey = 0.55, kMiddleGrey = 0.4;
constexpr double kLabelRoom_mm = 3.0;  // above and below what is drawn

struct OnPage {
  cv::Point2d origin_mm;
  double scale = 1.0;
  cv::Point2d operator()(cv::Point2d p) const { return origin_mm + scale * p; }
};

OnPage fitted(const cv::Rect2d& box, const cv::Rect2d& room) {
  OnPage on;
  on.scale = std::min(room.width / box.width, (room.height - 2.0 * kLabelRoom_mm) / box.height);
  const cv::Point2d middle_of_box(box.x + box.width / 2.0, box.y + box.height / 2.0);
  on.origin_mm = cv::Point2d(room.x + room.width / 2.0, room.y + room.height / 2.0) - on.scale * middle_of_box;
  return on;
}

void draw_line(Pen& pen, const OnPage& on, const Line& line, double width_mm, double grey) {
  for (std::size_t i = 0; i + 1 < line.size(); ++i) pen.line(on(line[i]), on(line[i + 1]), width_mm, grey);
}

// Long and short dashes: a middle line.
void draw_middle(Pen& pen, cv::Point2d from, cv::Point2d to) {
  const double length = cv::norm(to - from);
  const cv::Point2d along = length > 0.0 ? (to - from) / length : cv::Point2d();
  for (double at = 0.0; at < length; at += 7.0) {
    pen.line(from + at * along, from + std::min(at + 4.0, length) * along, kSeam_mm, kMiddleGrey);
    if (at + 5.2 < length)
      pen.line(from + (at + 5.2) * along, from + std::min(at + 5.8, length) * along, kSeam_mm, kMiddleGrey);
  }
}

void draw_head(Pen& pen, cv::Point2d tip, cv::Point2d away) {
  const cv::Point2d back = tip + 2.0 * away, side = 0.55 * cv::Point2d(-away.y, away.x);
  pen.fill({{tip, back + side, back - side}});
}

// Beside an upright line in two lines, below a level one in one; on white, so that no line runs through it.
void draw_label(Pen& pen, cv::Point2d middle, bool upright, const std::string& label) {
  const double height = kStrongText.height_mm, pitch = 1.5 * height;
  const std::size_t split = upright ? std::min(label.find(" ("), label.find(", ")) : std::string::npos;
  std::vector<std::string> lines{label.substr(0, split)};
  if (split != std::string::npos) lines.push_back(label.substr(label.find(' ', split) + 1));
  double width = 0.0;
  for (const std::string& line : lines) width = std::max(width, pen.width(kStrongText, line));
  const double more = pitch * static_cast<double>(lines.size() - 1);
  const cv::Point2d at = upright ? cv::Point2d(middle.x + 1.5, middle.y - (height + more) / 2.0)
                                 : cv::Point2d(middle.x - width / 2.0, middle.y - height - 1.5);
  pen.fill({cv::Rect2d(at.x - 0.5, at.y - 0.7, width + 1.0, height + more + 1.4)}, 1.0);
  for (std::size_t i = 0; i < lines.size(); ++i)
    pen.text(kStrongText, {at.x, at.y + more - pitch * static_cast<double>(i)}, lines[i]);
}

void draw_dimension(Pen& pen, const OnPage& on, const GarmentDrawing::Dimension& dimension, const std::string& label) {
  for (const Line& line : dimension.extensions) draw_line(pen, on, line, kSeam_mm, kSeamGrey);
  const cv::Point2d from = on(dimension.from), to = on(dimension.to);
  const double length = cv::norm(to - from);
  if (length > 0.0) {
    const cv::Point2d along = (to - from) / length;
    pen.line(from, to, kDimension_mm, 0.0);
    if (length > 4.5) {
      draw_head(pen, from, along);
      draw_head(pen, to, -along);
    }
  }
  const bool upright = std::abs(to.y - from.y) > std::abs(to.x - from.x);
  draw_label(pen, 0.5 * (from + to), upright, label);
}

void draw_design(Pen& pen, const OnPage& on, const JobTicketText& text) {
  const cv::Point2d centre = text.drawing->centre;
  Line outline;
  for (const cv::Point2d& p : text.hull_mm) outline.push_back(centre + p);
  if (!outline.empty()) {
    std::vector<cv::Point2d> filled;
    for (const cv::Point2d& p : outline) filled.push_back(on(p));
    pen.fill({filled}, 0.88);
    outline.push_back(outline.front());
    draw_line(pen, on, outline, kDesign_mm, 0.0);
  }
  const cv::Point2d middle = on(centre);
  constexpr double kArm = 2.6;
  pen.line(middle - cv::Point2d(kArm, 0.0), middle + cv::Point2d(kArm, 0.0), 0.25, 0.0);
  pen.line(middle - cv::Point2d(0.0, kArm), middle + cv::Point2d(0.0, kArm + 1.6), 0.25, 0.0);
  pen.fill({{middle + cv::Point2d(0.0, kArm + 3.0), middle + cv::Point2d(-0.9, kArm + 1.2),
             middle + cv::Point2d(0.9, kArm + 1.2)}});
}

}  // namespace

void draw_garment(Pen& pen, const cv::Rect2d& room, const JobTicketText& text) {
  const GarmentDrawing& drawing = *text.drawing;
  const OnPage on = fitted(drawing.box, room);
  for (const Line& line : drawing.seams) draw_line(pen, on, line, kSeam_mm, kSeamGrey);
  for (const Line& line : drawing.outlines) draw_line(pen, on, line, kOutline_mm, 0.0);
  if (drawing.middle) draw_middle(pen, on(drawing.middle->front()), on(drawing.middle->back()));
  draw_design(pen, on, text);
  if (drawing.across) draw_dimension(pen, on, *drawing.across, text.across_label);
  if (drawing.down) draw_dimension(pen, on, *drawing.down, text.down_label);
}

}  // namespace app
