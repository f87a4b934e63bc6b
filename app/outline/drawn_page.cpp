#include "app/outline/drawn_page.h"

#include <cairo.h>
#include <librsvg/rsvg.h>

#include <algorithm>
#include <cmath>
#include <memory>
#include <new>
#include <string>

#include "app/outline/outline_error.h"

namespace app {
namespace {

constexpr double kPxPerInch = 96.0, kMmPerPx = 25.4 / kPxPerInch;  // CSS Values 3, section 5.2
constexpr double kLargestSide_mm = 1e5, kSmallestSide_mm = 1e-3;   // of a page before its scale is corrected
constexpr double kMostSide_px = 30000.0;                           // Cairo's pictures hold 32767

struct Release {
  void operator()(RsvgHandle* handle) const { g_object_unref(handle); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};
using Handle = std::unique_ptr<RsvgHandle, Release>;

struct Fault {
  ~Fault() { g_clear_error(&error); }
  Fault() = default;
  Fault(const Fault&) = delete;
  Fault& operator=(const Fault&) = delete;
  std::string text() const { return error != nullptr ? error->message : "without a reason"; }
  GError* error = nullptr;
};

Handle opened(std::string_view svg) {
  Fault fault;
  Handle handle(rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(svg.data()), svg.size(), &fault.error));
  if (!handle) throw OutlineError("it is no SVG drawing that can be read (" + fault.text() + ")");
  rsvg_handle_set_dpi(handle.get(), kPxPerInch);
  return handle;
}

bool physical(RsvgUnit unit) {
  return unit == RSVG_UNIT_IN || unit == RSVG_UNIT_CM || unit == RSVG_UNIT_MM || unit == RSVG_UNIT_PT ||
         unit == RSVG_UNIT_PC;
}

// Of a length that is neither in percent nor counted by the height of letters.
double px(const RsvgLength& length) {
  switch (length.unit) {
    case RSVG_UNIT_IN:
      return length.length * kPxPerInch;
    case RSVG_UNIT_CM:
      return length.length * kPxPerInch / 2.54;
    case RSVG_UNIT_MM:
      return length.length * kPxPerInch / 25.4;
    case RSVG_UNIT_PT:
      return length.length * kPxPerInch / 72.0;
    case RSVG_UNIT_PC:
      return length.length * kPxPerInch / 6.0;
    case RSVG_UNIT_PX:
      return length.length;
    default:
      return 0.0;
  }
}

struct PageSize {
  double width_px = 0.0, height_px = 0.0;
  DrawingScale scale = DrawingScale::none;
};

[[noreturn]] void cannot_draw(const std::string& why) {
  if (why.find("NoMemory") != std::string::npos) throw std::bad_alloc();
  throw OutlineError("it cannot be drawn (" + why + ")");
}

// From the page's upper left corner to where the ink ends.
PageSize ink_size(RsvgHandle* handle) {
  constexpr RsvgRectangle kAnyPage{0.0, 0.0, 1000.0, 1000.0};
  RsvgRectangle ink{};
  Fault fault;
  if (!rsvg_handle_get_geometry_for_layer(handle, nullptr, &kAnyPage, &ink, nullptr, &fault.error))
    cannot_draw(fault.text());
  return {ink.x + ink.width, ink.y + ink.height, DrawingScale::none};
}

PageSize page_size(RsvgHandle* handle) {
  gboolean has_width = FALSE, has_height = FALSE, has_box = FALSE;
  RsvgLength width{}, height{};
  RsvgRectangle box{};
  rsvg_handle_get_intrinsic_dimensions(handle, &has_width, &width, &has_height, &height, &has_box, &box);
  PageSize size;
  if (rsvg_handle_get_intrinsic_size_in_pixels(handle, &size.width_px, &size.height_px)) {
    size.scale = physical(width.unit) && physical(height.unit) ? DrawingScale::physical : DrawingScale::pixels;
    return size;
  }
  const bool has_shape = has_box && box.width > 0.0 && box.height > 0.0;
  for (const bool by_width : {true, false}) {
    const RsvgLength& said = by_width ? width : height;
    if (!has_shape || !(px(said) > 0.0)) continue;
    const double by = px(said) / (by_width ? box.width : box.height);
    return {box.width * by, box.height * by, physical(said.unit) ? DrawingScale::physical : DrawingScale::pixels};
  }
  return has_shape ? PageSize{box.width, box.height, DrawingScale::none} : ink_size(handle);
}

void check(const PageSize& size) {
  for (const double side_px : {size.width_px, size.height_px}) {
    if (!(side_px * kMmPerPx >= kSmallestSide_mm))
      throw OutlineError("its page has no size, or nothing is drawn on it");
    if (!(side_px * kMmPerPx <= kLargestSide_mm)) throw OutlineError("its page is larger than 100 m");
  }
}

double chosen_px_per_mm(const DrawnPage& page, double pixels) {
  const double area = page.width_mm * page.height_mm;
  if (!(pixels > 0.0)) pixels = kOutlinePxPerMm * kOutlinePxPerMm * area;
  const double wanted = std::sqrt(std::clamp(pixels, kLeastPx, kMostPx) / area);
  return std::min(wanted, kMostSide_px / std::max(page.width_mm, page.height_mm));
}

void draw(RsvgHandle* handle, DrawnPage& page) {
  const std::unique_ptr<cairo_surface_t, Release> surface(cairo_image_surface_create_for_data(
      page.bytes.data(), CAIRO_FORMAT_A8, page.ink.width, page.ink.height, static_cast<int>(page.ink.stride)));
  const std::unique_ptr<cairo_t, Release> cairo(cairo_create(surface.get()));
  // In the drawing's own pixels: not every drawing is fitted to the place it is given.
  const RsvgRectangle place{0.0, 0.0, page.width_mm / kMmPerPx, page.height_mm / kMmPerPx};
  cairo_translate(cairo.get(), kRim_px, kRim_px);
  cairo_scale(cairo.get(), page.px_per_mm * kMmPerPx, page.px_per_mm * kMmPerPx);
  // As a browser cuts a drawing off at its page, which librsvg leaves to us.
  cairo_rectangle(cairo.get(), place.x, place.y, place.width, place.height);
  cairo_clip(cairo.get());
  Fault fault;
  const gboolean drawn = rsvg_handle_render_document(handle, cairo.get(), &place, &fault.error);
  if (!drawn) cannot_draw(fault.text());
  if (const cairo_status_t status = cairo_status(cairo.get()); status != CAIRO_STATUS_SUCCESS)
    cannot_draw(cairo_status_to_string(status));
  cairo_surface_flush(surface.get());
}

// Whether there is ink along the page's edge, which is where it would be cut off.
bool reaches_edge(const DrawnPage& page) {
  constexpr std::uint8_t kHalf = 128;
  const int left = kRim_px, top = kRim_px, right = page.ink.width - kRim_px - 1, bottom = page.ink.height - kRim_px - 1;
  for (int x = left; x <= right; ++x)
    if (page.ink.at(x, top) >= kHalf || page.ink.at(x, bottom) >= kHalf) return true;
  for (int y = top; y <= bottom; ++y)
    if (page.ink.at(left, y) >= kHalf || page.ink.at(right, y) >= kHalf) return true;
  return false;
}

}  // namespace

DrawnPage drawn_page(std::string_view svg, double pixels) {
  const Handle handle = opened(svg);
  const PageSize size = page_size(handle.get());
  check(size);
  DrawnPage page;
  page.width_mm = size.width_px * kMmPerPx;
  page.height_mm = size.height_px * kMmPerPx;
  page.scale = size.scale;
  page.px_per_mm = chosen_px_per_mm(page, pixels);
  page.ink.width = static_cast<int>(std::ceil(page.width_mm * page.px_per_mm)) + 2 * kRim_px;
  page.ink.height = static_cast<int>(std::ceil(page.height_mm * page.px_per_mm)) + 2 * kRim_px;
  page.ink.stride = static_cast<std::size_t>(cairo_format_stride_for_width(CAIRO_FORMAT_A8, page.ink.width));
  page.bytes.resize(page.ink.stride * static_cast<std::size_t>(page.ink.height));
  page.ink.data = page.bytes.data();
  draw(handle.get(), page);
  page.reaches_edge = reaches_edge(page);
  return page;
}

}  // namespace app
