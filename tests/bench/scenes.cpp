#include "tests/bench/scenes.h"

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <stdexcept>

#include "calib/files.h"

namespace bench {
namespace {

using nlohmann::json;

vision::Pose2 pose_from(const json& j) {
  return {{j.at("x_mm"), j.at("y_mm")}, j.at("angle_deg").get<double>() * vision::kRadPerDeg};
}

Scene scene_from(const json& row) {
  Scene scene;
  scene.name = row.at("file");
  scene.category = row.at("category");
  scene.hoop = row.at("hoop");
  scene.board_from_hoop = pose_from(row.at("hoop_pose_board"));
  for (const json& s : row.at("stickers")) scene.stickers.push_back({s.at("number"), pose_from(s.at("pose_board"))});
  if (row.contains("offset_x_mm")) {
    scene.hoop_from_sticker = vision::Pose2{{row.at("offset_x_mm"), row.at("offset_y_mm")},
                                            row.at("rotation_deg").get<double>() * vision::kRadPerDeg};
  }
  scene.may_be_refused = may_be_refused(scene.category);
  return scene;
}

// The two ways in which the file states the reading must agree, else a slip in it would pass as our error.
void check_consistent(const Scene& scene) {
  if (!scene.hoop_from_sticker) return;
  if (scene.stickers.empty()) throw std::runtime_error(scene.name + ": a reading without a sticker");
  const vision::Pose2 composed =
      vision::compose(vision::inverse(scene.board_from_hoop), scene.stickers.front().board_from_sticker);
  const PoseError error = pose_error(*scene.hoop_from_sticker, composed);
  // The file rounds offsets and angles to 1e-4.
  if (!(error.offset_mm() < 5e-4) || !(std::abs(error.angle_deg) < 5e-4))
    throw std::runtime_error(scene.name + ": the stated reading is not the sticker's pose in the hoop");
}

}  // namespace

bool may_be_refused(const std::string& category) { return category == "hand" || category == "covered_sticker"; }

SceneFolder load_scenes(const std::filesystem::path& folder) {
  SceneFolder set;
  set.folder = folder;
  const std::filesystem::path truth = folder / "truth.json";
  std::ifstream file(truth);
  if (!file) throw std::runtime_error(truth.string() + ": cannot be read");
  try {
    for (const json& row : json::parse(file)) set.scenes.push_back(scene_from(row));
  } catch (const json::exception& e) {
    throw std::runtime_error(truth.string() + ": " + e.what());
  }
  set.station = calib::load_station(folder / "station.toml");
  for (const Scene& scene : set.scenes) {
    check_consistent(scene);
    if (!set.hoops.contains(scene.hoop))
      set.hoops[scene.hoop] = calib::load_hoop(folder / "hoops" / (scene.hoop + ".toml"));
  }
  return set;
}

cv::Mat load_frame(const SceneFolder& set, const Scene& scene) {
  const std::string file = (set.folder / scene.name).string();
  cv::Mat grey = cv::imread(file, cv::IMREAD_GRAYSCALE);
  if (grey.empty()) throw std::runtime_error(file + ": no picture");
  return grey;
}

double PoseError::offset_mm() const { return std::hypot(dx_mm, dy_mm); }

PoseError pose_error(const vision::Pose2& estimate, const vision::Pose2& truth) {
  const cv::Point2d d = estimate.origin_mm - truth.origin_mm;
  return {d.x, d.y, vision::wrapped_rad(estimate.angle_rad - truth.angle_rad) * vision::kDegPerRad};
}

vision::Pose2 as_pose(const vision::Reading& reading) {
  return {{reading.offset_x_mm, reading.offset_y_mm}, reading.rotation_deg * vision::kRadPerDeg};
}

}  // namespace bench
