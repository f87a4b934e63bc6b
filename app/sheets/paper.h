// The two papers that the sheets are made for.
#pragma once

#include <opencv2/core.hpp>
#include <string>

namespace app {

enum class Paper { a4, letter };

// Upright, mm: A4 after ISO 216, Letter after ANSI/ASME Y14.1 (8.5 x 11 in).
cv::Size2d paper_size_mm(Paper paper);
// "A4", "US Letter".
std::string paper_name(Paper paper);

// What the country in the environment's locale (LC_ALL, LC_PAPER, LANG) uses; A4 where that is not known.
Paper local_paper();

}  // namespace app
