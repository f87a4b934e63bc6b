// Where a rectangle of thin lines may lie on the cloth, roughly.
#pragma once

#include <vector>

#include "vision/cloth_sight.h"

namespace vision {

struct RectangleCandidate {
  Pose2 hoop_from_rectangle;
  int sign = 1;        // lines brighter than the cloth: +1; else -1
  double score = 0.0;  // the weakest side's mean curvature of the grey value, over that of the texture
};

struct RectangleScanOptions {
  cv::Size2d size_mm;
  double slack_mm = 2.0;  // each side may lie so far off
  double turn_limit_rad = kPi / 2.0;
  double least_score = 0.25;
  double least_in_sight = 0.6;  // share of a side
  int most = 8;
};

struct RectangleScan {
  std::vector<RectangleCandidate> candidates;  // the best first, each a few mm or degrees from the others
  bool fits_in_sight = false;                  // there is a place where all sides would be in sight
};

// `patch` at half of kScanMmPerPx.
RectangleScan scan_rectangles(const ClothPatch& patch, const RectangleScanOptions& options);

}  // namespace vision
