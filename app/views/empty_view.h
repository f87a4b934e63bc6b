// A view that shows nothing yet.
#pragma once

#include "app/screen/theme.h"
#include "app/views/station_view.h"

namespace app {

class EmptyView : public StationView {
 public:
  void handle(const InputEvent&, Desk&) override {}
  void draw(Canvas& canvas, Text&, cv::Size, const Desk&, double) override { canvas.clear(theme::kGround); }
};

}  // namespace app
