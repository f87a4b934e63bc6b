#include "app/design/design.h"

#include "app/design/drawing.h"
#include "app/jobs/job.h"

namespace app {

Design rectangle_design(cv::Size2d size_mm) {
  const double x = size_mm.width / 2.0, y = size_mm.height / 2.0;
  return {size_mm, {{-x, -y}, {x, -y}, {x, y}, {-x, y}}, {}};
}

std::optional<Design> design_of(const Job& job, const std::filesystem::path& folder) {
  if (job.design_file.empty()) return job.design_mm ? std::optional(rectangle_design(*job.design_mm)) : std::nullopt;
  std::optional<TrueSize> size;
  if (job.design_mm) size = TrueSize{job.design_mm->width, job.design_mm->height};
  return read_drawing(folder / job.design_file, size).design;
}

}  // namespace app
