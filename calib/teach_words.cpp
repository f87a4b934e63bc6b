// What a person is told of a taught ring, and what of it goes into a hoop file.
#include <algorithm>
#include <cmath>

#include "calib/teach_ring.h"
#include "vision/plane_view.h"

namespace calib {
namespace {

constexpr double kFieldMarginMm = 5.0, kFieldStepMm = 5.0;
constexpr double kSlackMm = 0.7;  // of a measured opening

double whole_steps(double length_mm) { return kFieldStepMm * std::floor((length_mm + kSlackMm) / kFieldStepMm); }

cv::Size2d opening_mm(const std::vector<cv::Point2d>& inner) {
  cv::Point2d least(0.0, 0.0), most(0.0, 0.0);
  for (const cv::Point2d& p : inner) {
    least = {std::min(least.x, p.x), std::min(least.y, p.y)};
    most = {std::max(most.x, p.x), std::max(most.y, p.y)};
  }
  return {2.0 * std::min(most.x, -least.x), 2.0 * std::min(most.y, -least.y)};
}

}  // namespace

std::string sentence(TeachFault fault) {
  switch (fault) {
    case TeachFault::none:
      return "The ring and its notches were found.";
    case TeachFault::no_board:
      return "Fewer than three board marks were seen in their places: clear the marks, or survey the board again.";
    case TeachFault::no_ring:
      return "No ring was found: lay the assembled empty rings on the bare board, within the picture.";
    case TeachFault::several_rings:
      return "More than one ring was seen: leave only the hoop that is to be taught on the board.";
    case TeachFault::ring_cut_off:
      return "The ring reaches beyond the picture: move it towards the board's middle.";
    case TeachFault::ring_covered:
      return "A part of the ring is hidden: take hands, cloth and tools away from it.";
    case TeachFault::notches_missing:
      return "Fewer than three of the four notches were found: show where they are on the picture.";
  }
  return {};
}

std::string name(RingShape shape) {
  switch (shape) {
    case RingShape::round:
      return "round";
    case RingShape::oval:
      return "oval";
    case RingShape::square:
      return "square";
    case RingShape::rectangle:
      return "rectangle";
    case RingShape::other:
      return "other";
  }
  return {};
}

RingPicture picture_of(const TaughtRing& ring, const vision::Station& station, const vision::CameraPose& pose) {
  const auto view = [&](double below_mm) {
    return vision::PlaneView(station.lens, pose, ring.hoop.rim_height_mm - below_mm, ring.board_from_hoop);
  };
  const vision::PlaneView inner = view(ring.hoop.inner_edge_drop_mm), outer = view(ring.hoop.outer_edge_drop_mm);
  const vision::PlaneView face = view(0.0);
  RingPicture picture;
  for (const cv::Point2d& p : ring.hoop.inner_mm) picture.inner_px.push_back(inner.image(p));
  for (const cv::Point2d& p : ring.hoop.outer_mm) picture.outer_px.push_back(outer.image(p));
  for (size_t k = 0; k < 4; ++k) picture.notch_px[k] = face.image(ring.hoop.notches[k].at_mm);
  return picture;
}

bool north_can_be_told(const TaughtRing& ring) {
  // Against each of the positions in which the ring looks the same: some notch must differ.
  const auto teeth = [&](size_t k) { return ring.hoop.notches[k % 4].teeth; };
  const cv::Size2d size = opening_mm(ring.hoop.inner_mm);
  const bool quarter = ring.shape == RingShape::round || std::abs(size.width - size.height) < 1.0;
  for (size_t turn = quarter ? 1 : 2; turn < 4; turn += quarter ? 1 : 2) {
    bool differs = false;
    for (size_t k = 0; k < 4; ++k) differs = differs || teeth(k) != teeth(k + turn);
    if (!differs) return false;
  }
  return true;
}

cv::Size2d suggested_field_mm(const TaughtRing& ring) {
  const cv::Size2d opening = opening_mm(ring.hoop.inner_mm);
  const cv::Size2d field{whole_steps(opening.width - 2.0 * kFieldMarginMm),
                         whole_steps(opening.height - 2.0 * kFieldMarginMm)};
  if (ring.shape != RingShape::round) return field;
  const double diameter = std::min(field.width, field.height);
  return {diameter, diameter};
}

vision::Hoop hoop_file_from(const TaughtRing& ring, const std::string& name, cv::Size2d field_mm,
                            double cloth_height_mm) {
  vision::Hoop hoop = ring.hoop;
  hoop.name = name;
  // The cloth and its stabilizer lie under the inner ring and lift it.
  hoop.rim_height_mm += cloth_height_mm;
  hoop.cloth_height_mm = cloth_height_mm;
  hoop.field_is_round = ring.shape == RingShape::round;
  hoop.field_mm = field_mm.width > 0.0 && field_mm.height > 0.0 ? field_mm : suggested_field_mm(ring);
  return hoop;
}

}  // namespace calib
