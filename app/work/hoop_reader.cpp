#include "app/work/hoop_reader.h"

#include <utility>

namespace app {

HoopReader::HoopReader(const vision::Station& station, vision::Hoop hoop, std::vector<vision::Hoop>)
    : tracker_(station, std::move(hoop)) {}

const vision::FrameResult& HoopReader::read(const cv::Mat& grey) {
  {
    const std::scoped_lock lock(gate_);
    if (next_hoop_) tracker_.set_hoop(*std::exchange(next_hoop_, std::nullopt));
    if (next_options_) tracker_.set_options(*std::exchange(next_options_, std::nullopt));
  }
  return tracker_.read(grey);
}

void HoopReader::set_hoop(vision::Hoop hoop, std::vector<vision::Hoop>) {
  const std::scoped_lock lock(gate_);
  next_hoop_ = std::move(hoop);
}

void HoopReader::set_sticker(std::optional<int> number) {
  const std::scoped_lock lock(gate_);
  next_options_.emplace().sticker = number;
}

}  // namespace app
