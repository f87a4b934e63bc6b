// What a screen speaks outside of the station's own loop: the guide, the steps of the set-up.
#pragma once

#include <filesystem>
#include <string>

namespace app {

// The language that settings.toml beside the station file asks for, as long as this lives; what was spoken before
// afterwards, which is English on the command line.
class ScreenLanguage {
 public:
  explicit ScreenLanguage(const std::filesystem::path& station_file);
  ~ScreenLanguage();
  ScreenLanguage(const ScreenLanguage&) = delete;
  ScreenLanguage& operator=(const ScreenLanguage&) = delete;

 private:
  std::string before_;
};

}  // namespace app
