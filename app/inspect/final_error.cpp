#include "app/inspect/final_error.h"

#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/views/view_words.h"
#include "app/words/words.h"
#include "vision/geometry.h"

namespace app {
namespace {

vision::Pose2 pose_of(const vision::Reading& reading) {
  return {{reading.offset_x_mm, reading.offset_y_mm}, reading.rotation_deg * vision::kRadPerDeg};
}

// By left, down.
constexpr const char* kPlaces[2][2] = {{noop("%s right, %s up"), noop("%s right, %s down")},
                                       {noop("%s left, %s up"), noop("%s left, %s down")}};

}  // namespace

Inspection final_error(const PieceRecord& piece, const vision::Reading& stitched) {
  const vision::Reading& wanted = piece.piece.reading;
  const vision::Pose2 wanted_from_stitched = vision::compose(vision::inverse(pose_of(wanted)), pose_of(stitched));
  Inspection found;
  found.piece = piece.id;
  found.found_by = FoundBy::sticker;
  found.offset_x_mm = wanted_from_stitched.origin_mm.x;
  found.offset_y_mm = wanted_from_stitched.origin_mm.y;
  found.rotation_deg = vision::wrapped_rad(wanted_from_stitched.angle_rad) * vision::kDegPerRad;
  found.u_offset_mm = std::hypot(wanted.u_offset_mm, stitched.u_offset_mm);
  found.u_rotation_deg = std::hypot(wanted.u_rotation_deg, stitched.u_rotation_deg);
  return found;
}

std::optional<Inspection> final_error(const PieceRecord& piece, const vision::StitchedRectangle& basting) {
  if (basting.status != vision::RectangleStatus::ok || basting.look_alikes < 1) return std::nullopt;
  const double turn_rad = 2.0 * vision::kPi / basting.look_alikes;
  const double wanted_rad = piece.piece.reading.rotation_deg * vision::kRadPerDeg;
  const double off_rad = vision::wrapped_rad(basting.hoop_from_rectangle.angle_rad - wanted_rad);
  const double nearest_rad = wanted_rad + off_rad - std::round(off_rad / turn_rad) * turn_rad;
  vision::Reading stitched;
  stitched.offset_x_mm = basting.hoop_from_rectangle.origin_mm.x;
  stitched.offset_y_mm = basting.hoop_from_rectangle.origin_mm.y;
  stitched.rotation_deg = vision::wrapped_rad(nearest_rad) * vision::kDegPerRad;
  stitched.u_offset_mm = basting.u_offset_mm;
  stitched.u_rotation_deg = basting.u_angle_deg;
  Inspection found = final_error(piece, stitched);
  found.found_by = FoundBy::basting;
  return found;
}

std::string final_words(const Inspection& inspection, Units units) {
  if (!std::isfinite(inspection.offset_x_mm) || !std::isfinite(inspection.offset_y_mm)) return {};
  if (std::isfinite(inspection.rotation_deg)) {
    vision::Reading as_reading;
    as_reading.offset_x_mm = inspection.offset_x_mm;
    as_reading.offset_y_mm = inspection.offset_y_mm;
    as_reading.rotation_deg = inspection.rotation_deg;
    return placement_words(as_reading, units);
  }
  const char* pattern = kPlaces[inspection.offset_x_mm < 0.0][inspection.offset_y_mm < 0.0];
  const auto length = [&](double mm) { return length_text(std::abs(mm), LengthKind::guide, units); };
  return format(tr(pattern), length(inspection.offset_x_mm), length(inspection.offset_y_mm));
}

bool is_within(const Inspection& inspection, const PieceRecord& piece) {
  const double off_mm = std::hypot(inspection.offset_x_mm, inspection.offset_y_mm);
  return !(off_mm > piece.tolerance_mm) && !(std::abs(inspection.rotation_deg) > piece.tolerance_deg);
}

}  // namespace app
