// One getting back onto the stitches: the points, what is seen of them, and what follows.
#pragma once

#include <optional>
#include <string>

#include "app/answer/answer.h"
#include "app/desk/desk.h"
#include "app/resume/resume.h"
#include "app/resume/resume_box.h"
#include "app/resume/resume_plan.h"
#include "app/resume/resume_watch.h"

namespace app {

class ResumeSession {
 public:
  // Begins anew; the points stay while job and design do.
  void enter(const Desk& desk);
  // With every draw; a frame that was seen already says nothing new.
  void see(const Desk& desk);
  // After a change of the plan.
  void work_out(const Desk& desk);

  ResumePlan& plan() { return plan_; }
  const ResumePlan& plan() const { return plan_; }
  const ResumeOptions& options() const { return options_; }
  double stillness() const { return watch_.stillness(); }

  // The basting box, looked for in the next frame, stands for the stickers from then on.
  void look_for_box() { box_wanted_ = true; }
  void turn_box() { other_way_up_ = !other_way_up_; }
  void use_stickers() { box_.reset(); }
  const std::optional<vision::StitchedRectangle>& box() const { return box_; }

  // Nothing while the stickers do not lie still.
  const std::optional<ResumeAnswer>& answer() const { return answer_; }
  // What follows from an answer without fault.
  const std::optional<PieceAnswer>& piece() const { return piece_; }

 private:
  void find_box(const Desk& desk);
  void by_stickers(const Design& design);

  ResumePlan plan_;
  ResumeOptions options_;
  ResumeWatch watch_;
  std::string job_;  // that the plan is for
  bool started_ = false;
  bool box_wanted_ = false, other_way_up_ = false;
  std::optional<vision::StitchedRectangle> box_;
  std::optional<ResumeAnswer> answer_;
  std::optional<PieceAnswer> piece_;
};

}  // namespace app
