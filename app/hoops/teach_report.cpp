#include "app/hoops/teach_report.h"

#include <algorithm>
#include <cstdio>

#include "app/format.h"
#include "app/hoops/hoop_words.h"
#include "app/words/words.h"

namespace app {
std::vector<std::string> ring_lines(const calib::TaughtRing& ring) {
  const cv::Size2d opening = opening_mm(ring.hoop), outside = outside_mm(ring.hoop);
  std::vector<std::string> lines{
      format(tr("%s ring: %s x %s mm inside, %s x %s mm outside"), tr(calib::name(ring.shape)),
             number(opening.width, 1), number(opening.height, 1), number(outside.width, 1), number(outside.height, 1)),
      format(tr("%s %% of the outlines seen, edges within %s mm of them"), number(100.0 * ring.seen_share, 0),
             number(ring.rms_mm, 2)),
      format(tr("sure to (k = 2): size %s mm, centre %s mm, angle %s deg"),
             number(2.0 * std::max(ring.u_inner_mm, ring.u_outer_mm), 2), number(2.0 * ring.u_origin_mm, 2),
             number(2.0 * ring.u_angle_deg, 2))};
  std::string found;
  for (const vision::Side side : vision::kSides)
    if (ring.notch_found[static_cast<std::size_t>(side)]) found.append(" ").append(tr(std::string(side_name(side))));
  lines.push_back(found.empty() ? tr("notches: none") : format(tr("notches:%s"), found));
  lines.emplace_back(ring.north_certain ? tr("north is the doubled notch") : tr("north is not told by the notches"));
  return lines;
}

std::vector<std::string> height_lines(const Teaching& teaching) {
  std::vector<std::string> lines;
  const double used_mm = teaching.rim_height_mm();
  if (const auto found = teaching.found_height()) {
    if (found->fault != calib::HeightFault::none && found->fault != calib::HeightFault::too_close)
      lines.push_back(tr(calib::sentence(found->fault)));
    else
      lines.push_back(format(tr("rim height by parallax: %s mm (k = 2: %s mm) from %d pictures"),
                             number(found->height_mm, 2), number(2.0 * found->u_mm, 2),
                             static_cast<int>(found->frames_used)));
    if (found->fault == calib::HeightFault::too_close) lines.push_back(tr(calib::sentence(found->fault)));
    if (found->fault == calib::HeightFault::none && teaching.words().height == TeachingWords::Height::typed)
      lines.push_back(calib::compare_heights(*found, used_mm).sentence);
  }
  switch (teaching.words().height) {
    case TeachingWords::Height::typed:
      lines.push_back(format(tr("rim height used: %s mm, as typed"), number(used_mm, 2)));
      break;
    case TeachingWords::Height::measured:
      lines.push_back(format(tr("rim height used: %s mm, by parallax, since none was typed"), number(used_mm, 2)));
      break;
    case TeachingWords::Height::usual:
      lines.push_back(format(tr("rim height used: %s mm, the usual one (common practice)"), number(used_mm, 2)));
      break;
  }
  return lines;
}

}  // namespace app
