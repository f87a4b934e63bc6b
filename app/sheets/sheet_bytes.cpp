#include "app/sheets/sheet_bytes.h"

#include <cairo-pdf.h>
#include <cairo-svg.h>

#include <cmath>
#include <cstdint>
#include <memory>
#include <opencv2/imgcodecs.hpp>

#include "app/sheets/pen.h"
#include "app/sheets/sheet_picture.h"

namespace app {
namespace {

constexpr double kPointsPerMm = 72.0 / 25.4, kMmPerInch = 25.4;

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};
using Surface = std::unique_ptr<cairo_surface_t, Destroy>;

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

// units_per_mm: of the surface.
void draw(cairo_surface_t* surface, const Page& page, double units_per_mm) {
  const std::unique_ptr<cairo_t, Destroy> cairo(cairo_create(surface));
  cairo_scale(cairo.get(), units_per_mm, -units_per_mm);
  cairo_translate(cairo.get(), page.size_mm.width / 2.0, -page.size_mm.height / 2.0);
  Pen pen(cairo.get());
  page.draw(pen);
  cairo_show_page(cairo.get());
}

void finish(cairo_surface_t* surface) {
  cairo_surface_finish(surface);
  if (const cairo_status_t status = cairo_surface_status(surface); status != CAIRO_STATUS_SUCCESS)
    throw SheetError(std::string("the sheet could not be drawn: ") + cairo_status_to_string(status));
}

// CRC-32 as PNG defines it (ISO/IEC 15948, annex D).
std::uint32_t crc32(const std::string& bytes) {
  std::uint32_t crc = 0xFFFFFFFFU;
  for (const char byte : bytes) {
    crc ^= static_cast<unsigned char>(byte);
    for (int bit = 0; bit < 8; ++bit) crc = (crc >> 1) ^ ((crc & 1U) != 0 ? 0xEDB88320U : 0U);
  }
  return ~crc;
}

std::string big_endian(std::uint32_t value) {
  return {static_cast<char>(value >> 24), static_cast<char>(value >> 16 & 0xFFU), static_cast<char>(value >> 8 & 0xFFU),
          static_cast<char>(value & 0xFFU)};
}

// The chunk pHYs: pixels a metre, in both directions.
std::string resolution_chunk(double dpi) {
  const std::string per_metre = big_endian(static_cast<std::uint32_t>(std::lround(dpi * 1000.0 / kMmPerInch)));
  const std::string body = "pHYs" + per_metre + per_metre + '\1';
  return big_endian(static_cast<std::uint32_t>(body.size() - 4)) + body + big_endian(crc32(body));
}

}  // namespace

std::string pdf_bytes(const Document& document) {
  std::string bytes;
  const Surface surface(cairo_pdf_surface_create_for_stream(append, &bytes, 1.0, 1.0));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, document.title.c_str());
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_CREATOR, "hoopgauge " HOOPGAUGE_VERSION);
  for (const Page& page : document.pages) {
    cairo_pdf_surface_set_size(surface.get(), page.size_mm.width * kPointsPerMm, page.size_mm.height * kPointsPerMm);
    draw(surface.get(), page, kPointsPerMm);
  }
  finish(surface.get());
  return bytes;
}

std::string svg_bytes(const Page& page) {
  std::string bytes;
  const Surface surface(cairo_svg_surface_create_for_stream(append, &bytes, page.size_mm.width, page.size_mm.height));
  cairo_svg_surface_set_document_unit(surface.get(), CAIRO_SVG_UNIT_MM);
  draw(surface.get(), page, 1.0);
  finish(surface.get());
  return bytes;
}

std::string png_bytes(const Page& page, double dpi) {
  std::vector<unsigned char> encoded;
  cv::imencode(".png", page_picture(page, dpi / kMmPerInch), encoded);
  std::string bytes(encoded.begin(), encoded.end());
  constexpr std::size_t kAfterHeader = 8 + 25;  // the signature and the first chunk, IHDR
  return bytes.insert(kAfterHeader, resolution_chunk(dpi));
}

}  // namespace app
