// What a person says of a kept piece afterwards: another operator, job, hoop ...; or that it does not count. A new row
// that names the piece; the piece's own row stays as it was kept, and its reading cannot be corrected.
#pragma once

#include <string>
#include <string_view>

namespace app {

// Never changed once kept; of several for one field of a piece the last counts, by time and then by id. A mistaken one
// is undone by another with the earlier value.
struct Correction {
  std::string id;             // unique, made when it is kept
  std::string piece;          // PieceRecord::id
  std::string time_utc;       // 2026-01-31T12:00:00Z
  std::string operator_name;  // who corrected; empty: not said
  std::string field;          // one of kCorrectable
  std::string value;          // as text: "1" and "0" for kSetAside, numbers with a point
  std::string note;           // why, in the person's words
};

// The piece does not count in any figure: a try, a sample, a garment hooped for show.
inline constexpr std::string_view kSetAside = "set_aside";

// Names of fields as in app/records/piece_fields.h, and kSetAside.
inline constexpr std::string_view kCorrectable[] = {
    "operator",         "job",          "garment",   "garment_number", "cloth",        "hoop",          "machine",
    "entered_rotation", "jog_right_mm", "jog_up_mm", "station",        "tolerance_mm", "tolerance_deg", kSetAside};

}  // namespace app
