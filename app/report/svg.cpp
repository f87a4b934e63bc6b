#include "app/report/svg.h"

#include <cmath>

#include "app/format.h"
#include "app/report/clean_text.h"

namespace app {
namespace {

// A hundredth of a pixel, without zeros that say nothing.
std::string px(double value) {
  if (!std::isfinite(value)) return "0";
  std::string text = format("%.2f", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text == "-0" ? "0" : text;
}

std::string attribute(const char* name, double value) { return ' ' + std::string(name) + "=\"" + px(value) + '"'; }
std::string look_of(std::string_view look) { return " class=\"" + std::string(look) + '"'; }

}  // namespace

Svg::Svg(double width, double height, std::string title, std::string description)
    : width_(width), height_(height), title_(std::move(title)), description_(std::move(description)) {}

void Svg::line(std::string_view look, cv::Point2d from, cv::Point2d to) {
  body_ += "<line" + look_of(look) + attribute("x1", from.x) + attribute("y1", from.y) + attribute("x2", to.x) +
           attribute("y2", to.y) + "/>\n";
}

void Svg::rectangle(std::string_view look, const cv::Rect2d& r) {
  body_ += "<rect" + look_of(look) + attribute("x", r.x) + attribute("y", r.y) + attribute("width", r.width) +
           attribute("height", r.height) + "/>\n";
}

void Svg::circle(std::string_view look, cv::Point2d centre, double radius) {
  body_ += "<circle" + look_of(look) + attribute("cx", centre.x) + attribute("cy", centre.y) + attribute("r", radius) +
           "/>\n";
}

void Svg::points(const char* shape, std::string_view look, const std::vector<cv::Point2d>& points) {
  if (points.empty()) return;
  body_ += '<' + std::string(shape) + look_of(look) + " points=\"";
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (i > 0) body_ += ' ';
    body_ += px(points[i].x) + ',' + px(points[i].y);
  }
  body_ += "\"/>\n";
}

void Svg::polyline(std::string_view look, const std::vector<cv::Point2d>& p) { points("polyline", look, p); }
void Svg::polygon(std::string_view look, const std::vector<cv::Point2d>& p) { points("polygon", look, p); }

void Svg::text(std::string_view look, cv::Point2d baseline, Anchor anchor, std::string_view text) {
  constexpr const char* kAnchors[] = {"start", "middle", "end"};
  body_ += "<text" + look_of(look) + attribute("x", baseline.x) + attribute("y", baseline.y) + " text-anchor=\"" +
           kAnchors[static_cast<int>(anchor)] + "\">" + escaped(text) + "</text>\n";
}

void Svg::triangle(std::string_view look, cv::Point2d at, double r) {
  polygon(look, {{at.x, at.y - r}, {at.x + 0.95 * r, at.y + 0.7 * r}, {at.x - 0.95 * r, at.y + 0.7 * r}});
}

void Svg::diamond(std::string_view look, cv::Point2d at, double r) {
  polygon(look, {{at.x, at.y - r}, {at.x + r, at.y}, {at.x, at.y + r}, {at.x - r, at.y}});
}

void Svg::cross(std::string_view look, cv::Point2d at, double r) {
  line(look, {at.x - r, at.y}, {at.x + r, at.y});
  line(look, {at.x, at.y - r}, {at.x, at.y + r});
}

std::string Svg::element(int number, std::string_view style) const {
  const std::string id = std::to_string(number);
  std::string out = "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 " + px(width_) + ' ' + px(height_) + "\"" +
                    attribute("width", width_) + attribute("height", height_) + " role=\"img\" aria-labelledby=\"plot" +
                    id + "-title plot" + id + "-desc\">\n<title id=\"plot" + id + "-title\">" + escaped(title_) +
                    "</title>\n<desc id=\"plot" + id + "-desc\">" + escaped(description_) + "</desc>\n";
  if (!style.empty()) out += "<style>" + std::string(style) + "</style>\n";
  return out + body_ + "</svg>\n";
}

}  // namespace app
