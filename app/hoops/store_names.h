// What the parts of HoopStore share.
#pragma once

#include <string>

#include "app/in_quotes.h"

namespace app {

// The name as it will be kept. Throws calib::FileError beginning with `where` for one that is not fit.
std::string checked_name(const std::string& name, const std::string& where);

}  // namespace app
