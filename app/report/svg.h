// Writes an SVG drawing: shapes whose looks are classes of the report's style sheet, so that one drawing serves light,
// dark and paper. px, y down.
#pragma once

#include <opencv2/core.hpp>
#include <string>
#include <string_view>
#include <vector>

namespace app {

enum class Anchor { start, middle, end };

class Svg {
 public:
  // `title` and `description` are read out where the picture cannot be seen.
  Svg(double width, double height, std::string title, std::string description);

  void line(std::string_view look, cv::Point2d from, cv::Point2d to);
  void rectangle(std::string_view look, const cv::Rect2d& rectangle);
  void circle(std::string_view look, cv::Point2d centre, double radius);
  void polyline(std::string_view look, const std::vector<cv::Point2d>& points);
  void polygon(std::string_view look, const std::vector<cv::Point2d>& points);
  void text(std::string_view look, cv::Point2d baseline, Anchor anchor, std::string_view text);
  // Marks of about this radius, told apart by their shape.
  void disc(std::string_view look, cv::Point2d at, double radius) { circle(look, at, radius); }
  void triangle(std::string_view look, cv::Point2d at, double radius);
  void diamond(std::string_view look, cv::Point2d at, double radius);
  void cross(std::string_view look, cv::Point2d at, double radius);

  double width() const { return width_; }
  double height() const { return height_; }
  // `number` makes the title's id unique on a page; `style` is put inside, for a drawing that stands alone.
  std::string element(int number, std::string_view style = {}) const;

 private:
  void points(const char* shape, std::string_view look, const std::vector<cv::Point2d>& points);

  double width_, height_;
  std::string title_, description_, body_;
};

}  // namespace app
