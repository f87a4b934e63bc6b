// A job on one page: what goes where, with which hoop and layers, what is checked, and the tag that chooses the job.
#pragma once

#include <optional>
#include <string>

#include "app/design/design.h"
#include "app/jobs/job_advice.h"
#include "app/sheets/page.h"

namespace app {

struct JobTicket {
  Job job;
  std::optional<Design> design;
  JobSurroundings surroundings;
};

// In English, lengths in mm and inches. Throws SheetError where a text of the job holds a sign that the typeface does
// not, or the page cannot hold all of it.
Document job_ticket(Paper paper, const JobTicket& ticket);

// Where the ticket's tag lies on the page (tags of 30 mm, upright), page frame; for checks.
cv::Point2d job_ticket_tag_mm(Paper paper);

}  // namespace app
