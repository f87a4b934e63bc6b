#include "app/work/hoop_reader.h"

#include <utility>

namespace app {

HoopReader::HoopReader(const vision::Station& station, vision::Hoop hoop, std::vector<vision::Hoop> others)
    : tracker_(station, hoop), others_(station.lens, hoop, others) {}

void HoopReader::obey() {
  std::optional<Hoops> hoops;
  {
    const std::scoped_lock lock(gate_);
    hoops = std::exchange(next_hoops_, std::nullopt);
    if (std::exchange(wanted_changed_, false)) wanted_ = next_wanted_;
    if (next_options_) tracker_.set_options(*std::exchange(next_options_, std::nullopt));
  }
  if (!hoops) return;
  others_ = OtherHoops(tracker_.station().lens, hoops->looked_for, hoops->others);
  tracker_.set_hoop(std::move(hoops->looked_for));
}

const vision::FrameResult& HoopReader::read(const cv::Mat& grey) {
  obey();
  const vision::FrameResult& result = tracker_.read(grey);
  others_.see(grey, result);
  line_.reset();
  if (wanted_)
    line_ = look_.see(grey, tracker_.station(), tracker_.hoop(), result, *wanted_);
  else
    look_.forget();
  return result;
}

void HoopReader::set_hoop(vision::Hoop hoop, std::vector<vision::Hoop> others) {
  const std::scoped_lock lock(gate_);
  next_hoops_ = Hoops{std::move(hoop), std::move(others)};
}

void HoopReader::set_line(std::optional<LineWanted> wanted) {
  const std::scoped_lock lock(gate_);
  next_wanted_ = std::move(wanted);
  wanted_changed_ = true;
}

void HoopReader::set_stickers(std::optional<int> number, vision::StickerGroup group) {
  const std::scoped_lock lock(gate_);
  vision::TrackerOptions& options = next_options_.emplace();
  options.sticker = number;
  options.group = std::move(group);
}

}  // namespace app
