// The [share] table of a station file: the shop's server, which several stations share their records through.
#pragma once

#include <string>

#include "calib/toml_reader.h"

namespace calib {

struct ShareSettings {
  std::string connection;  // libpq's connection string; what it leaves out comes from libpq's own places
  std::string station;     // this station's name, as it stands in its records
  int every_min = 0;       // the running station shares by itself so often; 0: only by command
  int line = 0;            // where `connection` stands in the file, for messages
};

// Throws FileError. The connection's own words are not looked at here, and stand in no message: it may hold a password.
ShareSettings read_share(const Section& share);
// The table as it stands in a file.
std::string text_of(const ShareSettings& share);

}  // namespace calib
