#include "app/render/shown_sheet.h"

#include <utility>

#include "app/sheets/sheet_picture.h"
#include "calib/proof_sheet.h"

namespace app {
namespace {

constexpr double kPxPerMm = 12.0;  // twice what the camera sees of a sheet held near

}  // namespace

ScenePage shown_sheet(SetupScript script, std::shared_ptr<const PrintedPage> page, double print_scale) {
  ScenePage sheet{std::move(page), {}, {}};
  if (script != SetupScript::proof) return sheet;
  const double width = calib::kProofCutWidthMm * print_scale, height = calib::kProofCutHeightMm * print_scale;
  sheet.cut_mm = {-width / 2.0, -height / 2.0, width, height};
  return sheet;
}

ScenePage shown_sheet(SetupScript script, double print_scale) {
  const SetupSheet sheet = script == SetupScript::proof ? SetupSheet::proof : SetupSheet::calibration;
  PrintedPage page{sheet_picture(sheet, Paper::a4, kPxPerMm), kPxPerMm / print_scale};
  return shown_sheet(script, std::make_shared<const PrintedPage>(std::move(page)), print_scale);
}

}  // namespace app
