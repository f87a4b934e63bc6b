// A job as the text of its file: what the store does, without the disk.
#pragma once

#include <string>
#include <string_view>

#include "app/jobs/job.h"

namespace app {

// `file` is the name that messages carry. Unknown keys, wrong types and values outside their range throw
// calib::FileError.
Job job_from_text(std::string_view text, const std::string& file);

// Only what is said; numbers read back as the same double. Nothing is checked here.
std::string text_of(const Job& job);

}  // namespace app
