#include "app/setup/lens_drawing.h"

#include <cairo.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "app/sheets/typeface.h"

namespace app {
namespace {

constexpr int kWidth = 1600;
constexpr double kMargin = 40.0, kTop = 120.0, kListLeft = 1215.0, kTallestFrame = 800.0;
constexpr double kListTop = kTop + 36.0, kKeyHeight = 90.0, kLowest = 1100.0;

struct Ink {
  double r, g, b;
};
constexpr Ink kText{0.10, 0.12, 0.14}, kQuiet{0.38, 0.41, 0.44}, kRule{0.78, 0.80, 0.82}, kLack{0.84, 0.37, 0.0};
// Okabe and Ito's palette without the yellow, which white paper swallows.
constexpr std::array<Ink, 7> kPalette{{{0.0, 0.447, 0.698},
                                       {0.902, 0.624, 0.0},
                                       {0.0, 0.620, 0.451},
                                       {0.835, 0.369, 0.0},
                                       {0.337, 0.706, 0.914},
                                       {0.800, 0.475, 0.655},
                                       {0.0, 0.0, 0.0}}};
constexpr std::size_t kSigns = 4;  // disc, square, triangle, cross

// One picture's share: the fit's part of a Cairo page.
class LensPage {
 public:
  explicit LensPage(const LensDrawing& drawing) : drawing_(drawing) {
    const vision::Lens& lens = drawing.fit.lens;
    scale_ = std::min((kListLeft - 35.0 - kMargin) / lens.width_px, kTallestFrame / lens.height_px);
    frame_ = {kMargin, kTop, scale_ * lens.width_px, scale_ * lens.height_px};
    const auto lines = static_cast<double>(std::max<std::size_t>(1, drawing.fit.each.size()));
    pitch_ = std::clamp((kLowest - kListTop) / lines, 17.0, 27.0);
    const double list_end = std::min(kLowest, kListTop + lines * pitch_);
    height_ = static_cast<int>(std::max(frame_.br().y + kKeyHeight, list_end) + 0.5 * kMargin);
    surface_ = cairo_image_surface_create(CAIRO_FORMAT_RGB24, kWidth, height_);
    cairo_ = cairo_create(surface_);
    set({1.0, 1.0, 1.0});
    cairo_paint(cairo_);
  }
  ~LensPage() {
    cairo_destroy(cairo_);
    cairo_surface_destroy(surface_);
  }
  LensPage(const LensPage&) = delete;
  LensPage& operator=(const LensPage&) = delete;

  cv::Mat draw() {
    head();
    coverage();
    const double arrow = arrow_scale();
    residuals(arrow);
    counts();
    arrow_key(arrow);
    list();
    cairo_surface_flush(surface_);
    const cv::Mat page(height_, kWidth, CV_8UC4, cairo_image_surface_get_data(surface_),
                       static_cast<std::size_t>(cairo_image_surface_get_stride(surface_)));
    cv::Mat bgr;
    cv::cvtColor(page, bgr, cv::COLOR_BGRA2BGR);
    return bgr;
  }

 private:
  void set(Ink ink, double alpha = 1.0) { cairo_set_source_rgba(cairo_, ink.r, ink.g, ink.b, alpha); }

  enum class Align { left, right, centre };

  double text(double x, double y, const std::string& words, double height, Ink ink, Weight weight = Weight::regular,
              Align align = Align::left) {
    const Typeface& face = weight == Weight::bold ? bold_ : regular_;
    cairo_set_font_face(cairo_, face.face());
    cairo_set_font_size(cairo_, height * face.em_per_height());
    cairo_text_extents_t extents;
    cairo_text_extents(cairo_, words.c_str(), &extents);
    const double left = align == Align::left    ? x
                        : align == Align::right ? x - extents.x_advance
                                                : x - 0.5 * extents.x_advance;
    set(ink);
    cairo_move_to(cairo_, left, y);
    cairo_show_text(cairo_, words.c_str());
    return extents.x_advance;
  }

  double width_of(const std::string& words, double height) {
    cairo_set_font_face(cairo_, regular_.face());
    cairo_set_font_size(cairo_, height * regular_.em_per_height());
    cairo_text_extents_t extents;
    cairo_text_extents(cairo_, words.c_str(), &extents);
    return extents.x_advance;
  }

  // The end of the name tells pictures apart.
  std::string shortened(const std::string& name, double width, double height) {
    std::string words = std::filesystem::path(name).filename().string();
    if (!regular_.first_missing(words).empty()) words = "(name)";
    if (width_of(words, height) <= width) return words;
    while (words.size() > 1 && width_of("..." + words, height) > width) words.erase(0, 1);
    return "..." + words;
  }

  cv::Point2d place(cv::Point2d image_px) const {
    return {frame_.x + scale_ * (image_px.x + 0.5), frame_.y + scale_ * (image_px.y + 0.5)};
  }

  void head() {
    const calib::LensFit& fit = drawing_.fit;
    text(kMargin, 62.0, "Lens: what is left at every corner", 20.0, kText, Weight::bold);
    char line[200];
    std::snprintf(line, sizeof line,
                  "%d x %d px   %zu pictures   %zu corners   %.3f px root mean square   known to %.2f px",
                  fit.lens.width_px, fit.lens.height_px, fit.pictures, fit.corners, fit.rms_px,
                  std::max(0.01, 2.0 * drawing_.doubt_px));
    text(kMargin, 94.0, line, 11.5, kQuiet);
  }

  // Corners seen in each part of the picture.
  std::vector<int> corners_in_parts() const {
    std::vector<int> counts(static_cast<std::size_t>(drawing_.columns * drawing_.rows));
    const vision::Lens& lens = drawing_.fit.lens;
    const auto part = [](double at, int size_px, int parts) {
      return std::clamp(static_cast<int>((at + 0.5) * parts / size_px), 0, parts - 1);
    };
    for (std::size_t i = 0; i < drawing_.pictures.size(); ++i) {
      if (!drawing_.fit.each[i].used) continue;
      for (const cv::Point2d& p : drawing_.pictures[i].image_px) {
        const int column = part(p.x, lens.width_px, drawing_.columns), row = part(p.y, lens.height_px, drawing_.rows);
        ++counts[static_cast<std::size_t>(row * drawing_.columns + column)];
      }
    }
    return counts;
  }

  cv::Rect2d part_of(std::size_t part) const {
    const auto columns = static_cast<std::size_t>(drawing_.columns);
    const double width = frame_.width / drawing_.columns, height = frame_.height / drawing_.rows;
    return {frame_.x + static_cast<double>(part % columns) * width,
            frame_.y + static_cast<double>(part / columns) * height, width, height};
  }

  // The more corners, the deeper the tint.
  void coverage() {
    const std::vector<int> counts = corners_in_parts();
    const double most = std::max(1, *std::max_element(counts.begin(), counts.end()));
    for (std::size_t i = 0; i < counts.size(); ++i) {
      const cv::Rect2d part = part_of(i);
      set(kPalette[4], 0.20 * counts[i] / most);
      cairo_rectangle(cairo_, part.x, part.y, part.width, part.height);
      cairo_fill_preserve(cairo_);
      set(kRule);
      cairo_set_line_width(cairo_, 1.0);
      cairo_stroke(cairo_);
    }
  }

  // Over the arrows, each on a plate of paper.
  void counts() {
    const std::vector<int> counts = corners_in_parts();
    for (std::size_t i = 0; i < counts.size(); ++i) {
      const cv::Rect2d part = part_of(i);
      const std::string words = std::to_string(counts[i]);
      set({1.0, 1.0, 1.0}, 0.85);
      cairo_rectangle(cairo_, part.x + 1.0, part.y + 1.0, width_of(words, 8.5) + 14.0, 24.0);
      cairo_fill(cairo_);
      text(part.x + 8.0, part.y + 18.0, words, 8.5, counts[i] == 0 ? kLack : kQuiet,
           counts[i] == 0 ? Weight::bold : Weight::regular);
    }
    text(frame_.x, frame_.br().y + 26.0, "Small figures: corners seen in each part of the picture", 9.0, kQuiet);
  }

  void line(cv::Point2d from, cv::Point2d to) {
    cairo_move_to(cairo_, from.x, from.y);
    cairo_line_to(cairo_, to.x, to.y);
    cairo_stroke(cairo_);
  }

  // Drawn px a measured px: a round number at which nearly all arrows are short.
  double arrow_scale() const {
    std::vector<double> lengths;
    for (const calib::LensPictureFit& picture : drawing_.fit.each)
      for (std::size_t i = 0; picture.used && i < picture.residuals_px.size(); ++i)
        if (picture.corner_used[i]) lengths.push_back(cv::norm(picture.residuals_px[i]));
    if (lengths.empty()) return 1.0;
    const auto at = lengths.begin() + static_cast<std::ptrdiff_t>(lengths.size() * 95 / 100);
    std::nth_element(lengths.begin(), at, lengths.end());
    const double wanted = 26.0 / std::max(1e-6, *at), decade = std::pow(10.0, std::floor(std::log10(wanted)));
    for (const double round : {5.0, 2.0, 1.0})
      if (wanted >= round * decade) return round * decade;
    return decade;
  }

  void sign(std::size_t picture, cv::Point2d at, double radius) {
    const std::size_t kind = picture / kPalette.size() % kSigns;
    cairo_new_path(cairo_);
    if (kind == 0) {
      cairo_arc(cairo_, at.x, at.y, radius, 0.0, 2.0 * std::numbers::pi);
    } else if (kind == 1) {
      cairo_rectangle(cairo_, at.x - 0.9 * radius, at.y - 0.9 * radius, 1.8 * radius, 1.8 * radius);
    } else if (kind == 2) {
      cairo_move_to(cairo_, at.x, at.y - 1.2 * radius);
      cairo_line_to(cairo_, at.x + 1.1 * radius, at.y + 0.9 * radius);
      cairo_line_to(cairo_, at.x - 1.1 * radius, at.y + 0.9 * radius);
      cairo_close_path(cairo_);
    } else {
      cairo_set_line_width(cairo_, 0.6 * radius);
      line(at + cv::Point2d(-radius, -radius), at + cv::Point2d(radius, radius));
      line(at + cv::Point2d(-radius, radius), at + cv::Point2d(radius, -radius));
      return;
    }
    cairo_fill(cairo_);
  }

  void arrow(cv::Point2d from, cv::Point2d by) {
    const double length = cv::norm(by);
    if (length < 1.0) return;
    const cv::Point2d along = by / length, across(-along.y, along.x), to = from + by;
    const double head = std::min(5.0, 0.5 * length);
    cairo_set_line_width(cairo_, 1.3);
    line(from, to);
    line(to, to - along * head + across * (0.5 * head));
    line(to, to - along * head - across * (0.5 * head));
  }

  void residuals(double scale) {
    cairo_save(cairo_);
    cairo_rectangle(cairo_, frame_.x, frame_.y, frame_.width, frame_.height);
    cairo_clip(cairo_);
    for (std::size_t i = 0; i < drawing_.fit.each.size(); ++i) {
      const calib::LensPictureFit& picture = drawing_.fit.each[i];
      if (!picture.used) continue;
      for (std::size_t k = 0; k < picture.residuals_px.size(); ++k) {
        const cv::Point2d at = place(drawing_.pictures[i].image_px[k]);
        if (!picture.corner_used[k]) {
          set(kQuiet);
          cairo_set_line_width(cairo_, 1.2);
          cairo_new_path(cairo_);
          cairo_arc(cairo_, at.x, at.y, 5.0, 0.0, 2.0 * std::numbers::pi);
          cairo_stroke(cairo_);
          continue;
        }
        set(kPalette[i % kPalette.size()]);
        sign(i, at, 2.2);
        arrow(at, picture.residuals_px[k] * scale);
      }
    }
    cairo_restore(cairo_);
  }

  void arrow_key(double scale) {
    // A round length of a picture's pixel that is well to be seen.
    double length_px = std::pow(10.0, std::floor(std::log10(90.0 / scale)));
    if (length_px * 5.0 * scale <= 90.0)
      length_px *= 5.0;
    else if (length_px * 2.0 * scale <= 90.0)
      length_px *= 2.0;
    char words[80];
    std::snprintf(words, sizeof words, "%g px", length_px);
    const double y = frame_.br().y + 56.0;
    set(kText);
    arrow({frame_.x, y - 4.0}, {length_px * scale, 0.0});
    double x = frame_.x + length_px * scale + 12.0;
    x += text(x, y, words, 9.5, kText, Weight::bold);
    std::snprintf(words, sizeof words, "   Arrows: from where a corner should be seen to where it is seen");
    x += text(x, y, words, 9.0, kQuiet);
    set(kQuiet);
    cairo_set_line_width(cairo_, 1.2);
    cairo_new_path(cairo_);
    cairo_arc(cairo_, x + 28.0, y - 4.0, 5.0, 0.0, 2.0 * std::numbers::pi);
    cairo_stroke(cairo_);
    text(x + 40.0, y, "a corner that is off and does not count", 9.0, kQuiet);
  }

  void list() {
    const auto& each = drawing_.fit.each;
    const double right = kWidth - kMargin;
    text(kListLeft, kTop + 8.0, "Pictures", 11.0, kText, Weight::bold);
    text(right, kTop + 8.0, "root mean square, px", 8.5, kQuiet, Weight::regular, Align::right);
    double y = kListTop;
    for (std::size_t i = 0; i < each.size(); ++i, y += pitch_) {
      if (y + pitch_ > kLowest && i + 1 < each.size()) {
        text(kListLeft + 20.0, y, "and " + std::to_string(each.size() - i) + " more", 9.0, kQuiet);
        return;
      }
      set(each[i].used ? kPalette[i % kPalette.size()] : kRule);
      if (each[i].used) sign(i, {kListLeft + 6.0, y - 4.5}, 5.0);
      text(kListLeft + 20.0, y, shortened(each[i].name, 215.0, 9.0), 9.0, each[i].used ? kText : kQuiet);
      char words[40];
      std::snprintf(words, sizeof words, each[i].used ? "%.3f" : "left out", each[i].rms_px);
      text(right, y, words, 9.0, each[i].used ? kText : kLack, Weight::regular, Align::right);
    }
  }

  const LensDrawing& drawing_;
  Typeface regular_{Weight::regular}, bold_{Weight::bold};
  cairo_surface_t* surface_ = nullptr;
  cairo_t* cairo_ = nullptr;
  int height_ = 0;
  double scale_ = 1.0, pitch_ = 0.0;
  cv::Rect2d frame_;
};

}  // namespace

cv::Mat draw_lens(const LensDrawing& drawing) { return LensPage(drawing).draw(); }

}  // namespace app
