// The station's log (spdlog's default logger): to the journal by way of standard error, or plainly where a person
// started the program. No personal data go there but the names that operators chose for themselves.
#pragma once

#include <string>
#include <vector>

namespace app {

// From here on spdlog writes to standard error: lines with the journal's priority ("<4>...") where that is the journal
// (JOURNAL_STREAM), else "hoopgauge: ...". The same text comes at most once a minute, sixty in all.
void start_logs();

// The newest of what was written from warnings upwards, the oldest first, each with its time (UTC): for the service
// view. At most fifty. From any thread.
std::vector<std::string> last_warnings();

}  // namespace app
