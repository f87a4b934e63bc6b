#include "app/design/design.h"

namespace app {

Design rectangle_design(cv::Size2d size_mm) {
  const double x = size_mm.width / 2.0, y = size_mm.height / 2.0;
  return {size_mm, {{-x, -y}, {x, -y}, {x, y}, {-x, y}}, {}};
}

}  // namespace app
