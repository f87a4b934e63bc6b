#include "app/render/setup_scene.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <thread>
#include <utility>

#include "app/render/renderer.h"
#include "app/render/setup_play.h"
#include "app/render/shown_sheet.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr double kUnpacedPeriod_s = 0.1;

double steady_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

class SetupSource : public FrameSource {
 public:
  SetupSource(SetupScript script, const vision::Station& station, const vision::Hoop& hoop, double frames_per_s,
              std::uint64_t seed)
      : renderer_(station, hoop),
        play_(script, station, hoop,
              script == SetupScript::teach ? ScenePage{} : shown_sheet(script, station.print_scale), seed),
        period_s_(frames_per_s > 0.0 ? 1.0 / frames_per_s : kUnpacedPeriod_s),
        paced_(frames_per_s > 0.0),
        seed_(seed) {}

  std::optional<Frame> next() override {
    if (paced_) wait();
    const double time_s = static_cast<double>(number_) * period_s_;
    auto picture = std::make_shared<cv::Mat>(
        renderer_.render(play_.at(time_s).scene, seed_ * 1000003 + static_cast<std::uint64_t>(number_)).clone());
    Frame frame;
    frame.grey = *picture;
    frame.time_s = started_s_.value_or(0.0) + time_s;
    frame.number = number_++;
    frame.owner = std::move(picture);
    return frame;
  }
  std::string title() const override { return noop("rendered station"); }
  bool is_live_camera() const override { return false; }

 private:
  // Until the next beat that is still to come; a late frame leaves beats out, as a camera would.
  void wait() {
    const double now = steady_s();
    if (!started_s_) started_s_ = now;
    number_ = std::max(number_, std::lround(std::ceil((now - *started_s_) / period_s_)));
    std::this_thread::sleep_for(
        std::chrono::duration<double>(*started_s_ + static_cast<double>(number_) * period_s_ - now));
  }

  Renderer renderer_;
  SetupPlay play_;
  double period_s_;
  bool paced_;
  std::uint64_t seed_;
  long number_ = 0;
  std::optional<double> started_s_;
};

}  // namespace

std::unique_ptr<FrameSource> setup_source(SetupScript script, const vision::Station& station, const vision::Hoop& hoop,
                                          double frames_per_s, std::uint64_t seed) {
  return std::make_unique<SetupSource>(script, station, hoop, frames_per_s, seed);
}

}  // namespace app
