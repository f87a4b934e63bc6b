// Frames whose truth is known: what the bench and the reference tests measure against.
#pragma once

#include <filesystem>
#include <map>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "vision/geometry.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace bench {

struct TrueSticker {
  int number = -1;
  vision::Pose2 board_from_sticker;
};

// The truth of one frame.
struct Scene {
  std::string name;      // file name, or "seed 7"
  std::string category;  // such as "easy", "hand"
  std::string hoop;      // key of the set's hoops
  vision::Pose2 board_from_hoop;
  std::vector<TrueSticker> stickers;               // the first is the one that the reading means
  std::optional<vision::Pose2> hoop_from_sticker;  // the true reading; none when there is no sticker
  // A person could not swear to it either: a covered sticker or a hand may be refused by its own reason.
  bool may_be_refused = false;
};

// A folder in the form of images/frames: truth.json, station.toml, hoops/*.toml and the frames.
struct SceneFolder {
  std::filesystem::path folder;
  vision::Station station;
  std::map<std::string, vision::Hoop> hoops;
  std::vector<Scene> scenes;
};

bool may_be_refused(const std::string& category);

// Throws std::runtime_error or calib::FileError, naming the file and what is wrong.
SceneFolder load_scenes(const std::filesystem::path& folder);

// 8 bit grey, of the station's size. Throws std::runtime_error naming the file.
cv::Mat load_frame(const SceneFolder& set, const Scene& scene);

// How far an estimate is off: mm and degrees, in the frame of the true pose's parent.
struct PoseError {
  double dx_mm = 0.0, dy_mm = 0.0, angle_deg = 0.0;
  double offset_mm() const;
};
PoseError pose_error(const vision::Pose2& estimate, const vision::Pose2& truth);

// A reading as the pose hoop_from_sticker.
vision::Pose2 as_pose(const vision::Reading& reading);

}  // namespace bench
