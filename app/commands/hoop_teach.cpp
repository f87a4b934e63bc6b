#include "app/commands/hoop_teach.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <opencv2/imgcodecs.hpp>
#include <ostream>

#include "app/commands/frame_list.h"
#include "app/commands/hoop_settings.h"
#include "app/hoops/catalogue.h"
#include "app/hoops/hoop_store.h"
#include "app/hoops/hoop_words.h"
#include "app/hoops/teach_picture.h"
#include "app/hoops/teach_report.h"
#include "app/overlay.h"
#include "app/picture.h"
#include "app/places.h"
#include "calib/atomic_write.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

void write_picture_file(const fs::path& file, const cv::Mat& picture) {
  const std::string ending = file.extension() == ".png" ? ".png" : ".jpg";
  std::vector<unsigned char> bytes;
  cv::imencode(ending, picture, bytes);
  calib::write_atomically(file, {reinterpret_cast<const char*>(bytes.data()), bytes.size()});
}

// Teaching from pictures of files.
class PictureTeaching {
 public:
  PictureTeaching(const HoopTeachOptions& options, std::ostream& out, std::ostream& err)
      : options_(options), out_(out), err_(err), station_(calib::load_station(options.station_file)) {}

  int run() {
    const HoopSettings settings = settings_of(options_);  // faults of the options before any work
    HoopStore store(hoop_folder(options_.station_file));
    if (!options_.replace) store.refuse_taken(settings.name);
    const std::vector<std::string> files = frame_list(options_.frames);
    std::vector<TeachingFrame> frames;
    for (const std::string& file : files) {
      if (auto frame = load(file)) frames.push_back(std::move(*frame));
    }
    if (frames.size() != files.size()) return failed("nothing was kept, since a picture could not be used");
    auto teaching = first_look(frames.front(), settings);
    if (!teaching) return 1;
    for (std::size_t i = 1; i < frames.size(); ++i) teaching->add_frame(std::move(frames[i]));
    return conclude(*teaching);
  }

 private:
  std::optional<TeachingFrame> load(const std::string& file) {
    const Picture picture = load_picture(file, {station_.lens.width_px, station_.lens.height_px});
    if (picture.fault != PictureFault::none) {
      err_ << "hoopgauge: " << picture.detail << '\n';
      return std::nullopt;
    }
    const auto camera = calib::teach_camera(picture.grey, station_);
    if (!camera) {
      err_ << "hoopgauge: " << file << ": " << calib::sentence(calib::TeachFault::no_board) << '\n';
      return std::nullopt;
    }
    return TeachingFrame{picture.grey, *camera, file};
  }

  int failed(const std::string& why) {
    err_ << "hoopgauge: " << why << '\n';
    return 1;
  }

  std::optional<Teaching> first_look(const TeachingFrame& frame, const HoopSettings& settings) {
    const calib::TeachOutcome seen = calib::teach_ring(frame.grey, station_, frame.camera_from_board,
                                                       options_.rim_height_mm.value_or(calib::kUsualRimHeightMm));
    const bool usable =
        seen.ring && (seen.fault == calib::TeachFault::none || seen.fault == calib::TeachFault::notches_missing);
    if (!usable) {
      draw(frame, seen, calib::sentence(seen.fault));
      failed(frame.name + ": " + calib::sentence(seen.fault));
      return std::nullopt;
    }
    Teaching teaching(station_, frame, *seen.ring);
    apply(settings, options_, teaching);
    out_ << frame.name << ":\n";
    for (const std::string& line : ring_lines(teaching.ring())) out_ << "  " << line << '\n';
    std::string unknown;
    for (const vision::Side side : vision::kSides)
      if (!teaching.notch_is_known(side)) unknown.append(" ").append(side_name(side));
    if (!unknown.empty()) {
      draw(frame, {calib::TeachFault::notches_missing, teaching.ring()},
           calib::sentence(calib::TeachFault::notches_missing));
      failed(
          frame.name + ": not found, notches:" + unknown +
          "; say where each is with --notch SIDE=X,Y in px of the picture, SIDE as the hoop lies: north is away from "
          "the operator");
      return std::nullopt;
    }
    return teaching;
  }

  int conclude(Teaching& teaching) {
    const auto found = teaching.found_height();
    if (!options_.rim_height_mm && found && found->fault == calib::HeightFault::none)
      teaching.set_rim_height(found->height_mm, TeachingWords::Height::measured);
    const auto check = teaching.check();
    if (check)
      for (std::size_t i = 0; i < check->frames.size(); ++i)
        out_ << teaching.frame(i + 1).name << ": " << check->frames[i].sentence << '\n';
    for (const std::string& line : height_lines(teaching)) out_ << line << '\n';
    const std::vector<std::string> missing = teaching.missing();
    for (const std::string& doubt : teaching.doubts()) out_ << "look at this: " << doubt << '\n';
    draw(teaching.frame(), {calib::TeachFault::none, teaching.ring()}, "");
    for (const std::string& one : missing) err_ << "hoopgauge: " << one << '\n';
    if (!missing.empty()) return 1;
    if (check && check->complete && !check->good) return failed("the hoop was not kept: " + check->sentence);
    const fs::path file = HoopStore(hoop_folder(options_.station_file)).save(teaching.hoop(), options_.replace);
    out_ << "kept as '" << teaching.hoop().name << "', field "
         << field_text(teaching.field_mm(), teaching.field_is_round()) << ", north " << north_words(teaching.hoop())
         << ": " << file.string() << '\n';
    return 0;
  }

  // --picture, also of what could not be taught.
  void draw(const TeachingFrame& frame, const calib::TeachOutcome& seen, const std::string& trouble) {
    if (!options_.picture) return;
    const std::vector<std::string> words{trouble.empty() ? ring_lines(*seen.ring).front() : trouble};
    const cv::Mat picture =
        seen.ring ? draw_taught(frame.grey, station_, frame.camera_from_board, *seen.ring, words, !trouble.empty())
                  : draw_overlay(frame.grey, OverlayShapes{}, words, true);
    write_picture_file(*options_.picture, picture);
    out_ << "picture: " << options_.picture->string() << '\n';
  }

  const HoopTeachOptions& options_;
  std::ostream& out_;
  std::ostream& err_;
  vision::Station station_;
};

}  // namespace

int run_hoop_teach(const HoopTeachOptions& options, std::ostream& out, std::ostream& err) {
  try {
    if (options.frames.empty()) return teach_live(options, out, err);
    return PictureTeaching(options, out, err).run();
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return 2;
  }
}

}  // namespace app
