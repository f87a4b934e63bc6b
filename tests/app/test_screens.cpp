// The command that takes a picture of every view.
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/commands/screens.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

int screens(const app::ScreensOptions& options, std::string& said, std::string& complained) {
  std::ostringstream out, err;
  const int code = app::run_screens(options, out, err);
  said = out.str(), complained = err.str();
  return code;
}

}  // namespace

TEST_CASE("a view's pictures have its name and size, and are not written over unasked", "[views][screens]") {
  const TemporaryFolder folder;
  app::ScreensOptions options;
  options.out_dir = folder.path / "new";
  options.only = "settings";
  std::string said, complained;
  REQUIRE(screens(options, said, complained) == 0);
  CHECK(said == "settings\n");
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(1280, 800), cv::Size(1920, 1080), cv::Size(800, 1280)}) {
    const std::string name = "settings-" + std::to_string(size.width) + "x" + std::to_string(size.height) + ".png";
    const cv::Mat picture = cv::imread((options.out_dir / name).string());
    INFO(name);
    CHECK(picture.size() == size);
    cv::Scalar mean, deviation;
    cv::meanStdDev(picture, mean, deviation);
    CHECK(deviation[0] > 5.0);
  }
  CHECK(screens(options, said, complained) == 2);
  CHECK(complained.find("settings-1024x600.png: is there already") != std::string::npos);
  options.replace = true;
  CHECK(screens(options, said, complained) == 0);
}

TEST_CASE("a language or view that is none is refused", "[views][screens]") {
  const TemporaryFolder folder;
  app::ScreensOptions options;
  options.out_dir = folder.path;
  options.language = "xx";
  std::string said, complained;
  CHECK(screens(options, said, complained) == 2);
  CHECK(complained.find("there is no language 'xx'") != std::string::npos);
  options.language.clear();
  options.only = "nosuchview";
  CHECK(screens(options, said, complained) == 2);
  CHECK(complained.find("nosuchview") != std::string::npos);
  CHECK(folder.entries() == 0);
}
