#include "calib/proof_reader.h"

#include <algorithm>

#include "vision/tracker.h"

namespace calib {
namespace {

using vision::Status;

// Paper that lies on the board may stand up by so much; far less than the heights of a hoop and of cloth are unsure.
constexpr double kPaperLimitMm = 0.3;
constexpr int kTagsOfASticker = 4;

vision::TrackerOptions options_for(int sticker) {
  vision::TrackerOptions options;
  options.sticker = sticker;
  options.height_limit_mm = kPaperLimitMm;
  return options;
}

bool is_whole(const vision::FrameResult& result, int sticker) {
  return std::any_of(result.stickers.begin(), result.stickers.end(), [&](const vision::SeenSticker& seen) {
    return seen.number == sticker && seen.tags_seen == kTagsOfASticker;
  });
}

bool all_are_whole(const vision::FrameResult& result) {
  return std::all_of(kProofStickers.begin(), kProofStickers.end(),
                     [&](const ProofSticker& wanted) { return is_whole(result, wanted.number); });
}

}  // namespace

struct ProofReader::State {
  vision::Tracker tracker;
  const vision::FrameResult* seen;

  explicit State(const vision::Station& station)
      : tracker(station, proof_hoop(station.print_scale), options_for(kProofStickers.front().number)), seen(nullptr) {}

  const vision::FrameResult& read(const cv::Mat& grey, int sticker) {
    tracker.set_options(options_for(sticker));
    seen = &tracker.read(grey);
    return *seen;
  }
};

ProofReader::ProofReader(const vision::Station& station) : state_(std::make_unique<State>(station)) {}
ProofReader::~ProofReader() = default;
ProofReader::ProofReader(ProofReader&&) noexcept = default;
ProofReader& ProofReader::operator=(ProofReader&&) noexcept = default;

ProofSight ProofReader::read(const cv::Mat& grey, const std::string& name) {
  ProofSight sight;
  // A tracker that follows one sticker may not have met the others' tags.
  if (!all_are_whole(state_->read(grey, kProofStickers.front().number))) state_->tracker.forget();
  ProofFrame frame;
  frame.name = name;
  for (std::size_t s = 0; s < kProofStickerCount; ++s) {
    sight.sticker = kProofStickers[s].number;
    const vision::FrameResult& result = state_->read(grey, sight.sticker);
    sight.status = result.status;
    if (sight.status != Status::ok) return sight;
    if (!is_whole(result, sight.sticker)) {
      sight.status = Status::sticker_covered;
      return sight;
    }
    const vision::Reading& reading = *result.reading;
    frame.board_from_sheet = *result.board_from_hoop;
    frame.sheet_from_sticker[s] = {{reading.offset_x_mm, reading.offset_y_mm},
                                   reading.rotation_deg * vision::kRadPerDeg};
    frame.u_offset_mm[s] = reading.u_offset_mm;
    frame.u_rotation_deg[s] = reading.u_rotation_deg;
  }
  sight.frame = std::move(frame);
  return sight;
}

const vision::FrameResult& ProofReader::seen() const {
  static const vision::FrameResult kNothing;
  return state_->seen != nullptr ? *state_->seen : kNothing;
}

void ProofReader::forget() { state_->tracker.forget(); }

}  // namespace calib
