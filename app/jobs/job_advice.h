// What is to be said about a job before it is hooped: proposals and warnings. Sentences in the language of the screen.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/design/design.h"
#include "app/guides/cloth_guide.h"
#include "app/guides/place_guide.h"
#include "app/jobs/job.h"
#include "app/settings.h"
#include "vision/station.h"

namespace app {

// What a job is looked at with. Referred to, not kept.
struct JobSurroundings {
  const ClothGuide& cloths;
  const PlaceGuide& places;
  const std::vector<vision::Hoop>& hoops;            // taught ones
  std::optional<std::vector<std::string>> machines;  // their names; nothing: not looked at
};

struct JobAdvice {
  std::vector<std::string> warnings;   // what speaks against it, or is missing
  std::vector<std::string> proposals;  // where it says nothing
};

// Nothing is guessed about how dense a design is.
JobAdvice job_advice(const Job& job, const std::optional<Design>& design, const JobSurroundings& surroundings,
                     Units units);

// Where the design's centre, and so the sticker's cross, belongs on the garment; empty where the job does not say.
std::vector<std::string> place_sentences(const Job& job, const PlaceGuide& guide,
                                         const std::optional<cv::Size2d>& design_mm, Units units);

// "180 to 230 mm", "50 mm".
std::string range_text(const LengthRange& range, Units units);

}  // namespace app
