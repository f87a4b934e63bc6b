// Reads frames with the hoop that is looked for, and, where that is not there, tries the other taught hoops: on the
// measuring thread, steered from the main thread.
//
// A hoop whose north is told by its fixture is never seen the wrong way round: the fixture decides, not the picture.
#pragma once

#include <memory>
#include <mutex>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/straighten/line_look.h"
#include "app/work/other_hoops.h"
#include "vision/reading.h"
#include "vision/station.h"
#include "vision/tracker.h"

namespace app {

class HoopReader {
 public:
  // `others`: the other taught hoops; those that look the same as `hoop` are never reported.
  HoopReader(const vision::Station& station, vision::Hoop hoop, std::vector<vision::Hoop> others);

  // On the measuring thread.
  const vision::FrameResult& read(const cv::Mat& grey);
  // The taught hoop that lies there instead, by several frames' word; empty: none, or not known. After read(), same
  // thread.
  const std::string& other_hoop() const { return others_.name(); }

  // What was wanted of the cloth itself; nothing while nothing is. After read(), same thread.
  const std::optional<LineSeen>& line() const { return line_; }

  // From any thread; holds from the next frame on.
  void set_hoop(vision::Hoop hoop, std::vector<vision::Hoop> others);
  // The sticker that counts when several are seen; or those that belong to one design together, then `number` says
  // nothing.
  void set_stickers(std::optional<int> number, vision::StickerGroup group = {});
  // What is to be looked for on the cloth besides; nothing: the reading alone, as fast as ever.
  void set_line(std::optional<LineWanted> wanted);

 private:
  struct Hoops {
    vision::Hoop looked_for;
    std::vector<vision::Hoop> others;
  };
  void obey();

  vision::Tracker tracker_;
  OtherHoops others_;
  std::mutex gate_;
  std::optional<Hoops> next_hoops_;
  std::optional<vision::TrackerOptions> next_options_;
  std::optional<LineWanted> wanted_, next_wanted_;
  bool wanted_changed_ = false;
  LineLook look_;
  std::optional<LineSeen> line_;
};

}  // namespace app
