// Where a taught ring might lie when nothing is known: its outlines laid over the edges of the rim plane, all places
// and angles tried on a coarse grid.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <vector>

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/rim_model.h"

namespace vision {

struct RingCandidate {
  Pose2 board_from_hoop;  // to about 2 mm and 2 degrees
  double score = 0.0;     // share of the outlines that lie on an edge of their direction, 0..1
};

class RingSearch {
 public:
  // The best candidates, best first, none nearer than a few cells to a better one. A model with symmetry n is searched
  // over 1/n of a turn, a round one at angle 0 only. `model` may be coarse (spacing around 6 mm).
  const std::vector<RingCandidate>& search(const cv::Mat& grey, const Lens& lens, const CameraPose& camera_from_board,
                                           double rim_height_mm, const RimModel& model, int most);

 private:
  struct Grid {
    double left_mm = 0.0, top_mm = 0.0;  // board place of the first pixel's centre; y falls row by row
    int width = 0, height = 0;
  };
  static constexpr int kBins = 8;
  // For each direction of the normal (mod 180 degrees) the cells that hold an edge, with an empty margin around.
  struct EdgeCells {
    double cell_mm = 0.0;
    cv::Point2d first_mm;  // board place of the first cell's middle
    int width = 0, height = 0, margin = 0, stride = 0;
    std::array<std::vector<uchar>, kBins> bins;
    void shape(const Grid& grid, int pixels_a_cell, int margin_cells);
  };

  void rectify(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, double rim_height_mm);
  void mark_edges(double reach_mm);
  void vote(const RimModel& model, double angle_rad);
  void keep_peaks(double angle_rad);
  RingCandidate refined(const RimModel& model, const EdgeCells& cells, const RingCandidate& rough, double step_mm,
                        double step_deg);
  void spread_round(const RimModel& model, const RingCandidate& rough);
  void turn_model(const RimModel& model, double angle_rad);
  double score(const EdgeCells& cells, cv::Point2d at_mm) const;  // of the turned model, its origin there

  struct TurnedPoint {
    double x_mm = 0.0, y_mm = 0.0;
    int bin = 0;
  };

  Grid grid_;
  cv::Mat small_, flat_, map_x_, map_y_, gx_, gy_, magnitude_, mean_;
  EdgeCells sharp_, fine_, coarse_;
  int first_x_ = 0, last_x_ = 0, first_y_ = 0, last_y_ = 0;  // coarse cells in which a hoop's origin may lie
  std::vector<uchar> votes_;
  std::vector<TurnedPoint> turned_;
  std::vector<RingCandidate> rough_, all_, best_;
};

}  // namespace vision
