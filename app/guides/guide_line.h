// Lines of text in the guides' files.
#pragma once

#include <string>
#include <string_view>

#include "app/format.h"
#include "app/names.h"
#include "calib/toml_reader.h"

namespace app {

// Tidied and not empty; `example` is what a message says to write. Throws calib::FileError.
inline std::string guide_line(const calib::Section& in, std::string_view key, const std::string& example) {
  constexpr std::size_t kLongestLine = 200;  // bytes
  const std::string what(key);
  const std::string line = tidy_name(in.text(key, example));
  if (line.empty()) in.fail_at(in.line_of(key), format("'%s' is empty; write %s", what, example));
  if (const std::string fault = fault_of_line(line, what, kLongestLine); !fault.empty())
    in.fail_at(in.line_of(key), fault);
  return line;
}

}  // namespace app
