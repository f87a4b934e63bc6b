#include "app/hoops/teach_report.h"

#include <algorithm>
#include <cstdio>

#include "app/format.h"
#include "app/hoops/hoop_words.h"

namespace app {
namespace {}  // namespace

std::vector<std::string> ring_lines(const calib::TaughtRing& ring) {
  const cv::Size2d opening = opening_mm(ring.hoop), outside = outside_mm(ring.hoop);
  std::vector<std::string> lines{
      calib::name(ring.shape) + " ring" +
          format(": %.1f x %.1f mm inside, %.1f x %.1f mm outside", opening.width, opening.height, outside.width,
                 outside.height),
      format("%.0f %% of the outlines seen, edges within %.2f mm of them", 100.0 * ring.seen_share, ring.rms_mm),
      format("sure to (k = 2): size %.2f mm, centre %.2f mm, angle %.2f deg",
             2.0 * std::max(ring.u_inner_mm, ring.u_outer_mm), 2.0 * ring.u_origin_mm, 2.0 * ring.u_angle_deg)};
  std::string found;
  for (const vision::Side side : vision::kSides)
    if (ring.notch_found[static_cast<std::size_t>(side)]) found.append(" ").append(side_name(side));
  lines.push_back(found.empty() ? "notches: none" : "notches:" + found);
  lines.emplace_back(ring.north_certain ? "north is the doubled notch" : "north is not told by the notches");
  return lines;
}

std::vector<std::string> height_lines(const Teaching& teaching) {
  std::vector<std::string> lines;
  const double used_mm = teaching.rim_height_mm();
  if (const auto found = teaching.found_height()) {
    if (found->fault != calib::HeightFault::none && found->fault != calib::HeightFault::too_close)
      lines.push_back(calib::sentence(found->fault));
    else
      lines.push_back(format("rim height by parallax: %.2f mm (k = 2: %.2f mm) from %d pictures", found->height_mm,
                             2.0 * found->u_mm, found->frames_used));
    if (found->fault == calib::HeightFault::too_close) lines.push_back(calib::sentence(found->fault));
    if (found->fault == calib::HeightFault::none && teaching.words().height == TeachingWords::Height::typed)
      lines.push_back(calib::compare_heights(*found, used_mm).sentence);
  }
  switch (teaching.words().height) {
    case TeachingWords::Height::typed:
      lines.push_back(format("rim height used: %.2f mm, as typed", used_mm));
      break;
    case TeachingWords::Height::measured:
      lines.push_back(format("rim height used: %.2f mm, by parallax, since none was typed", used_mm));
      break;
    case TeachingWords::Height::usual:
      lines.push_back(format("rim height used: %.2f mm, the usual one (common practice)", used_mm));
      break;
  }
  return lines;
}

}  // namespace app
