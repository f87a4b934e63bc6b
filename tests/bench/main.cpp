// hoopgauge_bench: time, error and honesty of the readings beside two other libraries' tag detection, on the same
// frames, in the same run, on one core.
//
// What is compared. The peers find tags and nothing else; to judge their corners, the sticker's pose on the board is
// computed from them with the true lens, the surveyed marks and the taught cloth height (sticker_on_board.h), and only
// their detection is timed. Our sticker error is that of the same pose. Our reading is the whole work: marks, sticker,
// ring, notches, uncertainty; its error is the offset and rotation in the hoop. `ms` is processor time of the process,
// so that other work on the machine does not count.
//
// Instructions of one tracked reading:
//   valgrind --tool=callgrind --collect-atstart=no --toggle-collect=hoopgauge_bench_tracked_reads
//     hoopgauge_bench --callgrind-tracked images/frames/06_easy.jpg --times 10
// and divide the count by 10.
#include <CLI/CLI.hpp>
#include <fstream>
#include <iostream>
#include <nlohmann/json.hpp>
#include <opencv2/core.hpp>

#include "tests/bench/contestants.h"
#include "tests/bench/memory.h"
#include "tests/bench/rendered.h"
#include "tests/bench/scenes.h"
#include "tests/bench/tally.h"

namespace {

using namespace bench;
using nlohmann::json;

struct Options {
  std::string frames, json_file, callgrind_frame;
  int repetitions = 3, peers_every = 1, times = 10, scenes = 0;
  std::uint64_t seed = 1;
  bool each_frame = false;
};

// Other noise on the same picture, about that of the sensor.
cv::Mat noisy(const cv::Mat& grey, unsigned seed) {
  cv::Mat1s noise(grey.size());
  cv::RNG random(seed);
  random.fill(noise, cv::RNG::NORMAL, 0.0, 1.5);
  cv::Mat out;
  cv::add(grey, noise, out, cv::noArray(), CV_8U);
  return out;
}

NextTake takes_of(const SceneFolder& set) {
  return [&set, i = std::size_t{0}]() mutable -> std::optional<Take> {
    if (i == set.scenes.size()) return std::nullopt;
    const Scene& scene = set.scenes[i++];
    const cv::Mat grey = load_frame(set, scene);
    return Take{scene, &set.station, &set.hoops.at(scene.hoop), grey, noisy(grey, static_cast<unsigned>(i))};
  };
}

json run_set(const std::string& title, const NextTake& next, int peers_every, const Options& options) {
  auto their = peers(), our = ours();
  std::vector<Tally> tallies;
  for (const auto* list : {&their, &our})
    for (const auto& contestant : *list) tallies.emplace_back(contestant->name(), contestant->is_peer());
  double our_memory_mb = 0.0;
  int count = 0;
  while (const std::optional<Take> take = next()) {
    if (count == 0) {
      for (const auto& contestant : our) contestant->run(*take, 1);
      our_memory_mb = resident_mb("VmRSS");
    }
    double reference_ms = 0.0;
    std::size_t tally = 0;
    for (const auto& contestant : their) {
      if (count % peers_every == 0) {
        const Outcome outcome = contestant->run(*take, options.repetitions);
        if (tally == 0) reference_ms = outcome.cpu_ms;
        tallies[tally].add({take->truth, outcome, reference_ms});
      }
      ++tally;
    }
    for (const auto& contestant : our)
      tallies[tally++].add({take->truth, contestant->run(*take, options.repetitions), reference_ms});
    ++count;
  }
  std::vector<json> summaries;
  for (const Tally& tally : tallies) summaries.push_back(tally.summary(options.each_frame));
  print_table(stdout, title + ", " + std::to_string(count) + " frames", summaries);
  std::printf("resident memory after two trackers read their first frame: %.0f MB\n", our_memory_mb);
  return {{"title", title}, {"frames", count}, {"resident_mb", our_memory_mb}, {"contestants", summaries}};
}

}  // namespace

// Callgrind counts only inside this function.
extern "C" __attribute__((noinline)) void hoopgauge_bench_tracked_reads(vision::Tracker& tracker, const cv::Mat& grey,
                                                                        int times) {
  for (int i = 0; i < times; ++i) tracker.read(grey);
}

namespace {

int tracked_reads(const Options& options) {
  const std::filesystem::path frame = options.callgrind_frame;
  const SceneFolder set = load_scenes(frame.parent_path());
  for (const Scene& scene : set.scenes) {
    if (scene.name != frame.filename()) continue;
    const cv::Mat grey = load_frame(set, scene);
    vision::Tracker tracker(set.station, set.hoops.at(scene.hoop));
    tracker.read(grey);
    tracker.read(grey);
    hoopgauge_bench_tracked_reads(tracker, grey, options.times);
    const vision::FrameResult& result = tracker.read(grey);
    std::printf("%s: %d tracked readings, status %s, tracked %s\n", frame.c_str(), options.times,
                std::string(vision::name(result.status)).c_str(), result.tracked ? "yes" : "no");
    return result.tracked && result.reading ? 0 : 1;
  }
  throw std::runtime_error(frame.string() + ": not listed in the truth.json beside it");
}

int run(const Options& options) {
  if (!options.callgrind_frame.empty()) return tracked_reads(options);
  json report{{"threads", cv::getNumThreads()}, {"opencv", CV_VERSION}, {"sets", json::array()}};
  if (!options.frames.empty()) {
    const SceneFolder set = load_scenes(options.frames);
    report["sets"].push_back(run_set("frames " + options.frames, takes_of(set), 1, options));
  }
  if (options.scenes > 0) {
    const std::string title = "rendered scenes, seeds " + std::to_string(options.seed) + " and on";
    report["sets"].push_back(
        run_set(title, rendered_takes(options.scenes, options.seed), options.peers_every, options));
  }
  report["peak_resident_mb"] = resident_mb("VmHWM");
  std::printf("peak resident memory of the whole run, other libraries and renderer included: %.0f MB\n",
              resident_mb("VmHWM"));
  if (!options.json_file.empty()) {
    std::ofstream file(options.json_file);
    file << report.dump(1) << "\n";
    if (!file) throw std::runtime_error(options.json_file + ": cannot be written");
  }
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  cv::setNumThreads(1);
  CLI::App app{"Time and error of the readings beside other libraries' tag detection, on one core"};
  Options options;
  app.add_option("--frames", options.frames, "folder with truth.json, station.toml, hoops/ and frames");
  app.add_option("--scenes", options.scenes, "as many rendered scenes of all kinds")->check(CLI::NonNegativeNumber);
  app.add_option("--seed", options.seed, "of the first of them");
  app.add_option("--json", options.json_file, "write every figure to this file");
  app.add_flag("--each-frame", options.each_frame, "with --json: a row a frame as well");
  app.add_option("--repeat", options.repetitions, "readings timed a frame, of which the median counts")
      ->check(CLI::Range(1, 100));
  app.add_option("--peers-every", options.peers_every, "run the other libraries on every Nth rendered scene only")
      ->check(CLI::PositiveNumber);
  app.add_option("--callgrind-tracked", options.callgrind_frame, "only read this frame, tracked, see main.cpp");
  app.add_option("--times", options.times, "how often")->check(CLI::PositiveNumber);
  CLI11_PARSE(app, argc, argv);
  try {
    return run(options);
  } catch (const std::exception& e) {
    std::cerr << e.what() << "\n";
    return 1;
  }
}
