// A long run of the whole station, camera and printer aside: hours of rendered work through capture, measuring, desk,
// log and screen, with faults injected at random. Says what was lost, and how memory and handles went.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <iostream>

#include "app/render/demo_station.h"
#include "app/shell/shell.h"
#include "app/stop_signal.h"
#include "tests/bench/soak/piece_book.h"
#include "tests/bench/soak/process_state.h"
#include "tests/bench/soak/tormentor.h"
#include "tests/faulty_source.h"
#include "tests/temporary_folder.h"

namespace {

using namespace std::chrono_literals;
using Clock = std::chrono::steady_clock;

struct Options {
  std::filesystem::path cache = std::filesystem::temp_directory_path() / "hoopgauge-soak.frames";
  int pieces = 10;
  double minutes = 60.0;
  std::uint64_t seed = 1;
  long pieces_between_faults = 4;
  bool faults = true;
  double frames_per_s = 0.0;  // 0: as fast as they are seen
  cv::Size size{1024, 600};
};

double since(Clock::time_point start) { return std::chrono::duration<double>(Clock::now() - start).count(); }

soak::Trouble trouble_of(faulty::Kind kind) { return static_cast<soak::Trouble>(kind); }

soak::Signs signs_of(const app::Desk& desk) {
  soak::Signs signs;
  signs.no_picture = !desk.health.trouble.empty() || desk.health.stale;
  const auto& seen = desk.work().seen();
  signs.marks_missing = seen && seen->board_marks.size() < desk.work().station().board_marks.size();
  signs.log_trouble = !desk.log().trouble().empty();
  return signs;
}

// Around the demo station's first mark, as its camera sees it.
cv::Rect first_mark() {
  const vision::Station station = app::demo_station();
  const vision::BoardMark& mark = station.board_marks.front();
  const vision::CameraPose pose = app::camera_from_board(app::demo_camera_place());
  const cv::Point2d middle = vision::image_from_board(station.lens, pose, {mark.x_mm, mark.y_mm, 0.0});
  const int half = 90;
  return cv::Rect(cvRound(middle.x) - half, cvRound(middle.y) - half, 2 * half, 2 * half) &
         cv::Rect(0, 0, station.lens.width_px, station.lens.height_px);
}

class Soak {
 public:
  explicit Soak(const Options& options) : options_(options), rendered_(options.cache, options.pieces, options.seed) {}

  int run() {
    std::string why;
    window_ = app::Window::open(false, options_.size, why);
    if (!window_) window_ = app::Window::in_memory(options_.size);
    app::Desk desk(
        {app::demo_station(), app::demo_hoops().front(), app::demo_hoops(), folder_.path / "station.toml", reader_});
    app::Measuring measuring(source(), [this](app::Measured& measured) {
      measured.result = reader_->read(measured.frame.grey);
      measured.other_hoop = reader_->other_hoop();
    });
    app::Shell shell(*window_, desk, measuring);
    soak::Tormentor tormentor(*replay_, *window_, app::log_file(folder_.path / "station.toml"), first_mark(), faults_,
                              options_.seed, options_.pieces_between_faults);
    const app::StopSignal stop;
    while (since(start_) < 60.0 * options_.minutes && !stop.received() && !shell.over()) {
      if (shell.turn()) replay_->seen();
      take_records(desk);
      faults_.look(signs_of(desk));
      if (options_.faults) tormentor.turn(in_hand());
      note_state(desk);
    }
    desk.log().flush(5.0);
    if (options_.frames_per_s > 0.0) report_pace(desk);
    report(desk);
    return missing_untouched_ == 0 && book_.doubled() == 0 && book_.wrong() == 0 && book_.strangers() == 0 ? 0 : 1;
  }

 private:
  std::unique_ptr<app::FrameSource> source() {
    auto replay = std::make_unique<soak::ReplaySource>(rendered_, options_.frames_per_s);
    replay_ = replay.get();
    std::vector<faulty::Fault> planned;
    if (options_.faults) {
      const long gap = options_.pieces_between_faults * rendered_.frames_per_piece();
      planned = faulty::random_faults(options_.seed, 4'000'000, gap, 4000ms);
    }
    return std::make_unique<faulty::Source>(std::move(replay), std::move(planned), [this](const faulty::Fault& fault) {
      // What is over before anybody looks is no fault to be noticed.
      if (fault.kind == faulty::Kind::hung && fault.hung < 2500ms) return;
      faults_.injected(trouble_of(fault.kind), in_hand());
    });
  }

  long in_hand() const { return replay_->frames() / rendered_.frames_per_piece(); }

  void take_records(const app::Desk& desk) {
    if (desk.work().pieces() == seen_pieces_) return;
    seen_pieces_ = desk.work().pieces();
    const auto newest = desk.log().newest(1);
    if (newest.empty()) return;
    const long piece = book_.recorded(newest.front(), in_hand());
    faults_.recorded(piece, signs_of(desk));
  }

  void note_state(const app::Desk& desk) {
    if (since(last_note_) < 60.0) return;
    last_note_ = Clock::now();
    const double cpu = soak::processor_s();
    std::printf(
        "%5.0f s  %7ld frames  %5ld pieces  %4ld recorded  %6ld kB own memory  %3ld handles  %.0f %% of a core  "
        "%.1f ms to the screen\n",
        since(start_), replay_->frames(), in_hand(), book_.records(), soak::status_kb("RssAnon:"), soak::open_handles(),
        100.0 * (cpu - last_cpu_) / 60.0, desk.health.latency_ms);
    std::fflush(stdout);
    last_cpu_ = cpu;
  }

  void report_pace(const app::Desk& desk) const {
    std::printf(
        "\nat %.0f frames/s: %.1f a second on the screen, %.1f ms from the frame to the screen, %.1f ms measuring, "
        "%.0f %% of a core\n",
        options_.frames_per_s, desk.health.frames_per_s, desk.health.latency_ms, desk.health.measuring_ms,
        100.0 * (soak::processor_s() - first_cpu_) / since(start_));
  }

  void report(const app::Desk& desk) {
    const long played = std::max(0L, in_hand() - 1);  // the last ones were cut off
    const std::vector<long> without = book_.without_record(played);
    for (const long piece : without) missing_untouched_ += !faults_.touched(piece);
    std::printf("\n%ld frames, %.1f hours of work, %ld pieces played, %ld recorded, %ld on disk\n", replay_->frames(),
                static_cast<double>(replay_->frames()) * soak::kPeriod_s / 3600.0, played, book_.records(),
                static_cast<long>(desk.log().count_since("", "")));
    std::printf(
        "without a record: %zu, of them %ld in which no fault began; twice: %ld; wrong: %ld; of no piece: %ld\n",
        without.size(), missing_untouched_, book_.doubled(), book_.wrong(), book_.strangers());
    std::printf("worst record off by %.3f mm and %.3f deg\n", book_.worst_mm(), book_.worst_deg());
    std::printf("%ld kB own memory, at most %ld kB with all files; %ld handles\n\n%s", soak::status_kb("RssAnon:"),
                soak::status_kb("VmHWM:"), soak::open_handles(), faults_.table(without).c_str());
  }

  Options options_;
  soak::RenderedPieces rendered_;
  TemporaryFolder folder_;
  std::unique_ptr<app::Window> window_;
  std::shared_ptr<app::HoopReader> reader_ =
      std::make_shared<app::HoopReader>(app::demo_station(), app::demo_hoops().front(), app::demo_hoops());
  soak::ReplaySource* replay_ = nullptr;
  soak::FaultBook faults_;
  soak::PieceBook book_{rendered_};
  int seen_pieces_ = 0;
  long missing_untouched_ = 0;
  const Clock::time_point start_ = Clock::now();
  Clock::time_point last_note_ = start_;
  const double first_cpu_ = soak::processor_s();
  double last_cpu_ = first_cpu_;
};

}  // namespace

int main(int argc, char** argv) {
  Options options;
  bool without_faults = false;
  CLI::App program("Runs the station for a long time and counts what is lost", "hoopgauge_soak");
  program.add_option("--frames-file", options.cache, "Where the rendered frames are kept, 0.6 GB a piece");
  program.add_option("--pieces", options.pieces, "Different pieces, 1 to 13")->check(CLI::Range(1, 13));
  program.add_option("--minutes", options.minutes, "How long");
  program.add_option("--seed", options.seed, "Of pieces and faults");
  program.add_option("--pieces-between-faults", options.pieces_between_faults, "On average, of either kind of faults")
      ->check(CLI::Range(1, 1000));
  program.add_option("--frames-per-s", options.frames_per_s, "As a camera gives them; left out: as fast as it goes")
      ->check(CLI::Range(0.0, 120.0));
  program.add_flag("--no-faults", without_faults, "Nothing is done to the station");
  CLI11_PARSE(program, argc, argv);
  options.faults = !without_faults;
  try {
    return Soak(options).run();
  } catch (const std::exception& error) {
    std::cerr << "hoopgauge_soak: " << error.what() << '\n';
    return 2;
  }
}
