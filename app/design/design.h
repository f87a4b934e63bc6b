// What is stitched, as far as placing it goes: its size and its shape. Design frame: origin at the design's centre, x
// right, y to the design's top, mm. The centre is that of the box around the design's ink, whose sides run along x and
// y; a machine counts from there as well.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <vector>

namespace app {

struct Job;  // app/jobs/job.h

struct Design {
  cv::Size2d size_mm;  // of its box; the origin is the box's centre
  // The convex hull, counter-clockwise, without repeating the first point; three points or more.
  std::vector<cv::Point2d> hull_mm;
  // What is drawn: closed outlines, outer ones counter-clockwise, inner ones clockwise. Empty: the hull is drawn.
  std::vector<std::vector<cv::Point2d>> outlines_mm;
};

// A design of which only width and height are known; both above 0.
Design rectangle_design(cv::Size2d size_mm);

// The job's design: its drawing, which design_mm (the box around its ink) brings to its true size where the job says
// both; a rectangle where it has no drawing; nothing where it says neither. `folder`: of the job's file. A drawing
// takes up to a second the first time (app/design/drawing.h). Throws calib::FileError.
std::optional<Design> design_of(const Job& job, const std::filesystem::path& folder);

}  // namespace app
