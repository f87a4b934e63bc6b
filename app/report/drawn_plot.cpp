#include "app/report/drawn_plot.h"

#include <cairo.h>
#include <librsvg/rsvg.h>

#include <memory>

#include "app/report/report_style.h"
#include "app/sheets/pen.h"

namespace app {
namespace {

struct Release {
  void operator()(RsvgHandle* handle) const { g_object_unref(handle); }
};

[[noreturn]] void cannot_draw(GError* fault) {
  const std::string why = fault != nullptr ? fault->message : "without a reason";
  g_clear_error(&fault);
  throw SheetError("a drawing of the report could not be drawn: " + why);
}

}  // namespace

double plot_height_mm(const Svg& drawing, double width_mm) { return width_mm * drawing.height() / drawing.width(); }

void draw_plot(Pen& pen, const Svg& drawing, cv::Point2d upper_left, double width_mm) {
  const std::string text = drawing.element(1, plot_style(true));
  GError* fault = nullptr;
  const std::unique_ptr<RsvgHandle, Release> handle(
      rsvg_handle_new_from_data(reinterpret_cast<const guint8*>(text.data()), text.size(), &fault));
  if (!handle) cannot_draw(fault);
  cairo_t* const cairo = pen.cairo();
  cairo_save(cairo);
  cairo_translate(cairo, upper_left.x, upper_left.y);
  cairo_scale(cairo, 1.0, -1.0);
  const RsvgRectangle place{0.0, 0.0, width_mm, plot_height_mm(drawing, width_mm)};
  const bool drawn = rsvg_handle_render_document(handle.get(), cairo, &place, &fault) != 0;
  cairo_restore(cairo);
  if (!drawn) cannot_draw(fault);
}

}  // namespace app
