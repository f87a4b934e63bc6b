// The ring of a taught hoop in one frame: where it lies, which way up, and how surely.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/notches.h"
#include "vision/reading.h"
#include "vision/rim_model.h"
#include "vision/ring_fit.h"
#include "vision/ring_search.h"
#include "vision/station.h"
#include "vision/which_way.h"

namespace vision {

struct RingOutcome {
  Status status = Status::no_ring;  // ok, no_ring, ring_covered or which_way_up
  Pose2 board_from_hoop;            // also present with which_way_up (up to its look-alike positions) and ring_covered
  // Of (x mm, y mm) in the hoop frame and the angle (rad), k = 1, heights and camera pose left out.
  Covariance3 covariance = Covariance3::zeros();
  Covariance3 noise_covariance = Covariance3::zeros();
  double support = 0.0;
  double rms_mm = 0.0;
  std::vector<char> found;  // a flag a point of the model
  std::array<FoundNotch, 4> notches;
  int notches_found = 0;
  bool tracked = false;
};

class RingGauge {
 public:
  explicit RingGauge(Hoop hoop);

  // `last` is tried first; when the ring is not there any more, or not surely, the whole rim plane is searched, rings
  // around `inside_in_board` (the sticker) first.
  const RingOutcome& measure(const cv::Mat& grey, const Lens& lens, const CameraPose& camera_from_board,
                             const std::optional<Pose2>& last, const std::optional<cv::Point2d>& north_mark_in_board,
                             const std::optional<cv::Point2d>& inside_in_board = std::nullopt);

  const RingOutcome& outcome() const { return outcome_; }  // of the last measure()
  const Hoop& hoop() const { return hoop_; }
  const RimModel& model() const { return fine_; }

 private:
  // How far a start may be off: 5 mm, 3 mm, 1.5 mm along the whole outline.
  enum class Start { rough, near, tracked };
  bool settle(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, const Pose2& start, Start quality);
  bool search(const cv::Mat& grey, const Lens& lens, const CameraPose& pose,
              const std::optional<cv::Point2d>& inside_in_board);
  bool try_start(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, const Pose2& start, Start quality);
  void try_beside(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, const Pose2& middle);
  void drop_stray_notches();
  bool rim_shows_at(cv::Point2d place_in_hoop) const;
  bool outlines_go_together() const;
  bool turn_round_ring(const cv::Mat& grey, const Lens& lens, const CameraPose& pose, bool near);
  void look_for_notches(const cv::Mat& grey, const Lens& lens, const CameraPose& pose);
  void conclude(const cv::Mat& grey, const Lens& lens, const CameraPose& pose,
                const std::optional<cv::Point2d>& north_mark_in_board);
  void adjust_to_notches();

  Hoop hoop_;
  RimModel fine_, rough_, sparse_;
  std::array<NotchSite, 4> sites_;
  RingFitter fitter_;
  RingSearch search_;
  std::vector<RingCandidate> candidates_;
  RingFit fit_, best_fit_;
  RingOutcome outcome_;
};

}  // namespace vision
