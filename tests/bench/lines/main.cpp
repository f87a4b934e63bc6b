// How well lines, weaves and stitched boxes are read, over many rendered scenes with exact truth; those with nothing to
// be found among them. hoopgauge_lines_bench [--scenes N] [--seed S] [--kind NAME] [--pictures DIR] [--list]
// [--one-hoop]
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstring>
#include <map>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <string>
#include <vector>

#include "app/render/demo_station.h"
#include "app/render/line_scene.h"
#include "app/render/renderer.h"
#include "vision/stitched_rectangle.h"
#include "vision/straight_line.h"
#include "vision/tracker.h"
#include "vision/weave.h"

namespace {

using Kind = app::LineSceneKind;

struct Options {
  int scenes = 20;  // of each kind
  std::uint64_t seed = 1;
  std::string kind, pictures;
  bool list = false, one_hoop = false;
};

struct Errors {
  std::vector<double> angle_deg, distance_mm;
  int covered_angle = 0, covered_distance = 0;
  void add(double angle, double u_angle, double distance, double u_distance) {
    angle_deg.push_back(std::abs(angle));
    distance_mm.push_back(std::abs(distance));
    covered_angle += std::abs(angle) <= u_angle ? 1 : 0;
    covered_distance += std::abs(distance) <= u_distance ? 1 : 0;
  }
};

struct Tally {
  int scenes = 0, ok = 0, wrong = 0, ring_kept = 0;
  std::map<std::string, int> statuses;
  Errors errors;
  double time_ms = 0.0;
};

double folded_deg(double deg) { return std::remainder(deg, 180.0); }

// Off by more than this is wrong whatever was stated.
constexpr double kWrongDeg = 0.5, kWrongMm = 1.0;

double quantile(std::vector<double> values, double share) {
  if (values.empty()) return 0.0;
  std::sort(values.begin(), values.end());
  return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

bool is_weave(Kind kind) { return kind == Kind::stripes || kind == Kind::plaid || kind == Kind::checks; }

class Bench {
 public:
  explicit Bench(Options options) : options_(std::move(options)), hoops_(app::demo_hoops()) {
    if (options_.one_hoop) hoops_.resize(1);
    for (const vision::Hoop& hoop : hoops_) renderers_.emplace_back(app::demo_station(), hoop);
  }

  int run() {
    for (int k = 0; k < app::kLineSceneKindCount; ++k) {
      const auto kind = static_cast<Kind>(k);
      if (!options_.kind.empty() && options_.kind != app::name(kind)) continue;
      for (int i = 0; i < options_.scenes; ++i) read(options_.seed + static_cast<std::uint64_t>(i), kind);
    }
    return report();
  }

 private:
  void read(std::uint64_t seed, Kind kind) {
    const app::LineScene made = app::line_scene(hoops_, seed, kind);
    const vision::Hoop& hoop = hoops_[made.hoop];
    const cv::Mat1b& grey = renderers_[made.hoop].render(made.scene, seed);
    vision::Tracker tracker(app::demo_station(), hoop);
    const vision::FrameResult& frame = tracker.read(grey);
    // Where the towel hides the ring it was seen before.
    const auto sight = vision::cloth_sight(tracker.station(), hoop, frame, made.scene.ring.board_from_hoop);
    Tally& tally = tallies_[std::string(app::name(kind))];
    ++tally.scenes;
    if (!sight) {
      ++tally.statuses["no_board"];
      return;
    }
    tally.ring_kept += frame.board_from_hoop ? 0 : 1;
    const auto start = std::chrono::steady_clock::now();
    std::string said = kind == Kind::basting_box ? box(grey, *sight, made, tally)
                       : is_weave(kind)          ? weave(grey, *sight, made, tally)
                                                 : line(grey, *sight, made, tally);
    tally.time_ms += std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();
    if (!is_weave(kind)) {  // no weave may be seen where there is none
      const vision::WeaveReading w = vision::read_weave(grey, *sight);
      if (w.status == vision::WeaveStatus::ok) ++tally.statuses["WEAVE"], ++tally.wrong;
    }
    if (options_.list) std::printf("%-12s %4d %s\n", app::name(kind).data(), static_cast<int>(seed), said.c_str());
    if (!options_.pictures.empty()) picture(grey, made, seed, kind);
  }

  std::string line(const cv::Mat1b& grey, const vision::ClothSight& sight, const app::LineScene& made, Tally& tally) {
    const vision::LineReading reading = vision::read_line(grey, sight);
    ++tally.statuses[std::string(vision::name(reading.status))];
    drawn_.clear();
    if (reading.line) drawn_ = {reading.line->from_px, reading.line->to_px};
    char text[400];
    if (reading.status == vision::LineStatus::ok) {
      const vision::FoundLine& l = *reading.line;
      ++tally.ok;
      const app::TrueLine truth = made.line.value_or(app::TrueLine{999.0, 999.0});
      double angle = folded_deg(l.place.angle_deg - truth.angle_deg);
      const bool turned = std::abs(l.place.angle_deg - truth.angle_deg) > 90.0;
      const double distance = l.place.distance_mm - (turned ? -1.0 : 1.0) * truth.distance_mm;
      const bool wrong = !made.line || std::abs(angle) > kWrongDeg || std::abs(distance) > kWrongMm;
      tally.wrong += wrong ? 1 : 0;
      if (!wrong) tally.errors.add(angle, l.place.u_angle_deg, distance, l.place.u_distance_mm);
      std::snprintf(text, sizeof text,
                    "%s ok %s angle %+.3f (U %.3f) distance %+.3f (U %.3f) len %.0f share %.2f rms %.2f bow %.2f width "
                    "%.2f contrast %.3f misfit %.3f bend %.3f",
                    wrong ? "WRONG" : "", l.kind == vision::LineKind::edge ? "edge" : "ridge", angle,
                    l.place.u_angle_deg, distance, l.place.u_distance_mm, l.length_mm, l.share, l.rms_mm, l.bow_mm,
                    l.width_mm, l.contrast, l.misfit, l.bend_misfit);
    } else if (reading.line) {
      const vision::FoundLine& l = *reading.line;
      std::snprintf(text, sizeof text,
                    "%s %s at %.1f deg %.1f mm len %.0f share %.2f rms %.2f bow %.2f width %.2f contrast %.3f misfit "
                    "%.3f bend %.3f",
                    vision::name(reading.status).data(), l.kind == vision::LineKind::edge ? "edge" : "ridge",
                    l.place.angle_deg, l.place.distance_mm, l.length_mm, l.share, l.rms_mm, l.bow_mm, l.width_mm,
                    l.contrast, l.misfit, l.bend_misfit);
    } else {
      std::snprintf(text, sizeof text, "%s (%zu)", vision::name(reading.status).data(), reading.rivals.size());
      for (const vision::FoundLine& l : reading.rivals) drawn_.push_back(l.from_px), drawn_.push_back(l.to_px);
    }
    return text;
  }

  std::string weave(const cv::Mat1b& grey, const vision::ClothSight& sight, const app::LineScene& made, Tally& tally) {
    const vision::WeaveReading reading = vision::read_weave(grey, sight);
    ++tally.statuses[std::string(vision::name(reading.status))];
    if (!reading.main) return std::string(vision::name(reading.status));
    const vision::WeaveDirection& m = *reading.main;
    double angle = folded_deg(m.angle_deg - *made.weave_deg);
    if (made.cross_deg && std::abs(angle) > 45.0) angle = folded_deg(m.angle_deg - *made.cross_deg);
    char text[300];
    std::snprintf(text, sizeof text,
                  "%s angle %+.3f (U %.3f) period %.3f (true %.2f, U %.3f) coherence %.3f wave %.3f out %.0f cross %s",
                  vision::name(reading.status).data(), angle, m.u_angle_deg, m.period_mm, made.period_mm, m.u_period_mm,
                  m.coherence, m.wave_mm, m.standing_out, reading.cross ? "yes" : "no");
    if (reading.status != vision::WeaveStatus::ok) return text;
    ++tally.ok;
    const bool wrong = std::abs(angle) > kWrongDeg;
    tally.wrong += wrong ? 1 : 0;
    if (!wrong) tally.errors.add(angle, m.u_angle_deg, 0.0, 1.0);
    if (made.cross_deg && reading.cross) ++tally.statuses["both"];
    return (wrong ? "WRONG " : "") + std::string(text);
  }

  std::string box(const cv::Mat1b& grey, const vision::ClothSight& sight, const app::LineScene& made, Tally& tally) {
    vision::RectangleOptions options;
    options.expected_mm = made.box_mm;
    const vision::StitchedRectangle r = vision::find_stitched_rectangle(grey, sight, options);
    ++tally.statuses[std::string(vision::name(r.status))];
    drawn_.clear();
    for (std::size_t i = 0; i < 4; ++i) drawn_.push_back(r.corners_px[i]), drawn_.push_back(r.corners_px[(i + 1) % 4]);
    const cv::Point2d off = r.hoop_from_rectangle.origin_mm - made.hoop_from_box->origin_mm;
    const double turn =
        (r.look_alikes == 4
             ? std::remainder(r.hoop_from_rectangle.angle_rad - made.hoop_from_box->angle_rad, vision::kPi / 2.0)
             : std::remainder(r.hoop_from_rectangle.angle_rad - made.hoop_from_box->angle_rad, vision::kPi)) *
        vision::kDegPerRad;
    char text[300];
    std::snprintf(text, sizeof text,
                  "%s angle %+.3f (U %.3f) off %+.3f %+.3f (U %.3f) size %+.2f %+.2f (U %.2f) rms %.2f square %.2f",
                  vision::name(r.status).data(), turn, r.u_angle_deg, off.x, off.y, r.u_offset_mm,
                  r.size_mm.width - made.box_mm.width, r.size_mm.height - made.box_mm.height, r.u_size_mm, r.rms_mm,
                  r.square_off_deg);
    if (r.status != vision::RectangleStatus::ok) return text;
    ++tally.ok;
    const bool wrong = std::abs(turn) > kWrongDeg || cv::norm(off) > kWrongMm;
    tally.wrong += wrong ? 1 : 0;
    if (!wrong) tally.errors.add(turn, r.u_angle_deg, cv::norm(off), r.u_offset_mm);
    return (wrong ? "WRONG " : "") + std::string(text);
  }

  void picture(const cv::Mat1b& grey, const app::LineScene& made, std::uint64_t seed, Kind kind) const {
    cv::Mat colour;
    cv::cvtColor(grey, colour, cv::COLOR_GRAY2BGR);
    for (std::size_t i = 0; i + 1 < drawn_.size(); i += 2)
      cv::line(colour, drawn_[i], drawn_[i + 1], cv::Scalar(0, 0, 255), 1, cv::LINE_AA);
    const cv::Point2d middle = vision::image_from_board(
        app::demo_station().lens, made.scene.camera_from_board,
        {made.scene.ring.board_from_hoop.origin_mm.x, made.scene.ring.board_from_hoop.origin_mm.y, 0.0});
    cv::Rect crop(cvRound(middle.x) - 450, cvRound(middle.y) - 450, 900, 900);
    crop &= cv::Rect({0, 0}, grey.size());
    cv::imwrite(options_.pictures + "/" + std::string(app::name(kind)) + "-" + std::to_string(seed) + ".png",
                colour(crop));
  }

  int report() const {
    int wrong = 0;
    std::printf("%-12s %6s %5s %5s | %8s %8s %6s | %8s %8s %6s | %6s  statuses\n", "kind", "scenes", "ok", "wrong",
                "deg p50", "p95", "in U", "mm p50", "p95", "in U", "ms");
    for (const auto& [kind, t] : tallies_) {
      wrong += t.wrong;
      const double n = std::max<double>(1.0, static_cast<double>(t.errors.angle_deg.size()));
      std::printf("%-12s %6d %5d %5d | %8.4f %8.4f %5.0f%% | %8.4f %8.4f %5.0f%% | %6.1f ", kind.c_str(), t.scenes,
                  t.ok, t.wrong, quantile(t.errors.angle_deg, 0.5), quantile(t.errors.angle_deg, 0.95),
                  100.0 * t.errors.covered_angle / n, quantile(t.errors.distance_mm, 0.5),
                  quantile(t.errors.distance_mm, 0.95), 100.0 * t.errors.covered_distance / n,
                  t.time_ms / std::max(1, t.scenes));
      for (const auto& [status, count] : t.statuses) std::printf(" %s %d", status.c_str(), count);
      if (t.ring_kept > 0) std::printf(" (ring as kept: %d)", t.ring_kept);
      std::printf("\n");
    }
    std::printf("wrong: %d\n", wrong);
    return wrong == 0 ? 0 : 1;
  }

  Options options_;
  std::vector<vision::Hoop> hoops_;
  std::vector<app::Renderer> renderers_;
  std::map<std::string, Tally> tallies_;
  std::vector<cv::Point2d> drawn_;
};

}  // namespace

int main(int argc, char** argv) {
  Options options;
  for (int i = 1; i < argc; ++i) {
    const bool more = i + 1 < argc;
    if (std::strcmp(argv[i], "--scenes") == 0 && more)
      options.scenes = std::atoi(argv[++i]);
    else if (std::strcmp(argv[i], "--seed") == 0 && more)
      options.seed = std::strtoull(argv[++i], nullptr, 10);
    else if (std::strcmp(argv[i], "--kind") == 0 && more)
      options.kind = argv[++i];
    else if (std::strcmp(argv[i], "--pictures") == 0 && more)
      options.pictures = argv[++i];
    else if (std::strcmp(argv[i], "--list") == 0)
      options.list = true;
    else if (std::strcmp(argv[i], "--one-hoop") == 0)
      options.one_hoop = true;
    else
      return std::fprintf(stderr,
                          "usage: hoopgauge_lines_bench [--scenes N] [--seed S] [--kind NAME] [--pictures DIR] "
                          "[--list] [--one-hoop]\n"),
             2;
  }
  return Bench(options).run();
}
