// What the server or libpq said, as words that tell a person what to do.
#pragma once

#include <string>
#include <string_view>

#include "app/share/share_error.h"

namespace app {

// What is named in them.
struct ServerNames {
  std::string place;  // database and host
  std::string host, database, user;
};

// The five letters of SQLSTATE in a message of libpq's most talkative kind; empty where there are none.
std::string sql_state_in(std::string_view message);

// How far a connection came.
enum class ConnectStage { reaching, tls, signing_in };

enum class Password { not_asked, missing, used };

// `state`: SQLSTATE, empty where the server said none. `detail`: libpq's words.
ShareError connecting_failed(ConnectStage stage, const std::string& state, const ServerNames& names,
                             const std::string& detail, Password password);
ShareError asking_failed(const std::string& state, const ServerNames& names, const std::string& detail);

}  // namespace app
