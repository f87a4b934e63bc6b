// Drawings whose outlines are known in closed form.
#include "app/design/drawing.h"
#include "app/jobs/job.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

struct Sheet {
  app::Drawing read(const std::string& attributes, const std::string& body,
                    const std::optional<app::TrueSize>& size = {}) const {
    return app::read_drawing(
        folder.put("drawing.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\" " + attributes + ">" + body + "</svg>"),
        size);
  }
  TemporaryFolder folder;
};

}  // namespace

TEST_CASE("a rectangle's drawing has its size", "[drawing]") {
  const app::Drawing drawing = Sheet().read("width=\"100mm\" height=\"60mm\" viewBox=\"0 0 100 60\"",
                                            "<rect x=\"10.03\" y=\"5.07\" width=\"50\" height=\"30\"/>");
  CHECK(drawing.scale == app::DrawingScale::physical);
  CHECK_THAT(drawing.design.size_mm.width, WithinAbs(50.0, 0.1));
  CHECK_THAT(drawing.design.size_mm.height, WithinAbs(30.0, 0.1));
  CHECK(drawing.design.hull_mm.size() >= 4);
}
