#include "tests/bench/contestants.h"

#include "tests/bench/apriltag_tags.h"
#include "tests/bench/opencv_tags.h"
#include "tests/bench/sticker_on_board.h"
#include "tests/bench/stopwatch.h"

namespace bench {
namespace {

template <class Work>
void time(Outcome& outcome, int repetitions, Work work) {
  std::vector<double> cpu, wall;
  for (int i = 0; i < repetitions; ++i) {
    const Stopwatch watch;
    work();
    cpu.push_back(watch.cpu_ms());
    wall.push_back(watch.wall_ms());
  }
  outcome.cpu_ms = median(cpu);
  outcome.wall_ms = median(wall);
}

// The time is the detection alone; the pose that follows is not counted.
template <class Detector>
class Peer : public Contestant {
 public:
  Peer(std::string name, Detector detector) : name_(std::move(name)), detector_(std::move(detector)) {}
  std::string name() const override { return name_; }
  bool is_peer() const override { return true; }

  Outcome run(const Take& take, int repetitions) override {
    Outcome outcome;
    PeerTags tags;
    time(outcome, repetitions, [&] { tags = detector_.detect(take.grey); });
    if (!take.truth.stickers.empty()) {
      outcome.board_from_sticker =
          sticker_on_board(tags, *take.station, take.hoop->cloth_height_mm, take.truth.stickers.front().number);
    }
    outcome.status = outcome.board_from_sticker ? "ok" : "missed";
    return outcome;
  }

 private:
  std::string name_;
  Detector detector_;
};

class Ours : public Contestant {
 public:
  explicit Ours(bool tracked) : tracked_(tracked) {}
  std::string name() const override { return tracked_ ? "hoopgauge, tracked" : "hoopgauge, first frame"; }
  bool is_peer() const override { return false; }

  Outcome run(const Take& take, int repetitions) override {
    prepare(take);
    Outcome outcome;
    tracker_->forget();
    if (tracked_) tracker_->read(take.again);
    const vision::FrameResult* result = nullptr;
    time(outcome, repetitions, [&] {
      if (!tracked_) tracker_->forget();
      result = &tracker_->read(take.grey);
    });
    outcome.status = vision::name(result->status);
    outcome.reading = result->reading;
    outcome.tracked = result->tracked;
    for (const vision::SeenSticker& sticker : result->stickers) {
      if (outcome.reading && sticker.number == take.truth.stickers.front().number)
        outcome.board_from_sticker = sticker.board_from_sticker;
    }
    return outcome;
  }

 private:
  // Setting a hoop is no part of reading a frame.
  void prepare(const Take& take) {
    if (station_ != take.station) {
      tracker_.emplace(*take.station, *take.hoop);
      station_ = take.station;
      tracker_->read(take.grey);  // the buffers of the first frame ever
    } else if (hoop_ != take.hoop) {
      tracker_->set_hoop(*take.hoop);
    }
    hoop_ = take.hoop;
    vision::TrackerOptions options;
    if (take.truth.stickers.size() > 1) options.sticker = take.truth.stickers.front().number;
    tracker_->set_options(options);
  }

  bool tracked_;
  std::optional<vision::Tracker> tracker_;
  const vision::Station* station_ = nullptr;
  const vision::Hoop* hoop_ = nullptr;
};

template <class Detector>
std::unique_ptr<Contestant> peer(std::string name, Detector detector) {
  return std::make_unique<Peer<Detector>>(std::move(name), std::move(detector));
}

}  // namespace

std::vector<std::unique_ptr<Contestant>> peers() {
  std::vector<std::unique_ptr<Contestant>> list;
  list.push_back(peer("OpenCV tags, sub-pixel", OpencvTags()));
  list.push_back(peer("libapriltag, decimate 2", ApriltagTags(2.0F)));
  list.push_back(peer("libapriltag, decimate 1", ApriltagTags(1.0F)));
  return list;
}

std::vector<std::unique_ptr<Contestant>> ours() {
  std::vector<std::unique_ptr<Contestant>> list;
  list.push_back(std::make_unique<Ours>(false));
  list.push_back(std::make_unique<Ours>(true));
  return list;
}

}  // namespace bench
