#include "vision/tracker.h"

namespace vision {

struct Tracker::State {
  Station station;
  Hoop hoop;
  TrackerOptions options;
  FrameResult result;
};

Tracker::Tracker(Station station, Hoop hoop, TrackerOptions options)
    : state_(new State{std::move(station), std::move(hoop), options, {}}) {}
Tracker::~Tracker() = default;
Tracker::Tracker(Tracker&&) noexcept = default;
Tracker& Tracker::operator=(Tracker&&) noexcept = default;
const FrameResult& Tracker::read(const cv::Mat&) { return state_->result; }
void Tracker::forget() {}
const Station& Tracker::station() const { return state_->station; }
const Hoop& Tracker::hoop() const { return state_->hoop; }
void Tracker::set_hoop(Hoop hoop) { state_->hoop = std::move(hoop); }
void Tracker::set_options(const TrackerOptions& options) { state_->options = options; }

}  // namespace vision
