// Who is measured: other libraries' tag detection, and this project's first and tracked reading.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "tests/bench/scenes.h"
#include "vision/tracker.h"

namespace bench {

// One scene with its pictures. `again` is the same scene with other noise: what a standing hoop gives next.
struct Take {
  Scene truth;
  const vision::Station* station = nullptr;
  const vision::Hoop* hoop = nullptr;
  cv::Mat grey, again;
};

struct Outcome {
  double cpu_ms = 0.0, wall_ms = 0.0;  // medians over the repetitions
  std::string status;                  // a vision::Status by name; "ok" or "missed" for the peers
  std::optional<vision::Pose2> board_from_sticker;
  std::optional<vision::Reading> reading;
  bool tracked = false;
};

class Contestant {
 public:
  virtual ~Contestant() = default;
  virtual std::string name() const = 0;
  virtual bool is_peer() const = 0;
  virtual Outcome run(const Take& take, int repetitions) = 0;
};

// OpenCV first: the others' times are stated relative to it.
std::vector<std::unique_ptr<Contestant>> peers();
std::vector<std::unique_ptr<Contestant>> ours();

}  // namespace bench
