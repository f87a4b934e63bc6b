// Names as they may stand in HTML, SVG and on paper.
#pragma once

#include <string>
#include <string_view>

namespace app {

// Without control characters and what is no UTF-8: each becomes U+FFFD.
std::string clean_text(std::string_view text);
// The same with & < > " ' as character references: for text and attributes of HTML and XML.
std::string escaped(std::string_view text);

}  // namespace app
