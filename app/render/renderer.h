// Renders camera frames of the station. What has not changed since the last frame is kept: the rays of a camera
// pose, the board with its marks, and the whole still picture while only the noise or a hand differ.
#pragma once

#include <cstdint>
#include <memory>
#include <opencv2/core.hpp>

#include "app/render/scene.h"
#include "vision/station.h"

namespace app {

class Renderer {
 public:
  // Throws std::invalid_argument for a lens without pixels or outlines that are none.
  Renderer(vision::Station station, vision::Hoop hoop);
  ~Renderer();
  Renderer(Renderer&&) noexcept;
  Renderer& operator=(Renderer&&) noexcept;

  // 8 bit, one channel, of the lens's size. The same scene and seed give the same picture, whatever came before.
  // The result is the renderer's own buffer until the next call: clone to keep.
  const cv::Mat1b& render(const Scene& scene, std::uint64_t seed);

  const vision::Station& station() const;
  const vision::Hoop& hoop() const;
  void set_hoop(vision::Hoop hoop);

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace app
