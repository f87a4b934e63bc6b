#include "app/overlay.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "app/advice.h"
#include "app/overlay_shapes.h"

namespace app {
namespace {

constexpr int kFraction = 4;  // cv draws with this many binary digits behind the pixel
const cv::Scalar kHalo(0, 0, 0);
const cv::Scalar kWhite(255, 255, 255);

// Told apart by people who do not see red and green alike: blue, white, yellow, orange. BGR.
cv::Scalar colour(Tone tone) {
  switch (tone) {
    case Tone::board:
      return {255, 220, 150};
    case Tone::ring:
      return {255, 190, 60};
    case Tone::notch:
      return kWhite;
    case Tone::sticker:
      return {60, 230, 255};
    case Tone::field:
      return {200, 255, 200};
    case Tone::missing:
      return {40, 130, 255};
  }
  return kWhite;
}

std::vector<cv::Point> in_cv(const std::vector<cv::Point2d>& points) {
  constexpr double kFar = 20000.0;  // beyond any picture, within cv's integers
  std::vector<cv::Point> out;
  for (const cv::Point2d& p : points)
    out.emplace_back(static_cast<int>(std::lround(std::clamp(p.x, -kFar, kFar) * (1 << kFraction))),
                     static_cast<int>(std::lround(std::clamp(p.y, -kFar, kFar) * (1 << kFraction))));
  return out;
}

std::vector<cv::Point2d> with_head(const Shape& shape) {
  std::vector<cv::Point2d> points = shape.points_px;
  const cv::Point2d tip = points.back();
  const cv::Point2d way = tip - points.front();
  const double length = cv::norm(way);
  if (!shape.arrow || !(length > 1.0)) return points;
  const cv::Point2d back = way * (-std::min(22.0, 0.5 * length) / length);
  const cv::Point2d aside(-0.5 * back.y, 0.5 * back.x);
  points.insert(points.end(), {tip + back + aside, tip, tip + back - aside});
  return points;
}

void draw(cv::Mat& picture, const Shape& shape, double scale, bool halo) {
  const int width = std::max(1, static_cast<int>(std::lround(2.0 * scale * shape.weight)));
  const int margin = std::max(2, static_cast<int>(std::lround(3.0 * scale)));
  cv::polylines(picture, in_cv(with_head(shape)), shape.closed, halo ? kHalo : colour(shape.tone),
                halo ? width + margin : width, cv::LINE_AA, kFraction);
}

void write(cv::Mat& picture, const std::string& text, cv::Point at, double size, const cv::Scalar& tone) {
  const int stroke = std::max(1, static_cast<int>(std::lround(2.0 * size)));
  cv::putText(picture, text, at, cv::FONT_HERSHEY_SIMPLEX, size, kHalo, 3 * stroke, cv::LINE_AA);
  cv::putText(picture, text, at, cv::FONT_HERSHEY_SIMPLEX, size, tone, stroke, cv::LINE_AA);
}

void draw(cv::Mat& picture, const Label& label, double scale) {
  const double size = 0.8 * scale;
  int below = 0;
  const cv::Size box = cv::getTextSize(label.text, cv::FONT_HERSHEY_SIMPLEX, size, 2, &below);
  const cv::Point middle = in_cv({label.at_px})[0] / (1 << kFraction);
  const auto held = [](int value, int most) { return std::clamp(value, 4, std::max(4, most)); };
  write(picture, label.text,
        {held(middle.x - box.width / 2, picture.cols - box.width - 4),
         held(middle.y + box.height / 2, picture.rows - below - 4)},
        size, colour(label.tone));
}

std::string two_digits(double value, const char* format = "%.2f") {
  char text[64];
  std::snprintf(text, sizeof text, format, value);
  return text;
}

// What, how far, how sure; or the reason and what to do about it.
std::vector<std::string> words(const vision::FrameResult& result) {
  if (!result.reading) return {std::string(headline(result.status)), std::string(advice(result.status))};
  const vision::Reading& r = *result.reading;
  const auto side = [](double value, const char* positive, const char* negative) {
    return two_digits(std::abs(value)) + " mm " + (value >= 0.0 ? positive : negative);
  };
  const char* way = r.rotation_deg >= 0.0 ? " deg counter-clockwise" : " deg clockwise";
  return {"sticker " + side(r.offset_x_mm, "east, ", "west, ") + side(r.offset_y_mm, "north", "south"),
          "turned " + two_digits(std::abs(r.rotation_deg)) + way,
          "x " + two_digits(r.offset_x_mm, "%+.2f") + "  y " + two_digits(r.offset_y_mm, "%+.2f") + " mm (+-" +
              two_digits(r.u_offset_mm) + ")   rotation " + two_digits(r.rotation_deg, "%+.2f") + " deg (+-" +
              two_digits(r.u_rotation_deg) + ")"};
}

// The words stand on a dark bar, so that nothing behind them matters.
void draw_words(cv::Mat& picture, const std::vector<std::string>& lines, bool trouble, double scale) {
  const cv::Scalar tone = trouble ? colour(Tone::missing) : kWhite;
  const int margin = static_cast<int>(18 * scale);
  struct Line {
    double size;
    int below;
    cv::Size box;
  };
  std::vector<Line> layout;
  int height = margin, width = 0;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const bool large = i == 0 || (!trouble && i == 1);
    Line line{(large ? 1.7 : 0.9) * scale, 0, {}};
    line.box = cv::getTextSize(lines[i], cv::FONT_HERSHEY_SIMPLEX, line.size, 2, &line.below);
    height += line.box.height + line.below + margin / 2;
    width = std::max(width, line.box.width);
    layout.push_back(line);
  }
  cv::Mat bar = picture(cv::Rect(0, 0, std::min(width + 2 * margin, picture.cols), std::min(height, picture.rows)));
  bar.convertTo(bar, -1, 0.25);
  int y = margin / 2;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    y += layout[i].box.height + margin / 4;
    write(picture, lines[i], {margin, y}, layout[i].size, i + 1 == lines.size() && i > 0 ? kWhite : tone);
    y += layout[i].below + margin / 4;
  }
}

}  // namespace

cv::Mat draw_overlay(const cv::Mat& grey, const OverlayShapes& found, const std::vector<std::string>& lines,
                     bool trouble) {
  cv::Mat picture;
  cv::cvtColor(grey, picture, cv::COLOR_GRAY2BGR);
  const double scale = std::max(0.3, picture.cols / 2304.0);
  for (const bool halo : {true, false})
    for (const Shape& shape : found.shapes) draw(picture, shape, scale, halo);
  for (const Label& label : found.labels) draw(picture, label, scale);
  draw_words(picture, lines, trouble, scale);
  return picture;
}

cv::Mat draw_overlay(const cv::Mat& grey, const vision::FrameResult& result, const vision::Station& station,
                     const vision::Hoop& hoop) {
  return draw_overlay(grey, overlay_shapes(result, station, hoop), words(result), !result.reading);
}

}  // namespace app
