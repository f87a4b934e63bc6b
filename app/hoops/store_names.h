// What the parts of HoopStore share.
#pragma once

#include <string>

namespace app {

inline std::string in_quotes(const std::string& name) { return "'" + name + "'"; }

// The name as it will be kept. Throws calib::FileError beginning with `where` for one that is not fit.
std::string checked_name(const std::string& name, const std::string& where);

}  // namespace app
