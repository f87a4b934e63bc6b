#include "app/setup/lens_step.h"

#include <algorithm>
#include <cstdio>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <optional>

#include "app/format.h"
#include "app/places.h"
#include "app/setup/lens_drawing.h"
#include "app/setup/lens_words.h"
#include "app/words/words.h"
#include "calib/atomic_write.h"
#include "calib/chart_finder.h"
#include "calib/files.h"
#include "calib/lens_doubt.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// What a good lens is. At 0.3 mm a pixel over the board, half a pixel is 0.15 mm, before the board's survey takes up
// most of it.
constexpr double kMostDoubtPx = 0.5;  // expanded (k = 2)
constexpr double kMostRmsPx = 1.0;    // the sheet was bent or moved, or its print is not to scale

// Expanded (k = 2); less than a hundredth is nothing that the sheet's own print lets anybody claim.
double stated_px(double doubt_px) { return std::max(0.01, 2.0 * doubt_px); }

class LensStep : public SetupStep {
 public:
  explicit LensStep(LensStepOptions options) : options_(std::move(options)) {
    if (fs::exists(options_.station_file))
      station_ = calib::load_station(options_.station_file, calib::StationNeeds::lens);
  }

  std::string title() const override { return tr("Lens"); }

  StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override {
    if (!guide_) {
      size_px_ = grey.size();
      guide_.emplace(size_px_);
    }
    if (grey.size() != size_px_)
      return {tr("Another picture size"),
              tr("All pictures of a lens have one size: begin again, or go back to it."),
              {},
              0.0,
              false,
              false,
              false,
              {}};
    const calib::SeenChart chart = calib::find_chart(grey);
    const calib::LensSight sight = guide_->look(chart, time_s, !name.empty());
    if (sight == calib::LensSight::taken)
      names_.push_back(name.empty() ? format(tr("picture %d"), static_cast<int>(names_.size()) + 1) : name);
    return advice(sight, chart);
  }

  bool undo() override {
    if (!guide_ || !guide_->undo()) return false;
    names_.pop_back();
    return true;
  }

  StepOutcome finish() override {
    std::vector<calib::LensPicture> pictures;
    for (std::size_t i = 0; guide_ && i < guide_->taken().size(); ++i)
      pictures.push_back(calib::lens_picture(guide_->taken()[i], names_[i], station_.print_scale));
    const calib::LensFit fit = calib::fit_lens(pictures, size_px_);
    if (fit.fault != calib::LensFault::none) throw StepError(fault_text(fit));
    return outcome_of(fit, pictures);
  }

 private:
  StepAdvice advice(calib::LensSight sight, const calib::SeenChart& chart) const {
    const LensWords words = words_for(sight, *guide_);
    StepAdvice advice;
    advice.headline = words.headline;
    advice.sentence = words.sentence;
    advice.details = details_of(*guide_);
    advice.progress = guide_->progress();
    advice.taken = sight == calib::LensSight::taken;
    advice.enough = guide_->enough();
    advice.complete = guide_->complete();
    mark_parts(advice);
    mark_sheet(sight, chart, advice);
    return advice;
  }

  void mark_parts(StepAdvice& advice) const {
    const auto mark = [&](int part, StepMark::Kind kind, const std::string& label) {
      constexpr double kInsetPx = 6.0;
      const cv::Rect2d r = guide_->part_px(part);
      const cv::Point2d a(r.x + kInsetPx, r.y + kInsetPx), c(r.br().x - kInsetPx, r.br().y - kInsetPx);
      advice.marks.push_back({kind, {a, {c.x, a.y}, c, {a.x, c.y}}, true, label});
    };
    for (int part = 0; part < guide_->parts(); ++part)
      if (guide_->corners_in(part) >= guide_->options().corners_a_part) mark(part, StepMark::Kind::done, "");
    const calib::LensNeeds needs = guide_->needs();
    if (!needs.parts.empty()) mark(needs.parts.front(), StepMark::Kind::aim, tr("here"));
  }

  static void mark_sheet(calib::LensSight sight, const calib::SeenChart& chart, StepAdvice& advice) {
    if (chart.corners.size() < 4) return;
    std::vector<cv::Point2f> corners, outline;
    for (const calib::ChartCorner& corner : chart.corners) corners.emplace_back(corner.image_px);
    cv::convexHull(corners, outline);
    const bool fit = sight != calib::LensSight::blurred && sight != calib::LensSight::few_corners;
    StepMark mark{fit ? StepMark::Kind::found : StepMark::Kind::doubt, {}, true, ""};
    for (const cv::Point2f& p : outline) mark.points_px.emplace_back(p);
    advice.marks.push_back(std::move(mark));
  }

  static std::string fault_text(const calib::LensFit& fit) {
    std::string said = tr(calib::advice(fit.fault));
    for (const calib::LensPictureFit& picture : fit.each)
      if (!picture.used && !picture.why.empty())
        said += "; " + format(tr("left out: %s: %s"), picture.name, picture.why);
    return said;
  }

  StepOutcome outcome_of(const calib::LensFit& fit, const std::vector<calib::LensPicture>& pictures) {
    const double doubt_px = calib::lens_doubt_px(fit.lens);
    StepOutcome outcome;
    outcome.good = 2.0 * doubt_px <= kMostDoubtPx && fit.rms_px <= kMostRmsPx;
    outcome.lines = result_lines(fit);
    outcome.lines.push_back(
        format(tr("what the lens leaves open moves a point by %s px (k = 2)"), number(stated_px(doubt_px), 2)));
    if (!outcome.good) {
      outcome.headline = fit.rms_px <= kMostRmsPx
                             ? format(tr("The lens is known to %s px only"), number(2.0 * doubt_px, 1))
                             : format(tr("The corners fit to %s px only"), number(fit.rms_px, 1));
      outcome.lines.emplace_back(
          fit.rms_px <= kMostRmsPx
              ? tr("nothing was written: take more pictures, tilted to all sides, also at the picture's rim")
              : tr("nothing was written: stick the sheet on something flat, lock the focus, and take new pictures"));
      draw(fit, pictures, doubt_px, outcome);
      return outcome;
    }
    outcome.headline = format(tr("The lens is known to %s px"), number(stated_px(doubt_px), 2));
    write(fit, outcome);
    draw(fit, pictures, doubt_px, outcome);
    write_picture(outcome);
    return outcome;
  }

  void write(const calib::LensFit& fit, StepOutcome& outcome) {
    make_room_for(options_.station_file);
    // Another program may have changed it since.
    if (fs::exists(options_.station_file))
      station_ = calib::load_station(options_.station_file, calib::StationNeeds::lens);
    station_.lens = fit.lens;
    const fs::path old = keep_old(options_.station_file);
    calib::save_station(station_, options_.station_file);
    outcome.files.push_back(options_.station_file);
    if (!old.empty()) outcome.lines.push_back(format(tr("the old station file is kept as %s"), old.string()));
    if (!station_.board_marks.empty())
      outcome.lines.emplace_back(
          tr("the board was surveyed through the old lens: survey it again with hoopgauge board"));
    outcome.lines.emplace_back(tr("leave the focus locked as it was for these pictures"));
  }

  void draw(const calib::LensFit& fit, const std::vector<calib::LensPicture>& pictures, double doubt_px,
            StepOutcome& outcome) const {
    const calib::LensGuideOptions& parts = guide_->options();
    try {
      outcome.picture = draw_lens({fit, pictures, parts.columns, parts.rows, doubt_px});
    } catch (const std::exception& error) {  // the lens is good without it
      outcome.lines.push_back(format(tr("there is no picture of the result: %s"), error.what()));
    }
  }

  void write_picture(StepOutcome& outcome) const {
    if (outcome.picture.empty()) return;
    std::vector<unsigned char> bytes;
    cv::imencode(".png", outcome.picture, bytes);
    const fs::path file = options_.station_file.parent_path() / "lens.png";
    calib::write_atomically(file, {reinterpret_cast<const char*>(bytes.data()), bytes.size()});
    outcome.files.push_back(file);
  }

  LensStepOptions options_;
  vision::Station station_;
  cv::Size size_px_;
  std::optional<calib::LensGuide> guide_;
  std::vector<std::string> names_;  // of the pictures that the guide kept
};

}  // namespace

std::unique_ptr<SetupStep> make_lens_step(const LensStepOptions& options) {
  return std::make_unique<LensStep>(options);
}

}  // namespace app
