// The pose of a taught ring, fitted to sub-pixel to the edges found across its outlines.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "vision/geometry.h"
#include "vision/plane_view.h"
#include "vision/rim_edges.h"
#include "vision/rim_model.h"

namespace vision {

struct RingFit {
  Pose2 board_from_hoop;
  // Of (x mm, y mm, angle rad) in the hoop frame, the offsets eliminated; were all edges independent and as good as
  // their own sigma. A round ring gives next to none on the angle.
  cv::Matx33d information = cv::Matx33d::zeros();
  // Of the edges that were found: their residuals over their sigma, squared, mean.
  double chi2 = 1.0;
  double support = 0.0;  // share of the outline, notches left out, whose edge was found within kTightMm of its place
  // Share within kSharpMm beyond what edges strewn at random would give, 1 for a whole ring and 0 for chance alone: on
  // a cloth full of edges some lie near any outline.
  double beyond_chance = 0.0;
  double rms_mm = 0.0;  // of the edges that were found
  // How far the inner edge appears shifted against the outer one, hoop frame: what light from one side does to the
  // bevels.
  cv::Point2d shift_mm{0.0, 0.0};
  std::vector<char> found;  // a flag a point of the model
};

inline constexpr double kTightMm = 0.25;
inline constexpr double kSharpMm = 0.15;

struct RingFitOptions {
  RimEdgeOptions edges;
  double gate_mm = 3.0;      // edges further than this from the model are not its own, at the first round
  bool fixed_angle = false;  // on round rings
  int rounds = 8;
};

// Robust least squares from a start within gate_mm of the truth along the whole outline. The bevel and what shades it
// shift the visible edge off the taught outline by the same small amount all round; each outline has such an offset for
// either sense of the step, held near zero by a prior, so that it does not pull the pose.
// Frames: `start` and the outcome are board_from_hoop; the fit itself runs in the hoop frame.
class RingFitter {
 public:
  // Returns false when the edges do not determine a pose.
  bool fit(const cv::Mat& grey, const Lens& lens, const CameraPose& camera_from_board, double rim_height_mm,
           const RimModel& model, const Pose2& start, const RingFitOptions& options, RingFit& outcome);

 private:
  std::vector<RimEdges> edges_;
};

}  // namespace vision
