#include "app/work/work.h"

#include <utility>

namespace app {

Work::Work(vision::Station station, vision::Hoop hoop)
    : station_(std::move(station)), hoop_(std::move(hoop)), board_(station_) {}

WorkNews Work::see(const Measured& measured) {
  WorkNews news;
  const Phase before = cycle_.phase();
  seen_ = measured.result;
  board_.update(*seen_);
  news.piece = cycle_.see(*seen_, measured.frame.time_s);
  news.locked = cycle_.phase() == Phase::enter && before == Phase::press;
  if (news.piece) ++pieces_;
  news.notes = board_.news();
  shown_.reset();
  if (cycle_.held()) {
    const vision::Pose2 hoop = seen_->board_from_hoop.value_or(cycle_.kept_hoop().value_or(vision::Pose2{}));
    shown_ = ShownReading{ShownReading::Kind::held, *cycle_.held(), hoop};
  } else if (seen_->reading && seen_->board_from_hoop) {
    shown_ = ShownReading{ShownReading::Kind::live, *seen_->reading, *seen_->board_from_hoop};
  }
  return news;
}

void Work::frames_lost() {
  seen_.reset();
  shown_.reset();
}

void Work::set_job(std::optional<Job> job) { job_ = std::move(job); }

void Work::set_hoop(vision::Hoop hoop) {
  hoop_ = std::move(hoop);
  cycle_.start_over();
  seen_.reset();
  shown_.reset();
}

bool Work::take() { return cycle_.take(); }
bool Work::repeat() { return cycle_.repeat(); }
bool Work::start_over() { return cycle_.start_over(); }

}  // namespace app
