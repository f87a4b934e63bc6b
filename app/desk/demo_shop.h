// An invented workshop with a desk of its own: operators, jobs, taught hoops and pieces that nobody hooped, in a
// temporary folder. For pictures of the screen and for tests.
#pragma once

#include <filesystem>
#include <memory>

#include "app/desk/desk.h"
#include "app/render/rendered_source.h"
#include "app/render/renderer.h"
#include "app/render/scene.h"

namespace app {

class DemoShop {
 public:
  // `language`: as in Settings. Throws calib::FileError.
  explicit DemoShop(const std::string& language = {});
  ~DemoShop();
  DemoShop(const DemoShop&) = delete;
  DemoShop& operator=(const DemoShop&) = delete;

  Desk& desk() { return *desk_; }
  const std::filesystem::path& folder() const { return folder_; }

  // Renders the next frame of the work, reads it as the station does, and lets the desk see it.
  void next_frame();
  // The same of a scene of the caller's with the first of the demo hoops, `frames` times.
  void see(const Scene& scene, int frames);
  static constexpr double kFrame_s = 0.1;

 private:
  void furnish();
  void read(Frame frame);

  std::filesystem::path folder_;
  std::unique_ptr<Desk> desk_;
  std::shared_ptr<HoopReader> reader_;
  std::unique_ptr<RenderedSource> source_;
  std::unique_ptr<Renderer> renderer_;
  double scene_s_ = 0.0;  // of the scenes' frames
  double measuring_ms_ = 0.0;
};

}  // namespace app
