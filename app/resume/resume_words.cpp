#include "app/resume/resume_words.h"

#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

std::string length(double mm, Units units) { return length_text(std::abs(mm), LengthKind::guide, units); }
std::string fine(double mm, Units units) { return length_text(mm, LengthKind::fine, units); }

// One of four by the signs of right and up.
const char* quadrant(cv::Point2d p, const char* right_up, const char* right_down, const char* left_up,
                     const char* left_down) {
  if (p.x >= 0.0) return p.y >= 0.0 ? right_up : right_down;
  return p.y >= 0.0 ? left_up : left_down;
}

// The design's own pose in the hoop, whatever the machine.
std::string pose_sentence(const vision::Pose2& hoop_from_design, Units units) {
  const cv::Point2d o = hoop_from_design.origin_mm;
  const double turn_deg = vision::wrapped_rad(hoop_from_design.angle_rad) * vision::kDegPerRad;
  const char* words =
      turn_deg >= 0.0
          ? quadrant(o, noop("The design belongs %s° counter-clockwise, its centre %s right and %s up of the hoop's."),
                     noop("The design belongs %s° counter-clockwise, its centre %s right and %s down of the hoop's."),
                     noop("The design belongs %s° counter-clockwise, its centre %s left and %s up of the hoop's."),
                     noop("The design belongs %s° counter-clockwise, its centre %s left and %s down of the hoop's."))
          : quadrant(o, noop("The design belongs %s° clockwise, its centre %s right and %s up of the hoop's."),
                     noop("The design belongs %s° clockwise, its centre %s right and %s down of the hoop's."),
                     noop("The design belongs %s° clockwise, its centre %s left and %s up of the hoop's."),
                     noop("The design belongs %s° clockwise, its centre %s left and %s down of the hoop's."));
  return format(tr(words), number(std::abs(turn_deg), 1).c_str(), length(o.x, units).c_str(),
                length(o.y, units).c_str());
}

std::string entry_sentence(const MachineEntry& entry, Units units) {
  const char* words = quadrant({entry.jog_right_mm, entry.jog_up_mm},
                               noop("Rotation %s°, jog %s right and %s up, in place of all that was entered before."),
                               noop("Rotation %s°, jog %s right and %s down, in place of all that was entered before."),
                               noop("Rotation %s°, jog %s left and %s up, in place of all that was entered before."),
                               noop("Rotation %s°, jog %s left and %s down, in place of all that was entered before."));
  return format(tr(words), number(entry.rotation, 1).c_str(), length(entry.jog_right_mm, units).c_str(),
                length(entry.jog_up_mm, units).c_str());
}

ResumeWords bad(std::string headline, std::string sentence) {
  return {std::move(headline), std::move(sentence), false, true};
}

ResumeWords found(const ResumeAnswer& answer, const std::optional<PieceAnswer>& piece, Units units) {
  if (piece && piece->entry && !piece->entry->possible())
    return bad(tr("Beyond the machine's reach"),
               tr("The machine cannot turn or move the design there. Hoop it again, closer to how it lay before."));
  if (piece && !piece->fit.fits)
    return bad(tr("It reaches out of the field"),
               tr("The stitches lie too near the ring now. Hoop it again, closer to how it lay before."));
  if (piece && piece->entry) return {tr("Enter at the machine"), entry_sentence(*piece->entry, units), true, false};
  return {tr("The stitches are found"), pose_sentence(answer.hoop_from_design, units), true, false};
}

}  // namespace

std::string place_words(cv::Point2d p, Units units) {
  const char* words =
      quadrant(p, noop("%s right, %s up"), noop("%s right, %s down"), noop("%s left, %s up"), noop("%s left, %s down"));
  return format(tr(words), length(p.x, units).c_str(), length(p.y, units).c_str());
}

ResumeWords resume_words(const std::optional<ResumeAnswer>& answer, const std::optional<PieceAnswer>& piece,
                         const ResumeOptions& options, Units units) {
  const std::string limit = fine(options.tolerance_mm, units);
  if (!answer || answer->fault == ResumeFault::too_few)
    return {tr("Stickers on known points"),
            tr("Put a sticker on each point, the needle's dot on the stitch, its arrow to the design's top; press the "
               "ring in."),
            false, false};
  switch (answer->fault) {
    case ResumeFault::none:
      return found(*answer, piece, units);
    case ResumeFault::arrow:
      return bad(
          format(tr("Sticker %d is turned"), answer->sticker),
          tr("Its arrow does not point to the design's top. If it does, its point is another: touch the right one."));
    case ResumeFault::too_close:
      return bad(
          tr("Points too close together"),
          format(tr("The design's far corner would be known to %s only, the limit is %s. Take points further apart."),
                 fine(answer->far_corner_u_mm, units).c_str(), limit.c_str()));
    case ResumeFault::misfit:
      if (answer->points.empty())
        return bad(
            tr("The box does not fit"),
            format(tr("Its sides are up to %s off at each end, the limit is %s. Smooth the cloth, or hoop it again."),
                   fine(answer->misfit_mm, units).c_str(), limit.c_str()));
      return bad(
          tr("The points do not fit"),
          format(tr("Sticker %d lies %s off its point, the limit is %s. Check the points, and smooth the cloth."),
                 answer->sticker, fine(answer->misfit_mm, units).c_str(), limit.c_str()));
    case ResumeFault::too_few:
      break;
  }
  return {};
}

std::vector<std::string> resume_figures(const ResumeAnswer& answer, const std::optional<PieceAnswer>& piece,
                                        Units units) {
  std::vector<std::string> lines;
  if (answer.fault == ResumeFault::too_few) return lines;
  if (answer.fault == ResumeFault::none) lines.push_back(pose_sentence(answer.hoop_from_design, units));
  lines.push_back(format(tr("Known to ± %s at the design's far corner, ± %s°"),
                         fine(answer.far_corner_u_mm, units).c_str(),
                         number(std::max(answer.u_rotation_deg, 0.005), 2).c_str()));
  const std::string misfit = fine(answer.misfit_mm, units);
  if (!answer.points.empty())
    lines.push_back(format(tr("The worst point is %s off: sticker %d"), misfit.c_str(), answer.sticker));
  lines.push_back(format(answer.scale_percent >= 0.0 ? tr("The points lie %s %% ± %s %% too far apart")
                                                     : tr("The points lie %s %% ± %s %% too close together"),
                         number(std::abs(answer.scale_percent), 1).c_str(),
                         number(std::max(answer.u_scale_percent, 0.05), 1).c_str()));
  if (answer.fault != ResumeFault::none || !piece) return lines;
  const std::string gap = length(piece->fit.gap_mm, units);
  lines.push_back(
      format(piece->fit.fits ? tr("It fits, with %s more than the clearance") : tr("It sticks out of the field by %s"),
             gap.c_str()));
  return lines;
}

}  // namespace app
