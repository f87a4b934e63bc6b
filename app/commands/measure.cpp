#include "app/commands/measure.h"

#include <chrono>
#include <opencv2/imgcodecs.hpp>
#include <ostream>
#include <set>

#include "app/commands/frame_list.h"
#include "app/frame_json.h"
#include "app/hoops/find_hoop.h"
#include "app/overlay.h"
#include "app/picture.h"
#include "calib/atomic_write.h"
#include "calib/files.h"
#include "vision/tracker.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// Writes the overlays of one run: each under its frame's name, two frames of one name beside one another.
class Overlays {
 public:
  explicit Overlays(fs::path folder) : folder_(std::move(folder)) {}

  // Throws calib::FileError.
  void write(const std::string& frame, const cv::Mat& picture) {
    std::vector<unsigned char> bytes;
    cv::imencode(".jpg", picture, bytes, {cv::IMWRITE_JPEG_QUALITY, 90});
    calib::write_atomically(folder_ / unused_name(frame), {reinterpret_cast<const char*>(bytes.data()), bytes.size()});
  }

 private:
  std::string unused_name(const std::string& frame) {
    const std::string stem = fs::path(frame).stem().string();
    std::string name = stem + ".overlay.jpg";
    for (int i = 2; !used_.insert(name).second; ++i) name = stem + "-" + std::to_string(i) + ".overlay.jpg";
    return name;
  }

  fs::path folder_;
  std::set<std::string> used_;
};

// One run of the command over its frames.
class Measuring {
 public:
  Measuring(const MeasureOptions& options, vision::Tracker tracker, std::ostream& out, std::ostream& err)
      : options_(options), tracker_(std::move(tracker)), out_(out), err_(err) {
    if (options_.overlay_dir) overlays_.emplace(*options_.overlay_dir);
  }

  // Whether it was a picture, and its overlay, if wanted, was written.
  bool frame(const std::string& file) {
    const vision::Lens& lens = tracker_.station().lens;
    const Picture picture = load_picture(file, {lens.width_px, lens.height_px});
    if (picture.fault != PictureFault::none) {
      line(fault_json(file, name(picture.fault), picture.detail));
      return false;
    }
    try {
      return measured(file, picture.grey);
    } catch (const std::exception& error) {  // of the program's own making; the other frames still get their lines
      tracker_.forget();
      line(fault_json(file, "failed", file + " could not be measured (" + error.what() + "); report it with the file"));
      return false;
    }
  }

 private:
  bool measured(const std::string& file, const cv::Mat& grey) {
    if (options_.fresh) tracker_.forget();
    const auto start = std::chrono::steady_clock::now();
    const vision::FrameResult& result = tracker_.read(grey);
    const std::chrono::duration<double, std::milli> time = std::chrono::steady_clock::now() - start;
    line(frame_json(file, result, options_.sticker, time.count()));
    return !overlays_ || overlay(file, grey, result);
  }

  // Whoever reads the lines has each as soon as it is there.
  void line(const std::string& json) { out_ << json << '\n' << std::flush; }

  bool overlay(const std::string& file, const cv::Mat& grey, const vision::FrameResult& result) {
    try {
      overlays_->write(file, draw_overlay(grey, result, tracker_.station(), tracker_.hoop()));
      return true;
    } catch (const std::exception& error) {
      err_ << "hoopgauge: no overlay: " << error.what() << '\n';
      return false;
    }
  }

  const MeasureOptions& options_;
  vision::Tracker tracker_;
  std::ostream& out_;
  std::ostream& err_;
  std::optional<Overlays> overlays_;
};

vision::Tracker tracker_for(const MeasureOptions& options) {
  vision::TrackerOptions tracker_options;
  tracker_options.sticker = options.sticker;
  return {calib::load_station(options.station_file),
          calib::load_hoop(hoop_file_named(options.hoop_file.string(), options.station_file)), tracker_options};
}

void make_overlay_folder(const MeasureOptions& options) {
  if (!options.overlay_dir) return;
  std::error_code error;
  fs::create_directories(*options.overlay_dir, error);
  if (!fs::is_directory(*options.overlay_dir))
    throw calib::FileError(options.overlay_dir->string() + ": is no folder and none can be made there (" +
                           error.message() + "); name another for --overlay");
}

}  // namespace

int run_measure(const MeasureOptions& options, std::ostream& out, std::ostream& err) {
  try {
    Measuring measuring(options, tracker_for(options), out, err);
    make_overlay_folder(options);
    bool all_well = true;
    for (const std::string& file : frame_list(options.frames)) all_well = measuring.frame(file) && all_well;
    if (!out) {
      err << "hoopgauge: the lines could not be written; check where the output goes\n";
      return 1;
    }
    return all_well ? 0 : 1;
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return 2;
  }
}

}  // namespace app
