// Draws on paper: mm, y up, black and greys. The page's frame has its origin at the page's centre.
#pragma once

#include <cairo.h>

#include <opencv2/core.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "app/sheets/typeface.h"
#include "vision/geometry.h"

namespace app {

// Height is that of a capital letter or digit, mm; grey 0 is black.
struct PrintStyle {
  Weight weight = Weight::regular;
  double height_mm = 2.0;
  double grey = 0.0;
};

// The sheets' type scale.
inline constexpr PrintStyle kTitleText{Weight::bold, 4.4, 0.0};
inline constexpr PrintStyle kBodyText{Weight::regular, 2.2, 0.0};
inline constexpr PrintStyle kStrongText{Weight::bold, 2.2, 0.0};
inline constexpr PrintStyle kSmallText{Weight::regular, 1.7, 0.0};
inline constexpr PrintStyle kFaintText{Weight::regular, 1.7, 0.4};

inline constexpr double kHairMm = 0.1;
inline constexpr double kHairGrey = 0.45;

class Pen {
 public:
  // `cairo` is in mm, y up, and outlives the pen. Throws SheetError when the typeface is missing.
  explicit Pen(cairo_t* cairo);

  // Everything drawn while it lives is drawn in this frame. Pens nest their frames.
  class Frame {
   public:
    Frame(Pen& pen, const vision::Pose2& page_from_frame);
    Frame(Pen& pen, cv::Point2d origin_mm) : Frame(pen, vision::Pose2{origin_mm, 0.0}) {}
    ~Frame();
    Frame(const Frame&) = delete;
    Frame& operator=(const Frame&) = delete;

   private:
    cairo_t* cairo_;
  };

  // Nothing is drawn outside of the rectangle while it lives.
  class Window {
   public:
    Window(Pen& pen, const cv::Rect2d& rectangle);
    ~Window();
    Window(const Window&) = delete;
    Window& operator=(const Window&) = delete;

   private:
    cairo_t* cairo_;
  };

  // Closed outlines in one go; where they lie in one another ink and paper take turns.
  void fill(const std::vector<std::vector<cv::Point2d>>& outlines, double grey = 0.0);
  void fill(const std::vector<cv::Rect2d>& rectangles, double grey = 0.0);
  void disc(cv::Point2d centre, double radius_mm);
  void circle(cv::Point2d centre, double radius_mm, double line_mm);
  void line(cv::Point2d from, cv::Point2d to, double line_mm = kHairMm, double grey = kHairGrey);
  void dashes(cv::Point2d from, cv::Point2d to, double dash_mm, double line_mm = kHairMm, double grey = kHairGrey);
  // Closed lines.
  void outlines(const std::vector<std::vector<cv::Point2d>>& closed, double line_mm = kHairMm, double grey = kHairGrey);
  void outline(const cv::Rect2d& rectangle, double line_mm = kHairMm, double grey = kHairGrey);

  double width(const PrintStyle& style, std::string_view utf8);
  // Left end of the base line; returns the width.
  double text(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8);
  void text_centred(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8);
  void text_right(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8);
  // The text's words in lines no wider than width_mm; a longer word has a line of its own.
  std::vector<std::string> wrap(const PrintStyle& style, std::string_view utf8, double width_mm);
  // The text, cut short with an ellipsis where it is wider.
  std::string shortened(const PrintStyle& style, std::string_view utf8, double width_mm);
  // The lines of `wrap` from this first base line downwards; returns the last one's y.
  double paragraph(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8, double width_mm);
  static double line_pitch(const PrintStyle& style) { return 1.75 * style.height_mm; }

  // For what another library draws: in the frame that holds now.
  cairo_t* cairo() const { return cairo_; }

 private:
  void choose(const PrintStyle& style);

  cairo_t* cairo_;
  Typeface regular_{Weight::regular}, bold_{Weight::bold};
};

}  // namespace app
