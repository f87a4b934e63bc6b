#include "app/design/drawing.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <mutex>

#include "app/design/convex_hull.h"
#include "app/design/drawing_bytes.h"
#include "app/design/outline_reader.h"
#include "app/format.h"
#include "app/outline/outline_error.h"
#include "calib/files.h"

namespace app {
namespace {

using Outlines = std::vector<std::vector<cv::Point2d>>;

[[noreturn]] void refuse(const std::string& name, const std::string& why) { throw calib::FileError(name + ": " + why); }

cv::Rect2d box_of(const std::vector<cv::Point2d>& points) {
  cv::Point2d low = points.front(), high = low;
  for (const cv::Point2d& p : points) {
    low = {std::min(low.x, p.x), std::min(low.y, p.y)};
    high = {std::max(high.x, p.x), std::max(high.y, p.y)};
  }
  return {low, high};
}

// Of the ink, with all its points in one.
cv::Rect2d ink_box(const PageOutline& page) {
  std::vector<cv::Point2d> all;
  for (const auto& outline : page.outlines_mm) all.insert(all.end(), outline.begin(), outline.end());
  return box_of(all);
}

// True size over the drawing's own.
double resizing(const cv::Rect2d& ink, DrawingScale scale, const std::optional<TrueSize>& size,
                const std::string& name) {
  const double shape = ink.height / ink.width;
  if (!size) {
    if (scale != DrawingScale::none) return 1.0;
    refuse(name, format("does not say how large it is; give the design's true width and height in mm, for example "
                        "design_mm = [80.0, %.1f] in the job",
                        80.0 * shape));
  }
  const double by = size->width_mm / ink.width;
  if (size->height_mm && !(std::abs(*size->height_mm / (by * ink.height) - 1.0) <= kShapeTolerance))
    refuse(name, format("is %.1f mm high where it is %.1f mm wide, and not %.1f; write design_mm = [%.1f, %.1f]",
                        by * ink.height, size->width_mm, *size->height_mm, size->width_mm, by * ink.height));
  return by;
}

void check_size(const cv::Size2d& size_mm, const std::string& name) {
  const double longer = std::max(size_mm.width, size_mm.height);
  const std::string is = format("is %.4g x %.4g mm large; ", size_mm.width, size_mm.height);
  if (!(longer >= kSmallestDesign_mm)) refuse(name, is + "the smallest design is 1 mm; give its true width in mm");
  if (!(longer <= kLargestDesign_mm)) refuse(name, is + "the largest design is 1000 mm; give its true width in mm");
}

Design design_from(const PageOutline& page, double by) {
  std::vector<cv::Point2d> points;
  for (const auto& outline : page.outlines_mm)
    for (const cv::Point2d& p : outline) points.push_back(p);
  const cv::Rect2d box = box_of(points);
  const cv::Point2d centre = (box.tl() + box.br()) / 2.0;
  Design design;
  design.size_mm = cv::Size2d(box.width, box.height) * by;
  design.hull_mm = convex_hull(std::move(points));
  design.outlines_mm = page.outlines_mm;
  for (cv::Point2d& p : design.hull_mm) p = by * (p - centre);
  for (auto& outline : design.outlines_mm)
    for (cv::Point2d& p : outline) p = by * (p - centre);
  return design;
}

// The drawing at a resolution that holds kOutlineTolerance_mm at its true size.
Drawing drawn(const std::string& svg, const std::optional<TrueSize>& size, const std::string& name) {
  ReaderUse use;
  // The page's own size says how finely to draw it, unless it is not the true one.
  PageOutline page = read_outline(svg, size ? kLeastPx : 0.0, kMostProcessorTime_ms, &use);
  double by = resizing(ink_box(page), page.scale, size, name);
  if (const double px_per_mm = page.px_per_mm / by; px_per_mm < kOutlinePxPerMm) {
    const double finer = 1.01 * kOutlinePxPerMm / px_per_mm;  // rounded up
    const double pixels = page.px_per_mm * page.px_per_mm * page.page_mm.area() * finer * finer;
    const int left_ms = kMostProcessorTime_ms - static_cast<int>(1000.0 * use.processor_s);
    if (pixels > kMostPx || left_ms < 50)
      refuse(name, "is too large to be measured to 0.1 mm; fit its page to it, or give its true width in mm");
    page = read_outline(svg, pixels, left_ms);
    by = resizing(ink_box(page), page.scale, size, name);
  }
  Drawing drawing{design_from(page, by), page.scale, by, page.reaches_edge};
  check_size(drawing.design.size_mm, name);
  if (drawing.design.hull_mm.size() < 3) refuse(name, "has no area");
  return drawing;
}

// The last drawings that were read, by their bytes.
class Remembered {
 public:
  std::optional<Drawing> find(const std::string& svg, const std::optional<TrueSize>& size) {
    const std::lock_guard lock(mutex_);
    for (const Entry& one : entries_)
      if (one.svg == svg && same(one.size, size)) return one.drawing;
    return std::nullopt;
  }
  void keep(const std::string& svg, const std::optional<TrueSize>& size, const Drawing& drawing) {
    constexpr std::size_t kMost = 4, kLargest = 1U << 20;
    if (svg.size() > kLargest) return;
    const std::lock_guard lock(mutex_);
    entries_.push_front({svg, size, drawing});
    if (entries_.size() > kMost) entries_.pop_back();
  }

 private:
  struct Entry {
    std::string svg;
    std::optional<TrueSize> size;
    Drawing drawing;
  };
  static bool same(const std::optional<TrueSize>& a, const std::optional<TrueSize>& b) {
    return a.has_value() == b.has_value() && (!a || (a->width_mm == b->width_mm && a->height_mm == b->height_mm));
  }

  std::mutex mutex_;
  std::deque<Entry> entries_;
};

Remembered& remembered() {
  static Remembered all;
  return all;
}

}  // namespace

Drawing read_drawing(const std::filesystem::path& file, const std::optional<TrueSize>& size) {
  const std::string name = file.string(), svg = drawing_bytes(file);
  if (const auto known = remembered().find(svg, size)) return *known;
  try {
    const Drawing drawing = drawn(svg, size, name);
    remembered().keep(svg, size, drawing);
    return drawing;
  } catch (const OutlineError& error) {
    refuse(name, error.what());
  }
}

}  // namespace app
