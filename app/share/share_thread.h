// The running station shares its records by itself, in the background and quietly.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "app/share/share_error.h"

namespace app {

// How sharing stands.
struct ShareNews {
  std::optional<std::int64_t> shared_s;     // when it last came to its end, since 1970
  std::optional<ShareError::Kind> trouble;  // of the last try
  bool sharing = false;                     // just now
};

// One line for the screen, in its language: "Shared with the shop 12 min ago". `now_s` since 1970.
std::string share_words(const ShareNews& news, std::int64_t now_s);

class ShareThread {
 public:
  // Soon, and then every so many minutes; the station file is read anew each time. After a failure it is tried again in
  // the same time. Ends what it does when it goes.
  ShareThread(std::filesystem::path station_file, int every_min);
  ~ShareThread();
  ShareThread(const ShareThread&) = delete;
  ShareThread& operator=(const ShareThread&) = delete;

  ShareNews news() const;
  std::string words() const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace app
