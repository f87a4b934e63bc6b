// What teaching found, in plain lines.
#pragma once

#include <string>
#include <vector>

#include "app/hoops/teaching.h"

namespace app {

// Shape, sizes, how sure, where north is.
std::vector<std::string> ring_lines(const calib::TaughtRing& ring);
// What the other pictures say of the rim's height, and where the height that is used comes from.
std::vector<std::string> height_lines(const Teaching& teaching);

}  // namespace app
