// Lays things one below the other on as many pages as they need. mm; a thing is never cut in two.
#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "app/sheets/page.h"
#include "app/sheets/pen.h"

namespace app {

class PaperFlow {
 public:
  explicit PaperFlow(Paper paper);

  // Of text, before it is drawn.
  Pen& measuring() { return measuring_; }
  double width() const { return kColumnMm; }
  // Draws with the left upper corner of its place. `keep_with`: so much room must be left below it on its page.
  using Draw = std::function<void(Pen&, cv::Point2d upper_left)>;
  void add(double height, Draw draw, double keep_with = 0.0);
  // Nothing at the head of a page.
  void space(double height);
  double left_on_page() const;
  void new_page();

  // With the foot's line on each: `foot`, and the page's number.
  Document document(const std::string& title, const std::string& foot) const;

 private:
  struct Placed {
    double top = 0.0;  // from the content's upper edge, downwards
    Draw draw;
  };
  struct Scratch;

  double room() const;

  Paper paper_;
  std::shared_ptr<Scratch> scratch_;
  Pen measuring_;
  std::vector<std::vector<Placed>> pages_{1};
  double used_ = 0.0;
};

}  // namespace app
