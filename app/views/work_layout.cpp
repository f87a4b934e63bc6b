#include "app/views/work_layout.h"

#include <algorithm>

#include "app/screen/button.h"

namespace app {
namespace {

constexpr double kMargin_mm = 2.0;
constexpr double kHeadline_mm = 28.0;
constexpr double kCaution_mm = 4.0;
constexpr double kReadoutWidth_mm = 94.0;
constexpr double kPortraitRow_mm = 29.0;   // the words stand beside the digits, not over them
constexpr double kSide_mm = 37.0;          // small picture, and the facts under it
constexpr double kPortraitSide_mm = 35.0;  // the same side by side

void place_rows(WorkLayout& l) {
  const float height = l.readout.h / 3.0F;
  for (std::size_t i = 0; i < l.rows.size(); ++i)
    l.rows[i] = {l.readout.x, l.readout.y + static_cast<float>(i) * height, l.readout.w, height};
}

void place_landscape(WorkLayout& l, float w, float h, float margin) {
  const float touch = l.scale.mm(kTouch_mm);
  const float caution = l.scale.mm(kCaution_mm);
  const float readout = std::min(l.scale.mm(kReadoutWidth_mm), 0.6F * w);
  const float bottom = h - 2.0F * margin - touch;
  l.readout = {w - margin - readout, margin, readout, bottom - margin};
  l.deeds = {l.readout.x, h - margin - touch, readout, touch};
  const float left = l.readout.x - 2.0F * margin;  // width of what stands left of the readout
  l.who = {margin, l.deeds.y, left, touch};
  l.headline = {margin, margin, left, l.scale.mm(kHeadline_mm)};
  l.caution = {margin, bottom - caution, left, caution};
  const float top = l.headline.y + l.headline.h + margin;
  const float height = l.caution.y - 0.5F * margin - top;
  const float side = l.scale.mm(kSide_mm);
  const float small = 0.46F * height;
  l.large = {margin, top, left - side - margin, height};
  l.small = {l.large.x + l.large.w + margin, top, side, small};
  l.facts = {l.small.x, top + small + margin, side, height - small - margin};
}

void place_portrait(WorkLayout& l, float w, float h, float margin) {
  const float touch = l.scale.mm(kTouch_mm);
  const float caution = l.scale.mm(kCaution_mm);
  const float width = w - 2.0F * margin;
  l.headline = {margin, margin, width, l.scale.mm(kHeadline_mm)};
  l.caution = {margin, h - 0.5F * margin - caution, width, caution};
  l.who = {margin, l.caution.y - 0.5F * margin - touch, width, touch};
  l.deeds = {margin, l.who.y - margin - touch, width, touch};
  const float rows = 3.0F * l.scale.mm(kPortraitRow_mm);
  l.readout = {margin, l.deeds.y - margin - rows, width, rows};
  const float top = l.headline.y + l.headline.h + margin;
  const float height = l.readout.y - margin - top;
  const float side = l.scale.mm(kPortraitSide_mm);
  l.large = {margin, top, width - 2.0F * (side + margin), height};
  l.small = {l.large.x + l.large.w + margin, top, side, height};
  l.facts = {l.small.x + side + margin, top, side, height};
}

}  // namespace

WorkLayout work_layout(int width_px, int height_px) {
  WorkLayout l;
  l.scale = Scale(width_px, height_px);
  l.landscape = height_px <= width_px;
  const auto w = static_cast<float>(width_px);
  const auto h = static_cast<float>(height_px);
  const float margin = l.scale.mm(kMargin_mm);
  if (l.landscape) {
    place_landscape(l, w, h, margin);
  } else {
    place_portrait(l, w, h, margin);
  }
  place_rows(l);
  return l;
}

}  // namespace app
