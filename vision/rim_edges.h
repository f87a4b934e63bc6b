// Where the grey value steps along the normals of a hoop's outlines.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/plane_view.h"
#include "vision/rim_model.h"

namespace vision {

// One step of the grey value across an outline.
struct RimEdge {
  double away_mm = 0.0;  // from the expected outline, positive away from the rim's material
  double step = 0.0;     // grey levels, positive when it gets brighter away from the rim
};

struct RimEdges {
  std::array<RimEdge, 5> edges;
  int count = 0;
  bool in_frame = false;
};

struct RimEdgeOptions {
  double window_mm = 2.0;   // looked at on either side of the expected outline
  double smooth_mm = 0.30;  // standard deviation of the Gaussian along the normal
  double least_step = 5.0;  // grey levels; smaller steps are noise
};

// The hoop frame as seen at the height at which each outline's edge shows.
struct RimViews {
  PlaneView inner, outer;
  // T: Hoop or RimModel, which know how far below the rim's face the edges show.
  template <class T>
  RimViews(const Lens& lens, const CameraPose& camera_from_board, double rim_height_mm, const T& ring,
           const Pose2& board_from_hoop)
      : inner(lens, camera_from_board, rim_height_mm - ring.inner_edge_drop_mm, board_from_hoop),
        outer(lens, camera_from_board, rim_height_mm - ring.outer_edge_drop_mm, board_from_hoop) {}
};

// The edges across each point of the model. The outcome's vector is reused between calls.
void find_rim_edges(const cv::Mat& grey, const RimViews& views, const RimModel& model, const RimEdgeOptions& options,
                    std::vector<RimEdges>& found);

}  // namespace vision
