#include "app/resume/resume_session.h"

#include "vision/cloth_sight.h"

namespace app {

void ResumeSession::enter(const Desk& desk) {
  watch_.forget();
  answer_.reset();
  piece_.reset();
  box_.reset();
  box_wanted_ = other_way_up_ = false;
  const std::string job = desk.settings().job_name;
  if (desk.design() && (!started_ || job != job_)) plan_.start(*desk.design());
  started_ = desk.design().has_value();
  job_ = job;
}

void ResumeSession::see(const Desk& desk) {
  const Work& work = desk.work();
  if (!work.seen() || desk.health.stale) return watch_.forget();
  watch_.see(*work.seen(), work.seen_s());
  if (box_wanted_ && desk.design()) find_box(desk);
  work_out(desk);
}

void ResumeSession::find_box(const Desk& desk) {
  const cv::Mat& grey = desk.picture();
  const Work& work = desk.work();
  if (grey.empty()) return;
  box_wanted_ = other_way_up_ = false;
  const cv::Size2d size_mm = desk.design()->size_mm;
  vision::RectangleOptions options;
  options.expected_mm = {size_mm.width + 2.0 * plan_.margin_mm(), size_mm.height + 2.0 * plan_.margin_mm()};
  const auto sight = vision::cloth_sight(work.station(), work.hoop(), *work.seen());
  box_ = sight ? vision::find_stitched_rectangle(grey, *sight, options) : vision::StitchedRectangle{};
}

void ResumeSession::by_stickers(const Design& design) {
  if (const auto matched = matched_points(plan_.points(), watch_.rested(), design, options_))
    plan_.set_points(*matched);
  answer_ = resume(plan_.points(), watch_.rested(), watch_.hoop_covariance(), design, options_);
}

void ResumeSession::work_out(const Desk& desk) {
  answer_.reset();
  piece_.reset();
  if (!desk.design()) return;
  if (box_) {
    answer_ = resume_by_box(*box_, *desk.design(), plan_.margin_mm(), other_way_up_, options_);
  } else if (!watch_.rested().empty()) {
    by_stickers(*desk.design());
  }
  if (!answer_ || answer_->fault != ResumeFault::none) return;
  vision::Reading reading;
  reading.offset_x_mm = answer_->hoop_from_design.origin_mm.x;
  reading.offset_y_mm = answer_->hoop_from_design.origin_mm.y;
  reading.rotation_deg = vision::wrapped_rad(answer_->hoop_from_design.angle_rad) * vision::kDegPerRad;
  piece_ = piece_answer(reading, desk.design(), desk.machine(), desk.work().hoop());
}

}  // namespace app
