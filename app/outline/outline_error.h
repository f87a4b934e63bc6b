#pragma once

#include <stdexcept>

namespace app {

// Why a drawing is refused; what() is a sentence without the file's name.
class OutlineError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace app
