#include "app/inspect/finishing.h"

#include "app/guides/cautions.h"
#include "app/jobs/preparation.h"
#include "app/words/words.h"

namespace app {
namespace {

// Common practice in the trade.
constexpr const char* kSteps[] = {
    noop("Remove the basting from the back."),
    noop("Tear-away: tear it gently, holding the stitches. Cut-away: lift it off the cloth first, then trim it."),
    noop("Lift the topping off; dab what stays with water."),
    noop("Press from the back, face down on a towel."),
};
Job job_of(const PieceRecord& piece, const JobList& jobs) {
  for (const StoredJob& stored : jobs.jobs)
    if (stored.job.name == piece.job) return stored.job;
  Job job;
  job.cloth = piece.cloth;
  return job;
}

}  // namespace

std::vector<std::string> finishing_lines(const PieceRecord& piece, const JobList& jobs, const ClothGuide& guide) {
  const Preparation prepared = preparation(job_of(piece, jobs), guide);
  std::vector<std::string> lines;
  if (prepared.stabilizer.value.empty()) {
    for (const char* step : kSteps) lines.emplace_back(tr(step));
    return lines;
  }
  for (const GuideStep& step : guide.finishing(prepared.stabilizer.value, prepared.topping.value))
    lines.emplace_back(tr(step.text.c_str()));
  return lines;
}

std::vector<std::string> caution_lines() {
  std::vector<std::string> lines;
  for (const char* caution : kCautions) lines.emplace_back(tr(caution));
  return lines;
}

}  // namespace app
