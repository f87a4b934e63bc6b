// Another board frame for a surveyed board: the marks stay where they are, what is called origin and x axis changes.
#pragma once

#include <optional>
#include <vector>

#include "vision/geometry.h"
#include "vision/station.h"

namespace calib {

// The frame with its origin at `origin` and its x axis towards `toward`, both in the old frame, mm; without `toward`
// the axes keep their direction. Gives new_from_old, or nothing where the two points are less than 10 mm apart.
std::optional<vision::Pose2> frame_through(cv::Point2d origin, const std::optional<cv::Point2d>& toward);

void move_mark(vision::BoardMark& mark, const vision::Pose2& new_from_old);
void move_camera(vision::CameraPose& camera_from_board, const vision::Pose2& new_from_old);
// Marks and the surveyed camera; uncertainties stay as they were stated.
void move_frame(vision::Station& station, const vision::Pose2& new_from_old);

// new_from_old that lays marks onto those of the same number in `onto` as most of them agree, within 0.5 mm; nothing
// where fewer than three do.
std::optional<vision::Pose2> frame_of(const std::vector<vision::BoardMark>& onto,
                                      const std::vector<vision::BoardMark>& marks);

}  // namespace calib
