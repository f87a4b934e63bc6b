#include "app/commands/board.h"

#include <charconv>
#include <cstdio>
#include <ostream>

#include "app/picture.h"
#include "app/places.h"
#include "app/render/demo_station.h"
#include "app/render/setup_scene.h"
#include "app/setup/board_step.h"
#include "app/setup/board_words.h"
#include "app/setup/run_live.h"
#include "app/setup/run_pictures.h"
#include "calib/board_frame.h"
#include "calib/camera_place.h"
#include "calib/files.h"
#include "vision/board_pose.h"
#include "vision/tag_finder.h"

namespace app {
namespace {

constexpr int kGood = 0, kUnusable = 2;
constexpr double kRenderedPerSecond = 12.0;

std::filesystem::path file_of(const std::optional<std::filesystem::path>& given, bool rendered = false) {
  return given ? *given : default_station_file(rendered);
}

// A fault of the command line, told like one of a file.
calib::FileError cannot_use(const std::string& what) { return calib::FileError(what); }

std::optional<double> number(std::string_view text) {
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

// Two numbers with a comma between them; a space may follow it.
std::optional<cv::Point2d> two_numbers(const std::string& text) {
  const std::size_t comma = text.find(',');
  if (comma == std::string::npos) return std::nullopt;
  const std::size_t second = text.find_first_not_of(' ', comma + 1);
  if (second == std::string::npos) return std::nullopt;
  const auto x = number(std::string_view(text).substr(0, comma)), y = number(std::string_view(text).substr(second));
  return x && y ? std::optional(cv::Point2d(*x, *y)) : std::nullopt;
}

// The camera over the board in one picture, from the marks as surveyed.
vision::CameraPose camera_in(const std::string& file, const vision::Station& station) {
  const Picture picture = load_picture(file, {station.lens.width_px, station.lens.height_px});
  if (picture.fault != PictureFault::none) throw cannot_use(picture.detail);
  vision::TagFinder finder(station.lens);
  const vision::BoardPose pose = vision::board_pose(finder.find(picture.grey), station);
  if (pose.error != vision::BoardPoseError::none)
    throw cannot_use(file + " shows fewer than three board marks in their places; take a picture that shows them");
  return pose.camera_from_board;
}

class Pointing {
 public:
  Pointing(const vision::Station& station, const std::optional<std::string>& picture) : station_(station) {
    if (picture) camera_ = camera_in(*picture, station);
  }

  cv::Point2d place(const char* option, const std::string& text) const {
    if (text.starts_with("mark ")) return mark(option, text);
    const std::optional<cv::Point2d> p = two_numbers(text);
    if (!p)
      throw cannot_use(std::string(option) + " '" + text + "' is no place; write X,Y such as 12.5,-3 or 'mark 400'");
    if (!camera_) return *p;
    const cv::Point2d on_board = vision::board_at_height(station_.lens, *camera_, *p, 0.0);
    if (!std::isfinite(on_board.x) || !std::isfinite(on_board.y))
      throw cannot_use(std::string(option) + " '" + text + "' is not on the board; write pixels of the picture");
    return on_board;
  }

 private:
  cv::Point2d mark(const char* option, const std::string& text) const {
    for (const vision::BoardMark& mark : station_.board_marks)
      if ("mark " + std::to_string(mark.id) == text) return {mark.x_mm, mark.y_mm};
    std::vector<int> ids;
    for (const vision::BoardMark& mark : station_.board_marks) ids.push_back(mark.id);
    throw cannot_use(std::string(option) + ": there is no board " + text + "; there are " + id_list(ids));
  }

  const vision::Station& station_;
  std::optional<vision::CameraPose> camera_;
};

void list(const vision::Station& station, std::ostream& out) {
  for (const vision::BoardMark& mark : station.board_marks) out << mark_line(mark) << '\n';
  if (!station.surveyed_camera) return;
  const calib::CameraPlace place = calib::camera_place(*station.surveyed_camera);
  char text[200];
  std::snprintf(text, sizeof text,
                "camera when surveyed: %.1f mm high above (%.1f, %.1f) mm, tilted by %.2f and %.2f deg",
                place.height_mm, place.x_mm, place.y_mm, place.tilt_x_deg, place.tilt_y_deg);
  out << text << '\n';
}

// The rendered board carries the demo's marks, seen through the station's own lens.
std::unique_ptr<FrameSource> rendered_board(const vision::Station& station) {
  vision::Station shown = demo_station();
  shown.lens = station.lens;
  shown.print_scale = station.print_scale;
  return setup_source(SetupScript::board, shown, demo_hoops().front(), kRenderedPerSecond, 1);
}

template <class Run>
int told(std::ostream& err, Run run) {
  try {
    return run();
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return kUnusable;
  }
}

}  // namespace

int run_board(const BoardOptions& options, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    BoardStepOptions step_options;
    step_options.station_file = file_of(options.station_file, options.live.rendered);
    step_options.keep_frame = options.keep_frame;
    const auto step = make_board_step(step_options);
    if (!options.frames.empty()) return run_step_on_pictures(*step, options.frames, out, err);
    const vision::Station station = calib::load_station(step_options.station_file, calib::StationNeeds::lens);
    return run_step_live(*step, step_options.station_file, options.live,
                         {station.lens.width_px, station.lens.height_px},
                         [&station] { return rendered_board(station); });
  });
}

int run_board_show(const std::optional<std::filesystem::path>& station_file, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    list(calib::load_station(file_of(station_file)), out);
    return kGood;
  });
}

int run_board_frame(const BoardFrameOptions& options, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const std::filesystem::path file = file_of(options.station_file);
    vision::Station station = calib::load_station(file);
    const Pointing pointing(station, options.picture);
    const cv::Point2d origin = pointing.place("--origin", options.origin);
    std::optional<cv::Point2d> toward;
    if (options.toward) toward = pointing.place("--toward", *options.toward);
    const std::optional<vision::Pose2> pose = calib::frame_through(origin, toward);
    if (!pose) throw cannot_use("--toward is less than 10 mm from --origin; point further away");
    calib::move_frame(station, *pose);
    keep_old(file);
    calib::save_station(station, file);
    list(station, out);
    return kGood;
  });
}

}  // namespace app
