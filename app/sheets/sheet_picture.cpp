#include "app/sheets/sheet_picture.h"

#include <cmath>
#include <memory>

#include "app/sheets/pen.h"
#include "app/sheets/setup_pages.h"

namespace app {
namespace {

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};

}  // namespace

cv::Mat1b page_picture(const Page& page, double px_per_mm) {
  const int width = static_cast<int>(std::lround(page.size_mm.width * px_per_mm));
  const int height = static_cast<int>(std::lround(page.size_mm.height * px_per_mm));
  cv::Mat4b canvas(height, width, cv::Vec4b(255, 255, 255, 255));
  const std::unique_ptr<cairo_surface_t, Destroy> surface(cairo_image_surface_create_for_data(
      canvas.data, CAIRO_FORMAT_RGB24, width, height, static_cast<int>(canvas.step)));
  {
    const std::unique_ptr<cairo_t, Destroy> cairo(cairo_create(surface.get()));
    cairo_translate(cairo.get(), width / 2.0, height / 2.0);
    cairo_scale(cairo.get(), px_per_mm, -px_per_mm);
    Pen pen(cairo.get());
    page.draw(pen);
    if (cairo_status(cairo.get()) != CAIRO_STATUS_SUCCESS)
      throw SheetError(std::string("a page could not be drawn: ") + cairo_status_to_string(cairo_status(cairo.get())));
  }
  cairo_surface_flush(surface.get());
  cv::Mat1b grey;
  cv::extractChannel(canvas, grey, 1);
  return grey;
}

cv::Mat1b sheet_picture(SetupSheet sheet, Paper paper, double px_per_mm) {
  return page_picture(sheet == SetupSheet::calibration ? calibration_page(paper) : proof_page(paper), px_per_mm);
}

}  // namespace app
