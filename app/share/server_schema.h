// What hoopgauge keeps on the shop's server: the schema `hoopgauge` of one database, made by the first station that
// comes. Rows are only added. The one exception is a name that is taken out for good.
//
//   hoopgauge.about   one row: server_id, version
//   hoopgauge.entry   id, kind ("piece", "inspection", "correction", "naming", "erasure"), arrived, schema, body
//   hoopgauge.push()  adds rows; `arrived` counts up in the order in which rows can be seen by others
//   hoopgauge.piece, .inspection, .correction, .naming   views for people who ask the server itself
#pragma once

#include <optional>
#include <string>

#include "app/share/server.h"

namespace app {

inline constexpr int kServerVersion = 1;

struct ServerAbout {
  std::string id;  // of this schema; another server has another
  int version = kServerVersion;
};

// Nothing where no station has made it yet. Throws ShareError, of the kind `newer` for a newer program's.
std::optional<ServerAbout> find_schema(Server& server);
// Makes it where it is not there.
ServerAbout make_schema(Server& server);
// Whether this user may make it.
bool may_make_schema(Server& server);

}  // namespace app
