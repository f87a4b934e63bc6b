#include "tests/app/taught_frames.h"

#include <opencv2/imgcodecs.hpp>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "calib/files.h"

namespace taught {

Frames::Frames() : station(app::demo_station()), hoop(app::demo_hoops().front()) {
  hoop.rim_height_mm = kTrueRim_mm;
  hoop.cloth_height_mm = 0.0;
  app::Renderer renderer(station, hoop);
  const app::SetupPlay play(app::SetupScript::teach, station, hoop, {}, 11);
  for (std::size_t i = 0; i < pictures.size(); ++i) {
    app::Scene scene = play.still(static_cast<int>(i));
    scene.ring.rim_height_mm = kTrueRim_mm;
    camera_from_board = scene.camera_from_board;
    poses[i] = scene.ring.board_from_hoop;
    pictures[i] = renderer.render(scene, 40 + i).clone();
    files[i] = folder.path / ("teach" + std::to_string(i) + ".jpg");
    cv::imwrite(files[i].string(), pictures[i], {cv::IMWRITE_JPEG_QUALITY, 95});
  }
  calib::save_station(station, folder.path / "station.toml");
}

const Frames& frames() {
  static const Frames all;
  return all;
}

app::Teaching true_teaching() {
  const Frames& all = frames();
  calib::TaughtRing ring;
  ring.hoop = all.hoop;
  ring.hoop.name.clear();
  ring.board_from_hoop = all.poses[0];
  ring.notch_found = {true, true, true, true};
  ring.north_certain = true;
  ring.shape = calib::RingShape::rectangle;
  ring.seen_share = 1.0;
  ring.u_inner_mm = ring.u_outer_mm = 0.05;
  ring.u_origin_mm = 0.05;
  ring.u_angle_deg = 0.03;
  return {all.station, {all.pictures[0], all.camera_from_board, "teach0.jpg"}, ring};
}

}  // namespace taught
