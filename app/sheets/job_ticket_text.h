// What stands on a job's ticket, before it is drawn.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/guides/garment_drawing.h"
#include "app/sheets/job_ticket.h"

namespace app {

struct JobTicketText {
  std::string name;
  std::optional<int> tag;
  std::vector<std::pair<std::string, std::string>> facts;  // caption, value
  std::vector<std::string> place, warnings;
  std::vector<std::string> hooping, machine, finishing, cautions;
  std::optional<GarmentDrawing> drawing;
  std::string down_label, across_label;
  std::vector<cv::Point2d> hull_mm;  // the design's, where it is known
};

JobTicketText job_ticket_text(const JobTicket& ticket);

}  // namespace app
