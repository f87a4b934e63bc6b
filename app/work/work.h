// The work in hand, as every view shows it: what was seen last, where the cycle stands, for whom and for which job.
// No screen, no files, no clock: time is that of the frames.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/board_watch.h"
#include "app/cycle/hooping_cycle.h"
#include "app/jobs/job.h"
#include "app/measuring.h"
#include "app/nudge.h"
#include "app/stretch/resting_group.h"
#include "app/stretch/stretch.h"
#include "app/work/card_watch.h"
#include "vision/station.h"

namespace app {

// What the digits show, and of what kind it is.
struct ShownReading {
  enum class Kind {
    guide,  // the way of the cloth to the hoop as it was set: no reading, its uncertainties are zero
    live,   // this frame's reading
    held,   // the average that is to be entered
  };
  Kind kind = Kind::live;
  vision::Reading reading;
  vision::Pose2 board_from_hoop;
};

// What a frame brought besides what it shows; each is said once.
struct WorkNews {
  std::optional<HoopedPiece> piece;  // lifted: to be recorded
  bool locked = false;               // a reading is held from now on
  std::vector<int> cards;            // badges or tickets (480..586) that were laid on the board
  std::string other_hoop;            // not the hoop that is looked for lies there, but this one; empty: nothing new
  std::vector<std::string> notes;    // of the board, for the log
};

class Work {
 public:
  Work(vision::Station station, vision::Hoop hoop);

  // One measured frame; its pixels are not looked at.
  WorkNews see(const Measured& measured);
  // The frames stopped, or start anew from another camera: nothing seen before counts as seen now.
  void frames_lost();

  // A job's numbers and tolerance; without a job any sticker and the default tolerance. A piece that is just being
  // lifted still belongs to the job before: it is given back, to be recorded for that one.
  std::optional<HoopedPiece> set_job(std::optional<Job> job);
  // Another hoop is looked for from now on. A held piece is given back, to be recorded for the hoop before; without one
  // the piece in hand is given up.
  std::optional<HoopedPiece> set_hoop(vision::Hoop hoop);
  // The operator's word (app/cycle): whether it meant anything in this phase.
  bool take();
  bool repeat();
  bool start_over();

  const HoopingCycle& cycle() const { return cycle_; }
  const vision::Station& station() const { return station_; }
  const vision::Hoop& hoop() const { return hoop_; }
  const std::optional<Job>& job() const { return job_; }
  Tolerance tolerance() const { return job_ ? job_->tolerance : Tolerance{}; }
  // Of the last frame; nothing before the first and after frames_lost().
  const std::optional<vision::FrameResult>& seen() const { return seen_; }
  // The time of that frame, seconds.
  double seen_s() const { return seen_s_; }
  // Its status, once it has held for a moment: for words, so that a passing hand does not make them flicker.
  vision::Status said_status() const { return status_.said(); }
  // What the digits show now, if anything.
  const std::optional<ShownReading>& shown() const { return shown_; }
  // Whether that is within the tolerance; steady for the eye.
  const WithinTolerance& within() const { return within_; }
  // The kept ring in the image, for drawing while the cloth hides it; else empty.
  const std::vector<cv::Point2d>& kept_inner_px() const { return kept_inner_px_; }
  const std::vector<cv::Point2d>& kept_outer_px() const { return kept_outer_px_; }
  const BoardWatch& board() const { return board_; }
  // The name of a taught hoop that lies there instead of the one looked for; empty: none.
  const std::string& other_hoop() const { return other_hoop_; }
  int pieces() const { return pieces_; }  // since the start

  // The job has two stickers or more on every piece: their distances are compared, flat and hooped.
  bool wants_stretch() const { return job_ && job_->placed_stickers.size() > 1; }
  // Of the piece that is held; nothing before, and where its stickers did not lie still flat.
  const std::optional<Stretch>& stretch() const { return stretch_; }
  // The job's, else kStretchLimitPercent.
  double stretch_limit_percent() const;
  // What the cloth guide says of the job's cloth; a job's own limit goes before it.
  void set_stretch_limit_of_cloth(std::optional<double> percent) { stretch_limit_of_cloth_percent_ = percent; }

  // While another view uses the board for something else: what is seen is kept and shown, and the piece in hand rests.
  // Back from there nothing seen meanwhile counts.
  void set_aside(bool aside);

 private:
  std::optional<ShownReading> what_to_show() const;
  std::optional<ShownReading> guide() const;
  void draw_kept_ring();
  void show_anew();
  void follow_stretch(const vision::FrameResult& result, bool locked);
  void forget_stretch();
  // Of a piece that is given back.
  std::optional<HoopedPiece> with_stretch(std::optional<HoopedPiece> piece);

  vision::Station station_;
  vision::Hoop hoop_;
  std::optional<Job> job_;
  HoopingCycle cycle_;
  BoardWatch board_;
  CardWatch cards_;
  std::optional<vision::FrameResult> seen_;
  double seen_s_ = 0.0;
  Said<vision::Status> status_{vision::Status::no_ring};
  std::optional<ShownReading> shown_;
  WithinTolerance within_;
  std::vector<cv::Point2d> kept_inner_px_, kept_outer_px_;
  std::string other_hoop_;
  int pieces_ = 0;
  RestingGroup flat_, pressed_;
  std::optional<double> stretch_limit_of_cloth_percent_;
  std::optional<Stretch> stretch_;
  bool stretch_wanted_ = false;  // held, and the stickers have not been compared yet
  bool aside_ = false;
};

}  // namespace app
