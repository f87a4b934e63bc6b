// What getting back onto the stitches says: where a point lies on the design, what came of it, what to do.
#pragma once

#include <string>
#include <vector>

#include "app/answer/answer.h"
#include "app/resume/resume.h"
#include "app/settings.h"

namespace app {

// "55.0 mm left, 35.0 mm down" of the design's centre.
std::string place_words(cv::Point2d p_in_design, Units units);

struct ResumeWords {
  std::string headline, sentence;
  bool good = false, bad = false;
};
// `answer`: nothing while the stickers do not lie still; `entry`: what follows from it, with `none` only.
ResumeWords resume_words(const std::optional<ResumeAnswer>& answer, const std::optional<PieceAnswer>& piece,
                         const ResumeOptions& options, Units units);
// The figures behind it, a line each: how sure, the misfit, the scale, the fit in the field.
std::vector<std::string> resume_figures(const ResumeAnswer& answer, const std::optional<PieceAnswer>& piece,
                                        Units units);

}  // namespace app
