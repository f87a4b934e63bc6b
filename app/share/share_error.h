// Why records could not be shared, in words that say what to do. Nothing is lost by any of them: what was not shared
// waits.
#pragma once

#include <stdexcept>
#include <string>

namespace app {

class ShareError : public std::runtime_error {
 public:
  enum class Kind {
    not_reached,  // the server, or the line broke
    refused,      // password, user or database
    not_trusted,  // its certificate, or it has no encryption
    no_right,     // of the user, in the database
    newer,        // the server, or what lies there, is a newer program's
    busy,         // another program of this station shares just now
    stopped,      // as wished
    other,
  };
  ShareError(Kind kind, const std::string& words) : std::runtime_error(words), kind_(kind) {}
  Kind kind() const { return kind_; }

 private:
  Kind kind_;
};

}  // namespace app
