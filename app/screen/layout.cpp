#include "app/screen/layout.h"

#include <algorithm>

namespace app {
namespace {

constexpr double kMargin_mm = 2.5;
constexpr double kStatus_mm = 7.0;
constexpr double kPortraitStatus_mm = 10.5;  // two lines
constexpr double kRow_mm = 37.5;
constexpr double kReadoutWidth_mm = 88.0;
constexpr double kStrip_mm = 34.0;

void place_rows(MeasureLayout& l) {
  const float height = l.readout.h / 3.0F;
  for (std::size_t i = 0; i < l.rows.size(); ++i) {
    l.rows[i] = {l.readout.x, l.readout.y + static_cast<float>(i) * height, l.readout.w, height};
  }
}

// Diagram and verdict side by side.
void place_strip(MeasureLayout& l, const SDL_FRect& strip, float gap) {
  l.diagram = {strip.x, strip.y, strip.h, strip.h};
  l.verdict = {strip.x + strip.h + gap, strip.y, strip.w - strip.h - gap, strip.h};
}

}  // namespace

MeasureLayout measure_layout(int width_px, int height_px) {
  MeasureLayout l;
  l.scale = Scale(width_px, height_px);
  const auto w = static_cast<float>(width_px);
  const auto h = static_cast<float>(height_px);
  const float margin = l.scale.mm(kMargin_mm);
  const float status = l.scale.mm(height_px <= width_px ? kStatus_mm : kPortraitStatus_mm);
  const float strip = l.scale.mm(kStrip_mm);
  l.status = {margin, h - status, w - 2.0F * margin, status};
  const float bottom = h - status;
  if (height_px <= width_px) {
    const float readout = std::min(l.scale.mm(kReadoutWidth_mm), 0.55F * w);
    l.readout = {w - margin - readout, margin, readout, bottom - margin};
    const float left = w - 3.0F * margin - readout;
    l.picture = {margin, margin, left, bottom - 2.0F * margin - strip};
    place_strip(l, {margin, bottom - strip, left, strip}, margin);
  } else {
    const float rows = std::min(3.0F * l.scale.mm(kRow_mm), 0.6F * h);
    l.readout = {margin, bottom - rows, w - 2.0F * margin, rows};
    const float strip_top = l.readout.y - margin - strip;
    l.picture = {margin, margin, w - 2.0F * margin, strip_top - 2.0F * margin};
    place_strip(l, {margin, strip_top, w - 2.0F * margin, strip}, margin);
  }
  place_rows(l);
  return l;
}

}  // namespace app
