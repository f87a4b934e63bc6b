// What goes under and over the cloth of a job and how it is hooped: what the job says, else what the cloth guide
// proposes.
#pragma once

#include <optional>
#include <string>

#include "app/guides/cloth_guide.h"
#include "app/jobs/job.h"

namespace app {

struct Prepared {
  std::string value;         // empty: nobody said, and the guide does not know the cloth
  std::string note, source;  // of the guide; empty where the job says it
  bool of_job = false;
};

struct Preparation {
  Prepared stabilizer, topping, way;
  std::optional<double> stretch_limit_percent;
  std::string stretch_source;  // empty where the job says it
};

Preparation preparation(const Job& job, const ClothGuide& guide);

}  // namespace app
