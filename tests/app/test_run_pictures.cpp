// A set-up step fed with pictures of files: what is fed, what is said, and the exit code.
#include <opencv2/imgcodecs.hpp>
#include <sstream>

#include "app/setup/run_pictures.h"
#include "calib/files.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

// Keeps every other picture and tells what it was fed with.
class FakeStep : public app::SetupStep {
 public:
  std::string title() const override { return "Fake"; }
  app::StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override {
    names.push_back(std::filesystem::path(name).filename());
    times.push_back(time_s);
    levels.push_back(grey.at<uchar>(0, 0));
    app::StepAdvice advice;
    advice.taken = names.size() % 2 == 1;
    advice.headline = advice.taken ? "Kept" : "Again";
    return advice;
  }
  app::StepOutcome finish() override {
    finished = true;
    if (fails_with == 1) throw app::StepError("too few pictures; take more");
    if (fails_with == 2) throw calib::FileError("station.toml: cannot be written");
    return {good, "All is well", {"one figure"}, {"/there/station.toml"}, {}};
  }

  std::vector<std::string> names;
  std::vector<double> times;
  std::vector<int> levels;
  bool good = true, finished = false;
  int fails_with = 0;
};

struct Run {
  void add(const std::string& name, cv::Size size = {64, 48}, int level = 100) {
    cv::imwrite((folder.path / name).string(), cv::Mat(size, CV_8UC1, cv::Scalar(level)));
  }
  int operator()(const std::vector<std::string>& names) {
    std::vector<std::string> paths;
    for (const std::string& name : names) paths.push_back((folder.path / name).string());
    std::ostringstream out_stream, err_stream;
    const int code = app::run_step_on_pictures(step, paths, out_stream, err_stream);
    out = out_stream.str();
    err = err_stream.str();
    return code;
  }

  TemporaryFolder folder;
  FakeStep step;
  std::string out, err;
};

bool has(const std::string& text, const std::string& part) { return text.find(part) != std::string::npos; }

}  // namespace

TEST_CASE("a step is fed with a folder's pictures and finished", "[setup][run_pictures]") {
  Run run;
  run.add("b.png", {64, 48}, 50);
  run.add("a.png", {64, 48}, 20);
  run.add("c.png", {64, 48}, 80);
  CHECK(run({""}) == 0);
  CHECK(run.step.names == std::vector<std::string>{"a.png", "b.png", "c.png"});
  CHECK(run.step.times == std::vector<double>{0.0, 1.0, 2.0});
  CHECK(run.step.levels == std::vector<int>{20, 50, 80});
  CHECK(has(run.out, "a.png: + Kept\n"));
  CHECK(has(run.out, "b.png: Again\n"));
  CHECK(has(run.out, "All is well\n  one figure\n  wrote /there/station.toml\n"));
  CHECK(run.err.empty());
}

TEST_CASE("the exit code tells a poor result from unfit material and unusable files", "[setup][run_pictures]") {
  Run run;
  run.add("a.png");
  run.step.good = false;
  CHECK(run({"a.png"}) == 1);
  run.step.fails_with = 1;
  CHECK(run({"a.png"}) == 1);
  CHECK(has(run.err, "hoopgauge: too few pictures; take more\n"));
  run.step.fails_with = 2;
  CHECK(run({"a.png"}) == 2);
  CHECK(has(run.err, "hoopgauge: station.toml: cannot be written\n"));
}

// Guarantees: a picture that cannot be read is named, the others are still looked at, and nothing is computed without
// it.
TEST_CASE("a picture that cannot be read is named, and nothing is computed", "[setup][run_pictures]") {
  Run run;
  run.add("a.png");
  run.add("c.png");
  run.add("small.png", {32, 48});
  run.folder.put("b.png", "no picture");
  for (const std::string bad : {"b.png", "small.png", "none.png"}) {
    run.step = FakeStep();
    CHECK(run({"a.png", bad, "c.png"}) == 1);
    CAPTURE(run.err);
    CHECK(has(run.err, bad));
    CHECK(run.step.names == std::vector<std::string>{"a.png", "c.png"});
    CHECK_FALSE(run.step.finished);
  }
  CHECK(has(run.err, "leave it out"));
  CHECK(run({"none.png", "nothing*.jpg"}) == 2);
  CHECK(has(run.err, "no picture"));
  CHECK_FALSE(run.step.finished);
}
