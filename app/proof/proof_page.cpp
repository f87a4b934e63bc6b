#include "app/proof/proof_page.h"

#include <cairo-pdf.h>
#include <cairo.h>

#include <cmath>
#include <cstdio>
#include <memory>
#include <opencv2/imgproc.hpp>

#include "app/proof/proof_plot.h"
#include "app/records/utc_time.h"
#include "app/sheets/pen.h"
#include "app/sheets/sheet_error.h"
#include "app/sheets/sheet_picture.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kPointsPerMm = 72.0 / 25.4;
constexpr PrintStyle kVerdictText{Weight::bold, 2.8, 0.0};
constexpr double kMarginMm = 16.0;

std::string fixed(double value, int decimals) {
  if (!std::isfinite(value)) return "-";
  char text[32];
  std::snprintf(text, sizeof text, "%+.*f", decimals, value);
  const std::string written = text;
  return written.find_first_of("123456789") == std::string::npos ? written.substr(1) : written;
}

std::string unsigned_fixed(double value, int decimals) {
  const std::string written = fixed(value, decimals);
  return written[0] == '+' ? written.substr(1) : written;
}

// Writes down the page; `y` is the next base line.
class Column {
 public:
  Column(Pen& pen, cv::Size2d page) : pen_(pen), left_(-kColumnMm / 2.0), y_(page.height / 2.0 - kMarginMm) {}

  void title(const ProofReport& report) {
    y_ -= kTitleText.height_mm;
    pen_.text(kTitleText, {left_, y_}, "Proof of the hooping station");
    pen_.text_right(kBodyText, {right(), y_}, utc_text(report.time));
    y_ -= 5.0;
    pen_.text(kFaintText, {left_, y_}, "Station " + report.station_fingerprint + ", " + counted(report));
    y_ -= 2.6;
    rule();
  }

  void verdict(const ProofReport& report) {
    y_ -= 4.5;
    y_ = pen_.paragraph(kVerdictText, {left_, y_}, proof_headline(report), kColumnMm) - 2.2;
    for (const std::string& line : proof_lines(report))
      y_ = pen_.paragraph(kBodyText, {left_, y_ - 3.2}, line, kColumnMm) - 1.2;
    y_ -= 3.0;
  }

  void plot(const calib::Proof& proof) {
    heading("What the station adds at each place (the sheet's own errors taken off)");
    y_ = draw_proof_plot(pen_, {left_, y_}, kColumnMm, proof) - 3.0;
  }

  void terms(const ProofReport& report) {
    heading("In the terms of ISO 5725 and JCGM 100");
    row("", "offset", "rotation", kFaintText);
    for (const ProofTerm& term : proof_terms(report)) row(term.name, term.offset, term.rotation, kBodyText);
    y_ -= 2.0;
  }

  void sheet(const calib::Proof& proof) {
    heading("The sheet's own errors, and their expanded uncertainty");
    sheet_row({"sticker", "x mm", "U", "y mm", "U", "rotation deg", "U"}, kFaintText);
    for (std::size_t s = 0; s < calib::kProofStickerCount; ++s) {
      const calib::SheetError& one = proof.sheet[s];
      sheet_row(
          {std::to_string(calib::kProofStickers[s].number), fixed(one.x_mm.value, 3),
           unsigned_fixed(one.x_mm.expanded(), 3), fixed(one.y_mm.value, 3), unsigned_fixed(one.y_mm.expanded(), 3),
           fixed(one.rotation_deg.value, 3), unsigned_fixed(one.rotation_deg.expanded(), 3)},
          kBodyText);
    }
    char shared[200];
    std::snprintf(
        shared, sizeof shared,
        "Station's or sheet's: scale %+.2f, stretch %+.2f, shear %+.2f mm a metre; turn of the stickers in the "
        "ring %+.3f deg.",
        1e3 * proof.shared.scale(), 1e3 * proof.shared.stretch(), 1e3 * proof.shared.shear(),
        proof.shared_rotation_deg.value);
    y_ = pen_.paragraph(kSmallText, {left_, y_ - 2.6}, shared, kColumnMm);
  }

 private:
  double right() const { return left_ + kColumnMm; }
  void rule() { pen_.line({left_, y_}, {right(), y_}); }

  void heading(const std::string& text) {
    y_ -= 4.0;
    pen_.text(kStrongText, {left_, y_}, text);
    y_ -= 3.0;
  }

  void row(const std::string& name, const std::string& offset, const std::string& rotation, const PrintStyle& style) {
    y_ -= kBodyText.height_mm;
    pen_.text(style, {left_, y_}, name);
    pen_.text_right(style, {left_ + 0.76 * kColumnMm, y_}, offset);
    pen_.text_right(style, {right(), y_}, rotation);
    y_ -= 1.3;
    pen_.line({left_, y_}, {right(), y_}, kHairMm, 0.85);
    y_ -= 0.9;
  }

  void sheet_row(const std::vector<std::string>& cells, const PrintStyle& style) {
    y_ -= kBodyText.height_mm;
    pen_.text(style, {left_, y_}, cells.front());
    for (std::size_t i = 1; i < cells.size(); ++i)
      pen_.text_right(style, {left_ + kColumnMm * static_cast<double>(i + 1) / static_cast<double>(cells.size()), y_},
                      cells[i]);
    y_ -= 2.0;
  }

  static std::string counted(const ProofReport& report) {
    return std::to_string(report.proof.places.size()) + " places, two positions each, " +
           std::to_string(report.proof.readings) + " readings of five stickers on one sheet";
  }

  Pen& pen_;
  double left_, y_;
};

cairo_status_t append(void* closure, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(closure)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

struct Destroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
};

}  // namespace

Page proof_page(const ProofReport& report, Paper paper) {
  const cv::Size2d size = paper_size_mm(paper);
  return {size, [report, size](Pen& pen) {
            Column column(pen, size);
            column.title(report);
            column.verdict(report);
            column.plot(report.proof);
            column.terms(report);
            column.sheet(report.proof);
          }};
}

std::string proof_pdf(const ProofReport& report, Paper paper) {
  const Page page = proof_page(report, paper);
  std::string pdf;
  const std::unique_ptr<cairo_surface_t, Destroy> surface(cairo_pdf_surface_create_for_stream(
      append, &pdf, page.size_mm.width * kPointsPerMm, page.size_mm.height * kPointsPerMm));
  cairo_pdf_surface_set_metadata(surface.get(), CAIRO_PDF_METADATA_TITLE, proof_headline(report).c_str());
  {
    const std::unique_ptr<cairo_t, Destroy> cairo(cairo_create(surface.get()));
    cairo_scale(cairo.get(), kPointsPerMm, -kPointsPerMm);
    cairo_translate(cairo.get(), page.size_mm.width / 2.0, -page.size_mm.height / 2.0);
    Pen pen(cairo.get());
    page.draw(pen);
    cairo_show_page(cairo.get());
  }
  cairo_surface_finish(surface.get());
  if (const cairo_status_t status = cairo_surface_status(surface.get()); status != CAIRO_STATUS_SUCCESS)
    throw SheetError(std::string("the report could not be drawn (") + cairo_status_to_string(status) + ")");
  return pdf;
}

cv::Mat proof_picture(const ProofReport& report, double px_per_mm) {
  const InEnglish report_language;
  cv::Mat colour;
  cv::cvtColor(page_picture(proof_page(report, local_paper()), px_per_mm), colour, cv::COLOR_GRAY2BGR);
  return colour;
}

}  // namespace app
