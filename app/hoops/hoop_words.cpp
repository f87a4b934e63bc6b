#include "app/hoops/hoop_words.h"

#include <algorithm>
#include <array>
#include <cstdio>

#include "app/format.h"
#include "app/hoops/catalogue.h"
#include "app/words/words.h"

namespace app {
namespace {

cv::Size2d extent_mm(const std::vector<cv::Point2d>& outline) {
  cv::Point2d least(1e9, 1e9), most(-1e9, -1e9);
  for (const cv::Point2d& p : outline) {
    least = {std::min(least.x, p.x), std::min(least.y, p.y)};
    most = {std::max(most.x, p.x), std::max(most.y, p.y)};
  }
  return outline.empty() ? cv::Size2d() : cv::Size2d(most.x - least.x, most.y - least.y);
}

}  // namespace

std::string_view side_name(vision::Side side) {
  constexpr std::array<std::string_view, 4> kNames{noop("north"), noop("east"), noop("south"), noop("west")};
  return kNames[static_cast<std::size_t>(side)];
}

std::string north_words(const vision::Hoop& hoop) {
  switch (hoop.north_by) {
    case vision::NorthBy::taught:
      return tr("by its notches");
    case vision::NorthBy::mark:
      return format(tr("by north mark %d"), hoop.north_mark);
    case vision::NorthBy::fixture:
      return tr("by the fixture");
  }
  return {};
}

cv::Size2d opening_mm(const vision::Hoop& hoop) { return extent_mm(hoop.inner_mm); }
cv::Size2d outside_mm(const vision::Hoop& hoop) { return extent_mm(hoop.outer_mm); }

std::vector<std::string> describe(const vision::Hoop& hoop) {
  const cv::Size2d opening = opening_mm(hoop), outside = outside_mm(hoop);
  std::vector<std::string> lines{
      "name        " + hoop.name,
      "field       " + field_text(hoop.field_mm, hoop.field_is_round),
      format("opening     %.1f x %.1f mm", opening.width, opening.height),
      format("outside     %.1f x %.1f mm", outside.width, outside.height),
      format("rim         %.1f mm over the board, %.1f mm of it cloth", hoop.rim_height_mm, hoop.cloth_height_mm),
      "north       " + north_words(hoop),
  };
  for (const vision::Notch& notch : hoop.notches)
    lines.push_back(format("notch       %-5s  at (%.1f, %.1f) mm, %d %s", std::string(side_name(notch.side)).c_str(),
                           notch.at_mm.x, notch.at_mm.y, notch.teeth, notch.teeth == 1 ? "groove" : "grooves"));
  return lines;
}

}  // namespace app
