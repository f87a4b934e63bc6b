// Not a test: HOOPGAUGE_PICTURES=DIR writes the work view in every phase, with rendered frames, at several sizes.
#include <cstdio>
#include <ctime>
#include <opencv2/imgcodecs.hpp>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/work_cycle.h"
#include "tests/app/work_bench.h"
#include "tests/catch.h"
#include "vision/tracker.h"

TEST_CASE("the work view for looking at", "[.workview-pictures]") {
  const char* folder = std::getenv("HOOPGAUGE_PICTURES");
  REQUIRE(folder != nullptr);
  const vision::Station station = app::demo_station();
  const vision::Hoop hoop = app::demo_hoop("demo 130 x 180");
  app::Renderer renderer(station, hoop);
  const app::WorkCycle cycle(hoop, app::demo_camera_place(), 3);
  vision::Tracker tracker(station, hoop);
  struct Shot {
    double time_s;
    const char* name;
  };
  const std::vector<Shot> shots{{0.2, "0-empty"}, {2.4, "1-ring"},   {3.4, "2-lay"},    {5.5, "3-move"},
                                {10.4, "4-near"}, {12.5, "5-still"}, {15.0, "6-enter"}, {18.3, "7-lift"}};
  std::vector<std::unique_ptr<WorkBench>> benches;
  const std::vector<cv::Size> sizes{{1024, 600}, {1280, 800}, {1920, 1080}, {800, 1280}, {1080, 1920}};
  for (const cv::Size& size : sizes) {
    benches.push_back(std::make_unique<WorkBench>(size, station, hoop));
    app::Desk& desk = benches.back()->desk;
    desk.health.source = "rendered station";
    desk.health.notice = "No camera found: this is the rendered station";
    desk.health.proof = "Proved on 2026-01-20: it measures right.";
    if (const char* language = std::getenv("HOOPGAUGE_LANGUAGE")) benches.back()->use_language(language);
    app::Settings settings = desk.settings();
    if (std::getenv("HOOPGAUGE_INCH") != nullptr) settings.units = app::Units::inch;
    settings.large_plan = std::getenv("HOOPGAUGE_PLAN") != nullptr;
    desk.set(settings);
  }
  std::size_t next = 0;
  for (int i = 0; next < shots.size(); ++i) {
    const double t = 0.1 * i;
    const cv::Mat grey = renderer.render(cycle.at(t).scene, static_cast<std::uint64_t>(i)).clone();
    const vision::FrameResult& result = tracker.read(grey);
    for (auto& bench : benches) bench->show(result, 0.1, grey);
    if (t + 0.05 < shots[next].time_s) continue;
    for (std::size_t k = 0; k < sizes.size(); ++k)
      cv::imwrite(std::string(folder) + "/" + std::to_string(sizes[k].width) + "x" + std::to_string(sizes[k].height) +
                      "_" + shots[next].name + ".png",
                  benches[k]->draw());
    ++next;
  }
}

// Not a test either: what one draw costs, in software, at 1280 x 800 (in memory a window is drawn at twice its size).
TEST_CASE("what a draw of the work view costs", "[.workview-cost]") {
  for (const bool plan : {false, true}) {
    WorkBench bench({640, 400});
    app::Settings settings = bench.desk.settings();
    settings.large_plan = plan;
    bench.desk.set(settings);
    bench.cloth_laid(4.5, 5.2, 1.3);
    std::clock_t spent = 0;
    constexpr int kDraws = 100;
    for (int i = 0; i < kDraws; ++i) {
      bench.pressed(4.5 + 0.01 * i, 5.2, 1.3, 0.1);
      const std::clock_t start = std::clock();
      bench.draw_only();
      spent += std::clock() - start;
      bench.desk.picture_drawn();
    }
    std::printf("%s large: %.2f ms of processor time a draw\n", plan ? "plan" : "picture",
                1000.0 * static_cast<double>(spent) / CLOCKS_PER_SEC / kDraws);
  }
}
