#include "app/source/open_source.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <system_error>
#include <utility>

#include "app/demo/demo_scenario.h"
#include "app/hoops/find_hoop.h"
#include "app/hoops/hoop_store.h"
#include "app/places.h"
#include "app/render/demo_station.h"
#include "app/render/rendered_source.h"
#include "app/settings.h"
#include "app/source/camera_source.h"
#include "app/source/folder_source.h"
#include "app/source/live_camera.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// A picture of a folder stays this long: time to read the screen.
constexpr double kFolderPeriod_s = 1.0;
constexpr double kRenderedFramesPer_s = 15.0;
constexpr std::uint64_t kRenderedSeed = 1;

cv::Size size_of(const vision::Station& station) { return {station.lens.width_px, station.lens.height_px}; }

auto named(const std::string& name) {
  return [name](const vision::Hoop& hoop) { return hoop.name == name; };
}

// As the settings keep it; a fault of that file is told when the station has opened.
std::string last_hoop(const fs::path& station_file) {
  try {
    return load_settings(settings_file(station_file)).hoop_name;
  } catch (const calib::FileError&) {
    return {};
  }
}

// What is named, else this computer's own; nothing where that is not there.
std::optional<fs::path> station_file_of(const StationOptions& options) {
  if (options.station_file) return options.station_file;
  std::error_code ignored;
  const fs::path own = default_station_file();
  return fs::exists(own, ignored) ? std::optional(own) : std::nullopt;
}

// The taught hoops beside the station file, the one that was named or used last first.
void open_hoops(const StationOptions& options, const fs::path& station_file, OpenedStation& opened) {
  HoopList list = HoopStore(hoop_folder(station_file)).list();
  for (StoredHoop& one : list.hoops) opened.hoops.push_back(std::move(one.hoop));
  if (options.hoop_file) {
    opened.hoop = calib::load_hoop(hoop_file_named(options.hoop_file->string(), station_file));
    if (std::none_of(opened.hoops.begin(), opened.hoops.end(), named(opened.hoop.name)))
      opened.hoops.push_back(opened.hoop);
    return;
  }
  if (!opened.hoops.empty()) {
    const std::string last = last_hoop(station_file);
    const auto found = std::find_if(opened.hoops.begin(), opened.hoops.end(), named(last));
    opened.hoop = found != opened.hoops.end() ? *found : opened.hoops.front();
    return;
  }
  if (!list.damaged.empty()) throw calib::FileError(list.damaged.front().message);
  throw NotSetUp(
      noop("this station is not set up: no hoop is taught yet; run hoopgauge guide, or name one with --hoop FILE"));
}

OpenedStation with_files(const StationOptions& options, const fs::path& station_file) {
  OpenedStation opened;
  opened.station = calib::load_station(station_file);
  opened.station_file = station_file;
  open_hoops(options, station_file, opened);
  return opened;
}

OpenedStation rendered(const StationOptions& options, std::string notice) {
  OpenedStation opened;
  opened.station = options.station_file ? calib::load_station(*options.station_file) : demo_station();
  opened.hoop = options.hoop_file ? calib::load_hoop(hoop_file_named(options.hoop_file->string(), options.station_file))
                                  : demo_hoops().front();
  opened.hoops = options.hoop_file ? std::vector{opened.hoop} : demo_hoops();
  opened.station_file = options.station_file.value_or(default_station_file(true));
  auto source = std::make_unique<RenderedSource>(opened.station, opened.hoop, demo_camera_place(), kRenderedFramesPer_s,
                                                 kRenderedSeed);
  if (options.scenario) {
    make_room_for(opened.station_file);
    furnish_demo(opened.station_file);
    play_demo(source->work());
  }
  opened.source = std::move(source);
  opened.notice = std::move(notice);
  return opened;
}

}  // namespace

OpenedStation set_up_station(const StationOptions& options) {
  const auto file = station_file_of(options);
  if (!file) {
    throw NotSetUp(
        noop("this station is not set up: its lens is not measured yet; run hoopgauge guide, or name files with "
             "--station FILE --hoop FILE"));
  }
  if (!options.station_file && calib::load_station(*file, calib::StationNeeds::lens).board_marks.empty())
    throw NotSetUp(noop("this station is not set up: its board is not surveyed yet; run hoopgauge guide"));
  OpenedStation opened = with_files(options, *file);
  opened.proof = latest_proof(*file, opened.station);
  return opened;
}

OpenedStation open_station(const StationOptions& options) {
  if (options.rendered && options.frames_dir) throw OptionError("--rendered and --frames exclude each other: drop one");
  if (options.scenario) {
    if (options.station_file || options.hoop_file || options.frames_dir || options.camera)
      throw OptionError(
          "--scenario has a station, hoop and files of its own: drop --station, --hoop, --frames, --camera");
    return rendered(options, noop("This is the rendered station: a demonstration with invented jobs"));
  }
  if (options.frames_dir) {
    const auto file = station_file_of(options);
    if (!file) {
      throw OptionError("--frames needs the station's and the hoop's file: add --station FILE --hoop FILE");
    }
    OpenedStation opened = with_files(options, *file);
    opened.source = std::make_unique<FolderSource>(*options.frames_dir, size_of(opened.station), kFolderPeriod_s,
                                                   [](const std::string& detail) { spdlog::warn("{}", detail); });
    opened.notice = noop("No camera: these are pictures of a folder");
    return opened;
  }
  if (options.rendered) return rendered(options, noop("This is the rendered station"));
  const bool never_set_up = !options.camera && !station_file_of(options);
  if (never_set_up && Cameras().list().empty())
    return rendered(options, noop("No camera found, and no station set up: this is the rendered station"));
  OpenedStation opened = set_up_station(options);
  CameraWish wish;
  wish.name = options.camera;
  wish.size = size_of(opened.station);
  opened.source = live_camera(std::move(wish));
  return opened;
}

}  // namespace app
