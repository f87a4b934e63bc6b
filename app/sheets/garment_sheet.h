// A garment's drawing on paper.
#pragma once

#include "app/sheets/job_ticket_text.h"
#include "app/sheets/pen.h"

namespace app {

// Into `room` (its y is the lower edge), page frame, as large as it goes.
void draw_garment(Pen& pen, const cv::Rect2d& room, const JobTicketText& text);

}  // namespace app
