#include "app/jobs/hoop_proposal.h"

namespace app {
namespace {

double field_area(const vision::Hoop& hoop) {
  const double box = hoop.field_mm.width * hoop.field_mm.height;
  return hoop.field_is_round ? box * vision::kPi / 4.0 : box;
}

}  // namespace

std::optional<HoopProposal> held_by(const Design& design, const vision::Hoop& hoop, bool may_turn,
                                    const FitOptions& options) {
  const Field field = field_of(hoop);
  const Fit upright = fit(design, field, {}, options);
  if (upright.fits) return HoopProposal{hoop.name, false, upright.gap_mm};
  if (!may_turn) return std::nullopt;
  const Fit turned = fit(design, field, {{0.0, 0.0}, vision::kPi / 2.0}, options);
  return turned.fits ? std::optional(HoopProposal{hoop.name, true, turned.gap_mm}) : std::nullopt;
}

std::optional<HoopProposal> smallest_hoop(const Design& design, const std::vector<vision::Hoop>& hoops, bool may_turn,
                                          const FitOptions& options) {
  std::optional<HoopProposal> best;
  double best_area = 0.0;
  for (const vision::Hoop& hoop : hoops) {
    const double area = field_area(hoop);
    if (best && area >= best_area) continue;
    const auto held = held_by(design, hoop, may_turn, options);
    if (!held) continue;
    best = held;
    best_area = area;
  }
  return best;
}

}  // namespace app
