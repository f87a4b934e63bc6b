// A name as it stands in a sentence.
#pragma once

#include <string>

namespace app {

inline std::string in_quotes(const std::string& name) { return "'" + name + "'"; }

}  // namespace app
