// Several stations of a shop share their records through a PostgreSQL server that the shop has. Every station keeps its
// own file and goes on alone; what it has is pushed to the server and what others have is pulled from it, each row
// once, however often the line breaks in between. Rows are never changed, so there is nothing to disagree about.
#pragma once

#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <string>

#include "app/share/share_error.h"
#include "calib/share_settings.h"

namespace app {

struct ShareCounts {
  std::size_t pieces = 0, inspections = 0, corrections = 0, namings = 0, erasures = 0;
  std::size_t total() const { return pieces + inspections + corrections + namings + erasures; }
  std::size_t& of(const std::string& table);
};

struct ShareProgress {
  enum class Way { pull, push };
  Way way = Way::pull;
  std::size_t done = 0, of = 0;  // rows
};

struct ShareOptions {
  calib::ShareSettings settings;
  std::filesystem::path log_file;
  std::function<void(const ShareProgress&)> progress;
  std::function<bool()> stopped;  // asked often; true ends it, and the next run goes on there
  int batch_rows = 500;           // in one transaction, here and there
  int busy_ms = 10000;            // waiting for the running station's writing
};

struct ShareOutcome {
  ShareCounts pushed, pulled;  // rows that were new there, and here
  bool began_anew = false;     // with a server that is new, or was brought back from a backup
  std::string place;           // the server's
  std::string notice;          // what is to be said of this station's own file; empty: nothing
  double seconds = 0.0;
};

// Throws ShareError. What was done until then stays done.
ShareOutcome share(const ShareOptions& options);

struct ShareCheck {
  std::string place, user, version;
  std::optional<std::string> tls;
  bool remote = false, certificate_checked = false;
  bool made = false;      // a station has shared there before
  bool may_make = false;  // else: whether this user may make what is needed
  bool anew = false;      // everything will be looked at again
  ShareCounts to_push;
  std::int64_t to_pull = 0;
};

// Whether it would work, and what waits; changes nothing here or there. Throws ShareError.
ShareCheck check_share(const ShareOptions& options);

}  // namespace app
