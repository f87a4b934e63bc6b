// At one rotation: the place nearest to the wanted one where a design fits, with what that proves for other rotations.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/fit/turned_hull.h"

namespace app {

struct NearestPlace {
  bool possible = false;
  cv::Point2d centre_mm;     // of the design, where possible
  double distance_mm = 0.0;  // from the wanted one
  // Where possible: at every rotation the nearest place is at least this far away; tight at this one. Else: wherever
  // it is above 0 there is no place at all.
  Wave proof;
  std::vector<Contact> deciding;  // up to three: those that the proof is of
};

// The places where every vertex is in the room are a convex set, cut out by half planes (contacts) that are found as
// they are broken; the wanted place is projected onto what is left. One contact that decides is found at once, two that
// decide are closed in on by Newton's steps. Touching is fitting (kTouch_mm). `hints`: what decided at a rotation
// nearby.
NearestPlace nearest_place(const Room& room, const std::vector<cv::Point2d>& hull, double rotation_rad,
                           cv::Point2d wanted_mm, const std::vector<Contact>& hints = {});

}  // namespace app
