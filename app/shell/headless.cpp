#include "app/shell/headless.h"

#include <algorithm>
#include <cstdio>
#include <map>
#include <string_view>
#include <utility>

#include "app/frame_json.h"
#include "app/screen/screen.h"
#include "app/views/station_view.h"

namespace app {

int run_without_display(Window& memory, Desk& desk, Measuring& measuring, const LiveOptions& options,
                        const StopSignal& stop) {
  constexpr int kReadings = 10;
  constexpr double kPatience_s = 60.0;
  const double patience_s = std::min(kPatience_s, options.seconds.value_or(kPatience_s));
  const std::filesystem::path file = options.picture.value_or("hoopgauge-screen.png");
  std::map<std::string_view, int> unread;
  int readings = 0;
  const auto start = Clock::now();
  const auto passed_s = [&] { return std::chrono::duration<double>(Clock::now() - start).count(); };
  bool any = false;
  while (readings < kReadings && passed_s() < patience_s && !stop.received() && !measuring.ended()) {
    auto measured = measuring.results().take_within(std::chrono::milliseconds(100));
    if (!measured) continue;
    any = true;
    const vision::FrameResult& result = measured->result;
    if (result.reading) {
      ++readings;
      const std::string name = "frame " + std::to_string(measured->frame.number);
      std::printf("%s\n", frame_json(name, result, std::nullopt, measured->measuring_ms).c_str());
      std::fflush(stdout);
    } else {
      ++unread[vision::name(result.status)];
    }
    desk.see(std::move(*measured));
  }
  for (const auto& [reason, count] : unread) {
    std::printf("%d frames without a reading: %.*s\n", count, static_cast<int>(reason.size()), reason.data());
  }
  desk.health.source = measuring.source().title();
  desk.health.trouble = measuring.trouble();
  desk.health.stale = !any;
  Screen screen(memory);
  const auto view = make_work_view();
  view->draw(screen.canvas, screen.text, screen.size(), desk, 0.0);
  write_picture(memory, file);
  std::printf("%d readings. The screen's picture is in %s.\n", readings, file.c_str());
  if (desk.health.trouble.empty()) return 0;
  const std::string detail = measuring.trouble_detail();
  std::fprintf(stderr, "hoopgauge: %s%s%s\n", desk.health.trouble.c_str(), detail.empty() ? "" : "\n  ",
               detail.c_str());
  return 1;
}

}  // namespace app
