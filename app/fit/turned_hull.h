// A hull turned about its design's centre, and what holds for a point of it at every rotation.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/fit/room.h"

namespace app {

// level + cosine * cos(rotation) + sine * sin(rotation): how a length changes while a design turns.
struct Wave {
  double level = 0.0, cosine = 0.0, sine = 0.0;

  double at(double rotation_rad) const;
  double slope(double rotation_rad) const;
  double swing() const;  // its amplitude

  Wave& operator+=(const Wave& other);
};
Wave operator*(double factor, const Wave& wave);

// From `rotation`, where the wave is above 0, on in `direction` (+1, -1) to where it comes down to 0: the rotation
// gone, positive; infinity where it never does.
double way_down_rad(const Wave& wave, double rotation_rad, int direction);

// What a half plane that holds the room says of a vertex: in this rotation the design's centre has to lie so that
// normal . centre <= at - normal . turned vertex.
struct Contact {
  HalfPlane plane;
  cv::Point2d vertex;  // design frame

  // By how much a centre breaks it.
  Wave broken_by(cv::Point2d centre) const;
};

std::vector<cv::Point2d> turned(const std::vector<cv::Point2d>& hull, double rotation_rad);

}  // namespace app
