// Which points of the design have stickers, as a person sets them: two to four, one of them chosen.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/resume/resume.h"

namespace app {

class ResumePlan {
 public:
  static constexpr std::size_t kLeast = 2, kMost = 4;
  // How far a basting box is sewn outside of the design: common practice, to be set as it was.
  static constexpr double kMargin_mm = 5.0, kMostMargin_mm = 40.0;

  // Two opposite corners of the basting box, without stickers.
  void start(const Design& design);

  const std::vector<ResumePoint>& points() const { return points_; }
  std::size_t chosen() const { return chosen_; }
  double margin_mm() const { return margin_mm_; }
  bool can_add() const { return points_.size() < kMost; }
  bool can_remove() const { return points_.size() > kLeast; }

  void choose(std::size_t index);
  // Points on the box's corners go with them.
  void set_margin(const Design& design, double margin_mm);
  // On a corner of the box that is free, else on the centre; it is the chosen one then.
  void add(const Design& design);
  void remove();  // the chosen one
  // Of the chosen point.
  void put(cv::Point2d at_mm) { points_[chosen_].at_mm = at_mm; }
  void move(cv::Point2d by_mm) { points_[chosen_].at_mm += by_mm; }
  void step_number(int by);
  // A sticker for the chosen point; another point that had it has none then, and the next without one is chosen.
  void give(int number);
  void set_points(std::vector<ResumePoint> points) { points_ = std::move(points); }

 private:
  std::vector<ResumePoint> points_{2};
  std::size_t chosen_ = 0;
  double margin_mm_ = kMargin_mm;
};

}  // namespace app
