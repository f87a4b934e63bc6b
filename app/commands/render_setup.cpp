#include "app/commands/render_setup.h"

#include <array>
#include <cstdio>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <ostream>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "app/picture.h"
#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/setup_play.h"
#include "app/render/shown_sheet.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

constexpr int kJpegQuality = 96;

SetupScript chosen_script(const std::string& wanted) {
  constexpr std::array<std::pair<const char*, SetupScript>, 4> kScripts{{{"lens", SetupScript::lens},
                                                                         {"board", SetupScript::board},
                                                                         {"teach", SetupScript::teach},
                                                                         {"proof", SetupScript::proof}}};
  for (const auto& [name, script] : kScripts)
    if (wanted == name) return script;
  throw std::invalid_argument("there is no script \"" + wanted + "\"; write one of lens, board, teach, proof");
}

vision::Hoop chosen_hoop(const RenderOptions& options) {
  if (options.hoops.empty()) return demo_hoops().front();
  if (options.hoops.size() > 1) throw std::invalid_argument("a script shows one hoop; give --hoop once");
  const std::string& hoop = options.hoops.front();
  return fs::is_regular_file(hoop) ? calib::load_hoop(hoop) : demo_hoop(hoop);
}

// What was printed, or the page as the station itself draws it.
ScenePage chosen_sheet(const RenderOptions& options, SetupScript script, double print_scale) {
  if (script == SetupScript::teach) {
    if (options.sheet) throw std::invalid_argument("the script teach shows no sheet; leave --sheet out");
    return {};
  }
  if (options.sheet.has_value() != options.sheet_px_per_mm.has_value())
    throw std::invalid_argument("--sheet and --sheet-px-per-mm belong together; give both");
  if (!options.sheet) return shown_sheet(script, print_scale);
  if (!(*options.sheet_px_per_mm >= 2.0 && *options.sheet_px_per_mm <= 60.0))
    throw std::invalid_argument("--sheet-px-per-mm takes 2 to 60");
  const Picture picture = load_picture(*options.sheet, {});
  if (picture.fault != PictureFault::none) throw std::invalid_argument(picture.detail);
  const double px_per_mm = *options.sheet_px_per_mm / print_scale;
  return shown_sheet(script, std::make_shared<const PrintedPage>(PrintedPage{picture.grey, px_per_mm}), print_scale);
}

Json numbers(const double* values, int count) {
  Json list = Json::array();
  for (int i = 0; i < count; ++i) list.push_back(values[i]);
  return list;
}

Json station_json(const vision::Station& station, const Scene& scene) {
  const vision::Lens& lens = station.lens;
  Json marks = Json::array();
  for (const vision::BoardMark& mark : station.board_marks)
    marks.push_back({{"id", mark.id},
                     {"x_mm", mark.x_mm},
                     {"y_mm", mark.y_mm},
                     {"angle_deg", mark.angle_deg},
                     {"size_mm", mark.size_mm}});
  return {{"lens",
           {{"width", lens.width_px},
            {"height", lens.height_px},
            {"fx", lens.fx},
            {"fy", lens.fy},
            {"cx", lens.cx},
            {"cy", lens.cy},
            {"distortion", lens.distortion}}},
          {"camera_from_board",
           {{"rotation", numbers(scene.camera_from_board.rotation.val, 9)},
            {"translation_mm", numbers(scene.camera_from_board.translation_mm.val, 3)}}},
          {"board_marks", std::move(marks)}};
}

Json frame_json(const std::string& file, SetupScript script, const SetupStop& stop, const Scene& scene) {
  Json row{{"file", file}};
  if (script == SetupScript::teach) {
    const vision::Pose2& pose = stop.board_from_hoop;
    row["hoop_pose_board"] = {
        {"x_mm", pose.origin_mm.x}, {"y_mm", pose.origin_mm.y}, {"angle_deg", pose.angle_rad * vision::kDegPerRad}};
    row["rim_height_mm"] = scene.ring.rim_height_mm;
  } else {
    row["board_from_page"] = {{"rotation", numbers(stop.page.rotation.val, 9)},
                              {"origin_mm", numbers(stop.page.origin_mm.val, 3)}};
  }
  return row;
}

std::string file_name(int index, const std::string& script) {
  char digits[16];
  std::snprintf(digits, sizeof digits, "%02d_", index);
  return digits + script + ".jpg";
}

void write_jpeg(const fs::path& file, const cv::Mat& picture) {
  std::vector<unsigned char> bytes;
  cv::imencode(".jpg", picture, bytes, {cv::IMWRITE_JPEG_QUALITY, kJpegQuality});
  calib::write_atomically(file, {reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

}  // namespace

void make_render_folder(const fs::path& folder) {
  std::error_code error;
  fs::create_directories(folder, error);
  if (!fs::is_directory(folder))
    throw std::invalid_argument(folder.string() + ": is no folder and none can be made there (" + error.message() +
                                "); name another for --out");
}

void render_setup(const RenderOptions& options, std::ostream& out) {
  const SetupScript script = chosen_script(*options.script);
  if (options.kind) throw std::invalid_argument("--kind belongs to random frames; leave it out with --script");
  const vision::Station station = options.station_file ? calib::load_station(*options.station_file) : demo_station();
  const vision::Hoop hoop = chosen_hoop(options);
  const SetupPlay play(script, station, hoop, chosen_sheet(options, script, station.print_scale), options.seed);
  const int count = options.count.value_or(play.stops());
  if (count > play.stops())
    throw std::invalid_argument("the script " + *options.script + " has " + std::to_string(play.stops()) +
                                " stills; give a --count up to that");
  make_render_folder(options.out_dir);
  Renderer renderer(station, hoop);
  Json truth{{"script", *options.script}};
  truth.update(station_json(station, play.still(0)));
  truth["frames"] = Json::array();
  for (int i = 0; i < count; ++i) {
    const Scene scene = play.still(i);
    const std::string file = file_name(i, *options.script);
    write_jpeg(options.out_dir / file, renderer.render(scene, options.seed * 1000003 + static_cast<std::uint64_t>(i)));
    truth["frames"].push_back(frame_json(file, script, play.stop(i), scene));
    out << file << '\n' << std::flush;
  }
  calib::write_atomically(options.out_dir / "truth.json", truth.dump(1) + '\n');
}

}  // namespace app
