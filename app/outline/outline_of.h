// A drawing's outlines as the outline reader says them (app/outline/wire.h).
#pragma once

#include <string>
#include <string_view>

namespace app {

// `pixels` as in drawn_page. A drawing that cannot be used gives the sentence why; nothing is thrown.
std::string outline_of(std::string_view svg, double pixels);

}  // namespace app
