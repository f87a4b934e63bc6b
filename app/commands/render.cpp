#include "app/commands/render.h"

#include <cctype>
#include <cstdio>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <opencv2/imgcodecs.hpp>
#include <ostream>
#include <stdexcept>

#include "app/commands/render_setup.h"
#include "app/render/demo_station.h"
#include "app/render/random_scene.h"
#include "app/render/renderer.h"
#include "app/sheets/sheet_error.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

std::vector<vision::Hoop> chosen_hoops(const RenderOptions& options) {
  if (options.hoops.empty()) return demo_hoops();
  std::vector<vision::Hoop> hoops;
  for (const std::string& hoop : options.hoops)
    hoops.push_back(fs::is_regular_file(hoop) ? calib::load_hoop(hoop) : demo_hoop(hoop));
  return hoops;
}

std::optional<SceneKind> chosen_kind(const RenderOptions& options) {
  if (!options.kind) return std::nullopt;
  std::string names;
  for (const SceneKind kind : scene_kinds()) {
    if (name(kind) == *options.kind) return kind;
    names += (names.empty() ? "" : ", ") + std::string(name(kind));
  }
  throw std::invalid_argument("there is no kind of scene \"" + *options.kind + "\"; write one of " + names);
}

// The hoop's name as a file's: "demo 130 x 180" is demo-130-x-180.
std::string file_stem(const std::string& name) {
  std::string stem;
  for (const char c : name) {
    if (std::isalnum(static_cast<unsigned char>(c)) != 0)
      stem += c;
    else if (!stem.empty() && stem.back() != '-')
      stem += '-';
  }
  while (!stem.empty() && stem.back() == '-') stem.pop_back();
  return stem.empty() ? "hoop" : stem;
}

Json pose_json(const vision::Pose2& pose) {
  return {{"x_mm", pose.origin_mm.x}, {"y_mm", pose.origin_mm.y}, {"angle_deg", pose.angle_rad * vision::kDegPerRad}};
}

Json truth_json(const std::string& file, const std::string& hoop, const RandomScene& made) {
  const Scene& scene = made.scene;
  Json row{{"file", file},
           {"category", name(made.kind)},
           {"hoop", hoop},
           {"hoop_pose_board", pose_json(scene.ring.board_from_hoop)},
           {"rim_height_mm", scene.ring.rim_height_mm},
           {"stickers", Json::array()}};
  for (const StickerPlace& sticker : scene.stickers) {
    Json pose = pose_json(sticker.board_from_sticker);
    pose["z_mm"] = scene.cloth_height_mm;
    row["stickers"].push_back({{"number", sticker.number}, {"pose_board", pose}});
  }
  if (const auto reading = true_reading(scene)) {
    row["offset_x_mm"] = reading->offset_x_mm;
    row["offset_y_mm"] = reading->offset_y_mm;
    row["rotation_deg"] = reading->rotation_deg;
  }
  return row;
}

void write_png(const fs::path& file, const cv::Mat& picture) {
  std::vector<unsigned char> bytes;
  cv::imencode(".png", picture, bytes);
  calib::write_atomically(file, {reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

// One run of the command.
class Rendering {
 public:
  explicit Rendering(const RenderOptions& options)
      : options_(options),
        kind_(chosen_kind(options)),
        station_(options.station_file ? calib::load_station(*options.station_file) : demo_station()),
        hoops_(chosen_hoops(options)),
        renderer_(station_, hoops_.front()) {
    bool has_round = false;
    for (const vision::Hoop& hoop : hoops_) {
      has_round = has_round || hoop.field_is_round;
      std::string stem = file_stem(hoop.name);
      for (const std::string& other : stems_)
        if (other == stem)
          throw std::invalid_argument("two of the hoops are named \"" + hoop.name + "\"; give each once");
      stems_.push_back(std::move(stem));
    }
    for (const SceneKind kind : scene_kinds())
      if (kind != SceneKind::round || has_round) kinds_.push_back(kind);
  }

  void write(std::ostream& out) {
    make_render_folder(options_.out_dir / "hoops");
    calib::save_station(station_, options_.out_dir / "station.toml");
    for (std::size_t i = 0; i < hoops_.size(); ++i)
      calib::save_hoop(hoops_[i], options_.out_dir / "hoops" / (stems_[i] + ".toml"));
    for (int i = 0; i < options_.count.value_or(20); ++i) out << write_frame(i) << '\n' << std::flush;
    calib::write_atomically(options_.out_dir / "truth.json", truth_.dump(1) + '\n');
  }

 private:
  std::string write_frame(int index) {
    const std::uint64_t seed = options_.seed * 1000003 + static_cast<std::uint64_t>(index);
    const RandomScene made =
        random_scene(hoops_, seed, kind_.value_or(kinds_[static_cast<std::size_t>(index) % kinds_.size()]));
    if (made.hoop != current_) renderer_.set_hoop(hoops_[made.hoop]);
    current_ = made.hoop;
    char number[16];
    std::snprintf(number, sizeof number, "%04d_", index);
    const std::string file = number + std::string(name(made.kind)) + ".png";
    write_png(options_.out_dir / file, renderer_.render(made.scene, seed));
    truth_.push_back(truth_json(file, stems_[made.hoop], made));
    return file;
  }

  const RenderOptions& options_;
  std::optional<SceneKind> kind_;
  std::vector<SceneKind> kinds_;  // in turn, when none is asked for
  vision::Station station_;
  std::vector<vision::Hoop> hoops_;
  std::vector<std::string> stems_;
  Renderer renderer_;
  std::size_t current_ = 0;
  Json truth_ = Json::array();
};

}  // namespace

int run_render(const RenderOptions& options, std::ostream& out, std::ostream& err) {
  try {
    if (options.script)
      render_setup(options, out);
    else
      Rendering(options).write(out);
    return 0;
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const std::invalid_argument& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const SheetError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  }
  return 2;
}

}  // namespace app
