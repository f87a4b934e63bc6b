#include "app/source/open_source.h"

#include <spdlog/spdlog.h>

#include "app/hoops/find_hoop.h"
#include "app/render/demo_station.h"
#include "app/render/rendered_source.h"
#include "app/source/camera_source.h"
#include "app/source/folder_source.h"
#include "calib/files.h"

namespace app {
namespace {

// A picture of a folder stays this long: time to read the screen.
constexpr double kFolderPeriod_s = 1.0;
constexpr double kRenderedFramesPer_s = 15.0;
constexpr std::uint64_t kRenderedSeed = 1;

cv::Size size_of(const vision::Station& station) { return {station.lens.width_px, station.lens.height_px}; }

vision::Hoop hoop_of(const StationOptions& options) {
  return calib::load_hoop(hoop_file_named(options.hoop_file->string(), options.station_file));
}

OpenedStation with_files(const StationOptions& options, const char* what) {
  if (!options.station_file || !options.hoop_file) {
    throw OptionError(std::string(what) + " needs the station's and the hoop's file: add --station FILE --hoop FILE");
  }
  OpenedStation opened;
  opened.station = calib::load_station(*options.station_file);
  opened.hoop = hoop_of(options);
  return opened;
}

OpenedStation rendered(const StationOptions& options, std::string notice) {
  OpenedStation opened;
  opened.station = options.station_file ? calib::load_station(*options.station_file) : demo_station();
  opened.hoop = options.hoop_file ? hoop_of(options) : demo_hoops().front();
  opened.source = std::make_unique<RenderedSource>(opened.station, opened.hoop, demo_camera_place(),
                                                   kRenderedFramesPer_s, kRenderedSeed);
  opened.notice = std::move(notice);
  return opened;
}

}  // namespace

OpenedStation open_station(const StationOptions& options) {
  if (options.rendered && options.frames_dir) throw OptionError("--rendered and --frames exclude each other: drop one");
  if (options.frames_dir) {
    OpenedStation opened = with_files(options, "--frames");
    opened.source = std::make_unique<FolderSource>(*options.frames_dir, size_of(opened.station), kFolderPeriod_s,
                                                   [](const std::string& detail) { spdlog::warn("{}", detail); });
    opened.notice = "No camera: these are pictures of a folder";
    return opened;
  }
  if (options.rendered) return rendered(options, "This is the rendered station");
  const Cameras cameras;
  if (cameras.list().empty()) {
    if (options.camera) throw std::runtime_error("no camera found: check its cable");
    return rendered(options, "No camera found: this is the rendered station");
  }
  if (!options.camera && (!options.station_file || !options.hoop_file)) {
    return rendered(options, "A camera, but no --station and --hoop: this is the rendered station");
  }
  OpenedStation opened = with_files(options, "a camera");
  opened.source = cameras.open(options.camera, size_of(opened.station));
  return opened;
}

}  // namespace app
