#include "app/setup/proof_step.h"

#include <algorithm>
#include <cmath>
#include <ctime>
#include <stdexcept>

#include "app/advice.h"
#include "app/format.h"
#include "app/places.h"
#include "app/proof/last_proof.h"
#include "app/proof/proof_aims.h"
#include "app/proof/proof_page.h"
#include "app/proof/proof_report.h"
#include "app/words/words.h"
#include "calib/proof.h"
#include "calib/proof_reader.h"
#include "vision/camera.h"

namespace app {
namespace {

using calib::ProofTurn;

// A sheet that lies: it moved less than this since the last frame, for so long.
constexpr double kStillMm = 0.15, kStillDeg = 0.05, kStillSeconds = 0.4;
// An aim counts as used when a place lies so near to it.
constexpr double kAimUsedMm = 30.0;
constexpr double kScreenPxPerMm = 4.0;

const char* turn_name(ProofTurn turn) { return turn == ProofTurn::upright ? tr("upright") : tr("turned by half"); }
ProofTurn other(ProofTurn turn) { return turn == ProofTurn::upright ? ProofTurn::turned : ProofTurn::upright; }

// Whether the sheet has lain still long enough.
class Stillness {
 public:
  bool still(const vision::Pose2& pose, double time_s) {
    const bool moved =
        !last_ || cv::norm(pose.origin_mm - last_->origin_mm) > kStillMm ||
        std::abs(vision::wrapped_rad(pose.angle_rad - last_->angle_rad)) > kStillDeg * vision::kRadPerDeg;
    if (moved) since_s_ = time_s;
    last_ = pose;
    return time_s - since_s_ >= kStillSeconds;
  }
  void lost() { last_.reset(); }

 private:
  std::optional<vision::Pose2> last_;
  double since_s_ = 0.0;
};

class ProofStep : public SetupStep {
 public:
  ProofStep(const vision::Station& station, const ProofStepOptions& options)
      : station_(station),
        options_(options),
        plan_{options.places, options.readings},
        reader_(station),
        aims_(proof_aims(station, options.places)) {}

  std::string title() const override { return tr("Proof"); }

  StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override {
    StepAdvice advice;
    if (grey.cols != station_.lens.width_px || grey.rows != station_.lens.height_px) {
      advice.headline = tr("The picture has another size than the lens");
      advice.sentence = format(tr("The station file is for %d x %d px; use pictures of its camera."),
                               station_.lens.width_px, station_.lens.height_px);
    } else {
      if (!name.empty()) reader_.forget();
      advice = looked_at(reader_.read(grey, name), time_s, !name.empty());
      add_marks(advice);
    }
    add_progress(advice);
    return advice;
  }

  bool undo() override { return readings_.undo(); }

  StepOutcome finish() override {
    ProofReport report;
    try {
      report.proof = calib::prove(readings_, station_.print_scale, options_.tolerance, plan_);
    } catch (const std::invalid_argument& error) {
      throw StepError(format(tr("no proof: %s"), tr(std::string(error.what()))));
    }
    report.plan = plan_;
    report.by = options_.by;
    report.station_file = options_.station_file;
    report.station_fingerprint = station_fingerprint(station_);
    report.print_scale = station_.print_scale;
    report.time = std::time(nullptr);
    StepOutcome outcome;
    if (options_.rendered && *options_.rendered) {
      outcome.lines = {tr("The frames were the rendered station's: nothing is kept as a proof of this one.")};
    } else {
      const ProofFiles files = write_proof(report, proof_folder(options_.station_file));
      outcome.files = {files.pdf, files.json};
    }
    outcome.good = report.proof.verdict == calib::ProofVerdict::pass;
    outcome.headline = proof_headline(report);
    const std::vector<std::string> lines = proof_lines(report);
    outcome.lines.insert(outcome.lines.end(), lines.begin(), lines.end());
    outcome.picture = proof_picture(report, kScreenPxPerMm);
    return outcome;
  }

 private:
  StepAdvice looked_at(const calib::ProofSight& sight, double time_s, bool is_picture) {
    StepAdvice advice;
    if (!sight.frame) {
      stillness_.lost();
      return cannot_read(sight);
    }
    const vision::Pose2& pose = sight.frame->board_from_sheet;
    const bool lies = stillness_.still(pose, time_s) || is_picture;
    const std::optional<ProofTurn> turn = calib::turn_of(pose);
    if (!turn) {
      advice.headline = tr("Turn the sheet upright");
      advice.sentence = tr("Lay it with its top away from you, or towards you; not sideways.");
      return advice;
    }
    const std::optional<std::size_t> place = readings_.place_at(pose.origin_mm);
    if (!is_picture && !wants(place, *turn)) return elsewhere(place, *turn);
    if (!lies) {
      advice.headline = tr("Let the sheet lie still");
      advice.sentence = tr("Hands off, flat on the board.");
      return advice;
    }
    readings_.add(*sight.frame);
    advice.taken = true;
    const std::size_t now = *readings_.place_at(pose.origin_mm);
    if (!is_picture && !wants(now, *turn)) advice = elsewhere(now, *turn);
    const int at = static_cast<int>(now) + 1;
    const std::string counted =
        format(tr("Place %d, %s: %d of %d"), at, turn_name(*turn), count(now, *turn), plan_.readings);
    // Live, a headline that counts would flicker.
    if (advice.headline.empty())
      advice.headline = is_picture ? counted : format(tr("Place %d, %s"), at, turn_name(*turn));
    if (advice.sentence.empty()) advice.sentence = tr("Keep hands off until the place is done.");
    advice.details.push_back(counted);
    advice.taken = true;
    return advice;
  }

  StepAdvice cannot_read(const calib::ProofSight& sight) const {
    StepAdvice advice;
    using vision::Status;
    switch (sight.status) {
      case Status::no_ring:
      case Status::no_sticker:
      case Status::wrong_sticker:
        advice.headline = tr("Lay the proof sheet on the board");
        advice.sentence = tr("Flat, all of it in the picture, no board mark covered, no hoop on it.");
        break;
      case Status::ring_covered:
      case Status::which_way_up:
        advice.headline = tr("The sheet's ring is covered");
        advice.sentence =
            tr("Lay it so that its whole ring and its notches show; weigh the paper down outside of the ring.");
        break;
      case Status::sticker_covered:
      case Status::several_stickers:
        advice.headline = format(tr("Sticker %d is not wholly seen"), sight.sticker);
        advice.sentence = tr("All of the sheet must show and lie flat, and no other sticker lie beside it.");
        break;
      default:
        advice.headline = tr(std::string(headline(sight.status)));
        advice.sentence = tr(std::string(app::advice(sight.status)));
    }
    return advice;
  }

  int count(std::size_t place, ProofTurn turn) const {
    return static_cast<int>(readings_.places()[place].at(turn).size());
  }
  bool wants(const std::optional<std::size_t>& place, ProofTurn turn) const {
    if (!place) return static_cast<int>(readings_.places().size()) < plan_.places;
    return count(*place, turn) < plan_.readings;
  }

  // The sheet lies where nothing is wanted: what is, and the nearest first.
  StepAdvice elsewhere(const std::optional<std::size_t>& place, ProofTurn turn) const {
    StepAdvice advice;
    if (place && wants(place, other(turn))) {
      advice.headline = tr("Turn the sheet by half a turn, here");
      advice.sentence = tr("About the same place is enough; then hands off.");
      return advice;
    }
    for (std::size_t p = 0; p < readings_.places().size(); ++p)
      for (const ProofTurn one : {ProofTurn::upright, ProofTurn::turned})
        if (wants(p, one)) {
          advice.headline = format(tr("Back to place %d, %s"), static_cast<int>(p) + 1, turn_name(one));
          advice.sentence = tr("Some readings are missing there.");
          return advice;
        }
    if (static_cast<int>(readings_.places().size()) < plan_.places) {
      advice.headline = tr("Slide the sheet to the next place");
      advice.sentence = tr("Any of those that are drawn in the picture; upright or turned by half.");
    } else {
      advice.headline = tr("All readings are there");
      advice.sentence = tr("The sheet can go.");
    }
    return advice;
  }

  void add_progress(StepAdvice& advice) const {
    int done = 0;
    for (std::size_t p = 0; p < readings_.places().size(); ++p)
      for (const ProofTurn turn : {ProofTurn::upright, ProofTurn::turned})
        done += std::min(count(p, turn), plan_.readings);
    const int all = 2 * plan_.places * plan_.readings;
    advice.progress = std::min(1.0, static_cast<double>(done) / all);
    advice.details.push_back(format(tr("%d of %d readings, %d of %d places"), done, all,
                                    static_cast<int>(readings_.places().size()), plan_.places));
    const std::vector<std::string> missing = calib::missing_of(readings_, plan_);
    for (std::size_t i = 0; i < std::min<std::size_t>(missing.size(), 3); ++i)
      advice.details.push_back(format(tr("missing: %s"), missing[i]));
    advice.complete = missing.empty();
  }

  void add_sheet(StepAdvice& advice, const vision::CameraPose& camera, cv::Point2d middle, StepMark::Kind kind,
                 const std::string& label) const {
    StepMark mark{kind, {}, true, label};
    for (const cv::Point2d& p : proof_sheet_outline({middle, 0.0}, station_.print_scale))
      mark.points_px.push_back(vision::image_from_board(station_.lens, camera, {p.x, p.y, 0.0}));
    advice.marks.push_back(std::move(mark));
  }

  void add_marks(StepAdvice& advice) const {
    const vision::FrameResult& seen = reader_.seen();
    const StepMark::Kind kind = advice.taken ? StepMark::Kind::found : StepMark::Kind::doubt;
    if (!seen.inner_px.empty()) advice.marks.push_back({kind, seen.inner_px, true, {}});
    for (const vision::SeenSticker& sticker : seen.stickers)
      if (sticker.tags_seen > 1)
        advice.marks.push_back(
            {kind, {sticker.outline_px.begin(), sticker.outline_px.end()}, true, std::to_string(sticker.number)});
    if (!seen.camera_from_board) return;
    for (std::size_t p = 0; p < readings_.places().size(); ++p)
      if (!wants(p, ProofTurn::upright) && !wants(p, ProofTurn::turned))
        add_sheet(advice, *seen.camera_from_board, readings_.places()[p].middle_mm, StepMark::Kind::done, {});
    if (static_cast<int>(readings_.places().size()) >= plan_.places) return;
    for (const cv::Point2d& aim : aims_)
      if (std::none_of(readings_.places().begin(), readings_.places().end(),
                       [&](const calib::ProofPlace& place) { return cv::norm(place.middle_mm - aim) < kAimUsedMm; }))
        add_sheet(advice, *seen.camera_from_board, aim, StepMark::Kind::aim, {});
  }

  vision::Station station_;
  ProofStepOptions options_;
  calib::ProofPlan plan_;
  calib::ProofReader reader_;
  std::vector<cv::Point2d> aims_;
  calib::ProofReadings readings_;
  Stillness stillness_;
};

}  // namespace

std::unique_ptr<SetupStep> make_proof_step(const vision::Station& station, const ProofStepOptions& options) {
  return std::make_unique<ProofStep>(station, options);
}

}  // namespace app
