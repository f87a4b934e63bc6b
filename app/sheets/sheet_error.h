#pragma once

#include <stdexcept>

namespace app {

// What keeps a sheet from being made; what() says what to do instead.
class SheetError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

}  // namespace app
