// The rendered station as a source of frames: the work cycle over and over, paced like a camera.
#pragma once

#include <cstdint>
#include <memory>

#include "app/render/renderer.h"
#include "app/render/work_cycle.h"
#include "app/source/frame_source.h"
#include "app/words/words.h"

namespace app {

class RenderedSource : public FrameSource {
 public:
  // `frames_per_s`: a frame that is late makes the script skip, as a camera would, so that it plays at true speed.
  // 0: as fast as they can be rendered, each a tenth of a second of the script further.
  RenderedSource(vision::Station station, vision::Hoop hoop, const CameraPlace& camera, double frames_per_s,
                 std::uint64_t seed);
  ~RenderedSource() override;

  std::optional<Frame> next() override;
  std::string title() const override { return noop("rendered station"); }
  bool is_live_camera() const override { return false; }

  // The script, for mishaps and cards before the first frame.
  WorkCycle& work() { return cycle_; }
  // What the last frame showed.
  const CycleMoment& moment() const { return moment_; }

 private:
  void show_hoop(const vision::Hoop* other);

  Renderer renderer_;
  vision::Hoop hoop_;
  const vision::Hoop* other_shown_ = nullptr;
  WorkCycle cycle_;
  double period_s_;
  bool paced_;
  std::uint64_t seed_;
  long number_ = 0;
  std::optional<double> started_s_;
  CycleMoment moment_;
};

}  // namespace app
