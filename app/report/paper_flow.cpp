#include "app/report/paper_flow.h"

#include <cairo.h>

#include <memory>

namespace app {
namespace {

constexpr double kTopMm = 15.0, kFootMm = 12.0, kFootRoomMm = 8.0;

}  // namespace

// A surface that nothing is ever drawn on.
struct PaperFlow::Scratch {
  Scratch()
      : surface(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr)), cairo(cairo_create(surface)) {}
  ~Scratch() {
    cairo_destroy(cairo);
    cairo_surface_destroy(surface);
  }
  Scratch(const Scratch&) = delete;
  Scratch& operator=(const Scratch&) = delete;

  cairo_surface_t* surface;
  cairo_t* cairo;
};

PaperFlow::PaperFlow(Paper paper) : paper_(paper), scratch_(std::make_shared<Scratch>()), measuring_(scratch_->cairo) {}

double PaperFlow::room() const { return paper_size_mm(paper_).height - kTopMm - kFootMm - kFootRoomMm; }
double PaperFlow::left_on_page() const { return room() - used_; }

void PaperFlow::new_page() {
  if (pages_.back().empty()) return;
  pages_.emplace_back();
  used_ = 0.0;
}

void PaperFlow::add(double height, Draw draw, double keep_with) {
  if (height + keep_with > left_on_page()) new_page();
  pages_.back().push_back({used_, std::move(draw)});
  used_ += height;
}

void PaperFlow::space(double height) {
  if (!pages_.back().empty()) used_ += height;
}

Document PaperFlow::document(const std::string& title, const std::string& foot) const {
  Document out{title, {}};
  const cv::Size2d size = paper_size_mm(paper_);
  const double left = -kColumnMm / 2.0, top = size.height / 2.0 - kTopMm, below = -size.height / 2.0 + kFootMm;
  for (std::size_t i = 0; i < pages_.size(); ++i) {
    const std::string number = std::to_string(i + 1) + " of " + std::to_string(pages_.size());
    out.pages.push_back({size, [=, placed = pages_[i]](Pen& pen) {
                           for (const Placed& one : placed) one.draw(pen, {left, top - one.top});
                           pen.text(kFaintText, {left, below}, pen.shortened(kFaintText, foot, kColumnMm - 25.0));
                           pen.text_right(kFaintText, {-left, below}, number);
                         }});
  }
  return out;
}

}  // namespace app
