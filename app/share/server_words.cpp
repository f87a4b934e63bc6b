#include "app/share/server_words.h"

#include <algorithm>
#include <cctype>

#include "app/in_quotes.h"

namespace app {
namespace {

using Kind = ShareError::Kind;

std::string with_detail(const std::string& words, const std::string& detail) {
  return detail.empty() ? words : words + "\n  (" + detail + ")";
}

ShareError sign_in_refused(const std::string& state, const ServerNames& names, const std::string& detail,
                           Password password) {
  const std::string user = in_quotes(names.user);
  if (password == Password::missing)
    return {Kind::refused,
            with_detail("the shop's server asks for a password of " + user +
                            ", and none was found: write a line host:port:database:user:password into the password "
                            "file (~/.pgpass with mode 600, or PGPASSFILE)",
                        detail)};
  if (state == "28P01")
    return {Kind::refused, with_detail("the shop's server does not take the password of " + user +
                                           ": mend it in the password file (~/.pgpass, or PGPASSFILE)",
                                       detail)};
  if (state == "28000")
    return {Kind::refused, with_detail("the shop's server does not let " + user +
                                           " in: the user must exist there, and pg_hba.conf must allow this station",
                                       detail)};
  if (state == "3D000")
    return {Kind::refused,
            with_detail("there is no database " + in_quotes(names.database) +
                            " on the shop's server: mend dbname, or make it there with createdb " + names.database,
                        detail)};
  if (state == "42501")
    return {Kind::no_right,
            with_detail(user + " may not connect to the database " + in_quotes(names.database) +
                            ": on the server, GRANT CONNECT ON DATABASE " + names.database + " TO " + names.user,
                        detail)};
  return {Kind::other, with_detail("the shop's server (" + names.place + ") refused the connection", detail)};
}

}  // namespace

std::string sql_state_in(std::string_view message) {
  const auto part_of_state = [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); };
  // "FATAL:  28P01: password ..."
  for (std::size_t at = message.find(":  "); at != std::string_view::npos; at = message.find(":  ", at + 1)) {
    const std::string_view state = message.substr(at + 3, 5);
    if (state.size() == 5 && std::all_of(state.begin(), state.end(), part_of_state) && message.substr(at + 8, 1) == ":")
      return std::string(state);
  }
  return {};
}

ShareError connecting_failed(ConnectStage stage, const std::string& state, const ServerNames& names,
                             const std::string& detail, Password password) {
  // Starting, stopping, or as many connections as it takes.
  if (state.starts_with("57P") || state == "53300")
    return {
        Kind::not_reached,
        with_detail("the shop's server (" + names.place + ") takes no connections just now: try again later", detail)};
  if (!state.empty() || password == Password::missing) return sign_in_refused(state, names, detail, password);
  switch (stage) {
    case ConnectStage::reaching:
    case ConnectStage::signing_in:
      return {Kind::not_reached, with_detail("the shop's server (" + names.place +
                                                 ") is not reached: is it on, is the network there, and are host and "
                                                 "port right?",
                                             detail)};
    case ConnectStage::tls:
      return {Kind::not_trusted,
              with_detail("the connection to the shop's server (" + names.place +
                              ") cannot be encrypted and trusted as sslmode asks: the server's certificate must be "
                              "signed by the one in sslrootcert (~/.postgresql/root.crt where that is not said) and "
                              "name the host as 'host' does",
                          detail)};
  }
  return sign_in_refused(state, names, detail, password);
}

ShareError asking_failed(const std::string& state, const ServerNames& names, const std::string& detail) {
  if (state.empty() || state.starts_with("08") || state.starts_with("57P"))
    return {Kind::not_reached, with_detail("the line to the shop's server (" + names.place +
                                               ") broke: share again, and it goes on where it "
                                               "stopped",
                                           detail)};
  if (state == "42501")
    return {Kind::no_right,
            with_detail(in_quotes(names.user) + " may not do this in the database " + in_quotes(names.database) +
                            ". The first station's user needs GRANT CREATE ON DATABASE " + names.database +
                            "; a further user what that one then gives: GRANT USAGE ON SCHEMA hoopgauge, and GRANT "
                            "SELECT, INSERT, UPDATE ON ALL TABLES IN SCHEMA hoopgauge",
                        detail)};
  if (state == "57014" || state == "55P03")
    return {Kind::not_reached,
            with_detail("the shop's server (" + names.place + ") takes too long: try again later", detail)};
  if (state == "53100" || state == "53200")
    return {Kind::other, with_detail("the shop's server has no room left on its disk or in its memory", detail)};
  if (state == "25006")
    return {
        Kind::other,
        with_detail("the shop's server (" + names.place + ") is read-only: name the one that can be written", detail)};
  return {Kind::other, with_detail("the shop's server (" + names.place + ") refused what was asked", detail)};
}

}  // namespace app
