// An invented workshop with a desk of its own: operators, jobs, taught hoops and pieces that nobody hooped, in a
// temporary folder. For pictures of the screen and for tests.
#pragma once

#include <filesystem>
#include <memory>

#include "app/desk/desk.h"
#include "app/render/rendered_source.h"

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
  static constexpr double kFrame_s = 0.1;

 private:
  void furnish();

  std::filesystem::path folder_;
  std::unique_ptr<Desk> desk_;
  std::shared_ptr<HoopReader> reader_;
  std::unique_ptr<RenderedSource> source_;
  double measuring_ms_ = 0.0;
};

}  // namespace app
