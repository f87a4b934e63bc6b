#include "app/share/server_schema.h"

#include <string_view>
#include <type_traits>

#include "app/records/table_rows.h"

namespace app {
namespace {

// Held while the schema is made and while rows are added: any number that nobody else is likely to use in the shop's
// database ("hoopgaug" in ASCII).
#define HOOPGAUGE_LOCK "7525347755868714343"

constexpr const char* kTables = R"(
SELECT pg_catalog.pg_advisory_xact_lock()" HOOPGAUGE_LOCK R"();
CREATE SCHEMA IF NOT EXISTS hoopgauge;
CREATE TABLE IF NOT EXISTS hoopgauge.about (
  one boolean PRIMARY KEY DEFAULT true CHECK (one),
  server_id text NOT NULL,
  version integer NOT NULL
);
CREATE TABLE IF NOT EXISTS hoopgauge.entry (
  id text PRIMARY KEY,
  kind text NOT NULL,
  arrived bigint NOT NULL UNIQUE,
  schema integer NOT NULL,
  body jsonb NOT NULL
);
CREATE UNIQUE INDEX IF NOT EXISTS entry_erasure ON hoopgauge.entry ((body->>'record'), (body->>'field'))
  WHERE kind = 'erasure';
)";

// Numbers are given under the lock, which is let go of after the commit: whoever reads up to a number has all that will
// ever be below it. A function, so that nothing is locked while a slow line is waited for.
// Names that are erased for good do not come back with a late record, and go from records that are here.
constexpr const char* kPush = R"(
CREATE OR REPLACE FUNCTION hoopgauge.push(ids text[], kinds text[], schemas integer[], bodies text[],
  OUT before bigint, OUT after bigint, OUT added bigint, OUT last bigint, OUT last_id text)
LANGUAGE plpgsql SET search_path = pg_catalog AS $push$
BEGIN
  PERFORM pg_advisory_xact_lock()" HOOPGAUGE_LOCK R"();
  SELECT coalesce(max(e.arrived), 0) INTO before FROM hoopgauge.entry e;
  INSERT INTO hoopgauge.entry (id, kind, arrived, schema, body)
    SELECT n.id, n.kind, push.before + n.place, n.schema, n.body::jsonb
    FROM unnest(ids, kinds, schemas, bodies) WITH ORDINALITY AS n (id, kind, schema, body, place)
    ORDER BY n.place
    ON CONFLICT DO NOTHING;
  GET DIAGNOSTICS added = ROW_COUNT;
  WITH said AS (
    SELECT e.body FROM hoopgauge.entry e WHERE e.kind = 'erasure' AND e.id = ANY (ids)
    UNION
    SELECT e.body FROM hoopgauge.entry e WHERE e.kind = 'erasure' AND e.body->>'record' = ANY (ids)
  ), pseudonym AS (
    SELECT s.body->>'record' AS record, jsonb_object_agg(s.body->>'field', s.body->'pseudonym') AS names
    FROM said s WHERE s.body->>'field' IN ('operator', 'value', 'name', 'new_name') GROUP BY 1
  )
  UPDATE hoopgauge.entry r SET body = r.body || p.names FROM pseudonym p
    WHERE r.id = p.record AND r.kind <> 'erasure' AND NOT r.body @> p.names;
  SELECT max(e.arrived) INTO after FROM hoopgauge.entry e;
  SELECT e.arrived, e.id INTO last, last_id FROM hoopgauge.entry e WHERE e.id = ANY (ids)
    ORDER BY e.arrived DESC LIMIT 1;
END
$push$;
)";

template <typename Value>
constexpr const char* kType = "text";
template <>
inline constexpr const char* kType<double> = "double precision";
template <>
inline constexpr const char* kType<int> = "integer";
template <>
inline constexpr const char* kType<bool> = "boolean";

// Each field of a record as a column of its own type. The first column is the text `id`.
template <typename Record>
std::string view() {
  std::string columns;
  const Record any;
  each_field(any, [&](std::string_view name, const auto& value) {
    const std::string type = kType<std::remove_cvref_t<decltype(value)>>, field(name);
    columns += (columns.empty() ? "" : ",\n  ") + ("(body->>'" + field + "')::" + type + " AS \"" + field + "\"");
  });
  const std::string kind = kTable<Record>;
  return "CREATE OR REPLACE VIEW hoopgauge." + kind + " AS SELECT\n  " + columns +
         ",\n  arrived\nFROM hoopgauge.entry WHERE kind = '" + kind + "';\n";
}

constexpr const char* kAbout = R"(
INSERT INTO hoopgauge.about (server_id, version)
  SELECT pg_catalog.md5(pg_catalog.random()::text || pg_catalog.clock_timestamp()::text)::uuid::text, 1
  WHERE NOT EXISTS (SELECT FROM hoopgauge.about);
)";

}  // namespace

std::optional<ServerAbout> find_schema(Server& server) {
  const ServerRows there = server.ask("SELECT pg_catalog.to_regclass('hoopgauge.about')");
  if (there.null(0, 0)) return std::nullopt;
  const ServerRows rows = server.ask("SELECT server_id, version FROM hoopgauge.about");
  if (rows.count() != 1)
    throw ShareError(ShareError::Kind::other, "the table hoopgauge.about in " + server.place() +
                                                  " has not the one row it should have: bring back the database's "
                                                  "backup, or drop the schema hoopgauge, and every station fills it "
                                                  "again");
  ServerAbout about{rows.text(0, 0), static_cast<int>(rows.number(0, 1))};
  if (about.version > kServerVersion)
    throw ShareError(ShareError::Kind::newer, "the records on the shop's server (" + server.place() +
                                                  ") were made by a newer version of the program (version " +
                                                  std::to_string(about.version) + " of the schema, this one knows " +
                                                  std::to_string(kServerVersion) +
                                                  "): bring this station up to date; nothing was changed");
  return about;
}

ServerAbout make_schema(Server& server) {
  if (const auto about = find_schema(server)) return *about;
  server.run(std::string(kTables) + kPush + view<PieceRecord>() + view<Inspection>() + view<Correction>() +
             view<Naming>() + kAbout);
  const auto made = find_schema(server);
  if (!made) throw ShareError(ShareError::Kind::other, "the schema hoopgauge was made and is not there");
  return *made;
}

bool may_make_schema(Server& server) {
  return server.ask("SELECT has_database_privilege(current_database(), 'CREATE')").text(0, 0) == "t";
}

}  // namespace app
