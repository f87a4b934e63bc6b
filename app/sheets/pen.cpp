#include "app/sheets/pen.h"

namespace app {

Pen::Frame::Frame(Pen& pen, const vision::Pose2& page_from_frame) : cairo_(pen.cairo_) {
  cairo_save(cairo_);
  cairo_translate(cairo_, page_from_frame.origin_mm.x, page_from_frame.origin_mm.y);
  cairo_rotate(cairo_, page_from_frame.angle_rad);
}

Pen::Frame::~Frame() { cairo_restore(cairo_); }

Pen::Window::Window(Pen& pen, const cv::Rect2d& rectangle) : cairo_(pen.cairo_) {
  cairo_save(cairo_);
  cairo_rectangle(cairo_, rectangle.x, rectangle.y, rectangle.width, rectangle.height);
  cairo_clip(cairo_);
}

Pen::Window::~Window() { cairo_restore(cairo_); }

Pen::Pen(cairo_t* cairo) : cairo_(cairo) {
  // Paper has no grid to fit letters to.
  cairo_font_options_t* options = cairo_font_options_create();
  cairo_font_options_set_hint_style(options, CAIRO_HINT_STYLE_NONE);
  cairo_font_options_set_hint_metrics(options, CAIRO_HINT_METRICS_OFF);
  cairo_set_font_options(cairo_, options);
  cairo_font_options_destroy(options);
}

void Pen::fill(const std::vector<std::vector<cv::Point2d>>& outlines, double grey) {
  for (const auto& outline : outlines) {
    for (const cv::Point2d& p : outline) cairo_line_to(cairo_, p.x, p.y);
    cairo_close_path(cairo_);
    cairo_new_sub_path(cairo_);
  }
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_EVEN_ODD);
  cairo_fill(cairo_);
}

void Pen::fill(const std::vector<cv::Rect2d>& rectangles, double grey) {
  for (const cv::Rect2d& r : rectangles) cairo_rectangle(cairo_, r.x, r.y, r.width, r.height);
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_set_fill_rule(cairo_, CAIRO_FILL_RULE_WINDING);
  cairo_fill(cairo_);
}

void Pen::disc(cv::Point2d centre, double radius_mm) {
  cairo_new_sub_path(cairo_);
  cairo_arc(cairo_, centre.x, centre.y, radius_mm, 0.0, 2.0 * vision::kPi);
  cairo_close_path(cairo_);
  cairo_set_source_rgb(cairo_, 0.0, 0.0, 0.0);
  cairo_fill(cairo_);
}

void Pen::circle(cv::Point2d centre, double radius_mm, double line_mm) {
  cairo_new_sub_path(cairo_);
  cairo_arc(cairo_, centre.x, centre.y, radius_mm, 0.0, 2.0 * vision::kPi);
  cairo_close_path(cairo_);
  cairo_set_source_rgb(cairo_, 0.0, 0.0, 0.0);
  cairo_set_line_width(cairo_, line_mm);
  cairo_stroke(cairo_);
}

void Pen::line(cv::Point2d from, cv::Point2d to, double line_mm, double grey) {
  cairo_move_to(cairo_, from.x, from.y);
  cairo_line_to(cairo_, to.x, to.y);
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_set_line_width(cairo_, line_mm);
  cairo_stroke(cairo_);
}

void Pen::dashes(cv::Point2d from, cv::Point2d to, double dash_mm, double line_mm, double grey) {
  cairo_save(cairo_);
  cairo_set_dash(cairo_, &dash_mm, 1, 0.0);
  line(from, to, line_mm, grey);
  cairo_restore(cairo_);
}

void Pen::outlines(const std::vector<std::vector<cv::Point2d>>& closed, double line_mm, double grey) {
  for (const auto& one : closed) {
    cairo_new_sub_path(cairo_);
    for (const cv::Point2d& p : one) cairo_line_to(cairo_, p.x, p.y);
    cairo_close_path(cairo_);
  }
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_set_line_width(cairo_, line_mm);
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_ROUND);
  cairo_stroke(cairo_);
  cairo_set_line_join(cairo_, CAIRO_LINE_JOIN_MITER);
}

void Pen::outline(const cv::Rect2d& rectangle, double line_mm, double grey) {
  cairo_rectangle(cairo_, rectangle.x, rectangle.y, rectangle.width, rectangle.height);
  cairo_set_source_rgb(cairo_, grey, grey, grey);
  cairo_set_line_width(cairo_, line_mm);
  cairo_stroke(cairo_);
}

void Pen::choose(const PrintStyle& style) {
  const Typeface& typeface = style.weight == Weight::bold ? bold_ : regular_;
  const double em_mm = style.height_mm * typeface.em_per_height();
  cairo_set_font_face(cairo_, typeface.face());
  cairo_matrix_t upright;
  cairo_matrix_init(&upright, em_mm, 0.0, 0.0, -em_mm, 0.0, 0.0);  // a face's y points down
  cairo_set_font_matrix(cairo_, &upright);
  cairo_set_source_rgb(cairo_, style.grey, style.grey, style.grey);
}

double Pen::width(const PrintStyle& style, std::string_view utf8) {
  choose(style);
  cairo_text_extents_t extents;
  cairo_text_extents(cairo_, std::string(utf8).c_str(), &extents);
  return extents.x_advance;
}

double Pen::text(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8) {
  const double width_mm = width(style, utf8);
  cairo_move_to(cairo_, baseline.x, baseline.y);
  cairo_show_text(cairo_, std::string(utf8).c_str());
  cairo_new_path(cairo_);
  return width_mm;
}

void Pen::text_centred(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8) {
  text(style, {baseline.x - width(style, utf8) / 2.0, baseline.y}, utf8);
}

void Pen::text_right(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8) {
  text(style, {baseline.x - width(style, utf8), baseline.y}, utf8);
}

std::vector<std::string> Pen::wrap(const PrintStyle& style, std::string_view utf8, double width_mm) {
  std::vector<std::string> lines;
  while (!utf8.empty()) {
    const std::size_t end = std::min(utf8.find(' '), utf8.size());
    const std::string word(utf8.substr(0, end));
    utf8.remove_prefix(std::min(end + 1, utf8.size()));
    if (!lines.empty() && width(style, lines.back() + ' ' + word) <= width_mm)
      lines.back() += ' ' + word;
    else
      lines.push_back(word);
  }
  return lines;
}

std::string Pen::shortened(const PrintStyle& style, std::string_view utf8, double width_mm) {
  if (width(style, utf8) <= width_mm) return std::string(utf8);
  const auto inside_sign = [&](std::size_t at) { return (static_cast<unsigned char>(utf8[at]) & 0xC0U) == 0x80U; };
  std::size_t length = utf8.size();
  const auto cut = [&] { return std::string(utf8.substr(0, length)) + "\u2026"; };
  while (length > 0 && (width(style, cut()) > width_mm || (length < utf8.size() && inside_sign(length)))) --length;
  return cut();
}

double Pen::paragraph(const PrintStyle& style, cv::Point2d baseline, std::string_view utf8, double width_mm) {
  double y = baseline.y;
  bool first = true;
  for (const std::string& line : wrap(style, utf8, width_mm)) {
    if (!first) y -= line_pitch(style);
    first = false;
    text(style, {baseline.x, y}, line);
  }
  return y;
}

}  // namespace app
