// All pieces in the database as short rows in memory, corrected and renamed: what every figure is computed from.
#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "app/figures/placement.h"
#include "app/records/inspection.h"
#include "app/records/piece_filter.h"

namespace app {

// Its place in PieceRows::names(); 0 is "".
using NameIndex = std::uint32_t;

// Numbers that were not there are NaN. Frames and signs as in PieceRecord and Inspection.
struct PieceRow {
  std::int64_t seq = 0;     // of the table
  std::int64_t time_s = 0;  // of the lift, since 1970, UTC
  NameIndex operator_name = 0, job = 0, garment = 0, cloth = 0, hoop = 0, station = 0, machine = 0;
  float offset_x_mm = 0.0F, offset_y_mm = 0.0F, rotation_deg = 0.0F;
  float u_offset_mm = 0.0F, u_rotation_deg = 0.0F;
  float tolerance_mm = 0.0F, tolerance_deg = 0.0F;
  float hooping_s = 0.0F;  // from the set hoop to the held reading: lay cloth and press
  float enter_s = 0.0F;
  float left_over_mm = 0.0F, left_over_deg = 0.0F, fit_gap_mm = 0.0F, stretch_percent = 0.0F;
  std::int32_t garment_number = 0, tries = 1;
  bool taken = false, live = false, set_aside = false;
  bool inspected = false;  // then, of the inspection that counts:
  Outcome outcome = Outcome::good;
  float final_x_mm = 0.0F, final_y_mm = 0.0F, final_rotation_deg = 0.0F;
};

PlacedPiece placed(const PieceRow& row);
// Whether it can have a part in figures: one that was taken in from elsewhere may have no offset or no tolerance.
bool has_place(const PieceRow& row);

// Costs time and about 130 bytes a piece once; refresh() reads only what is new, unless something was corrected,
// renamed or anonymised. Not for several threads at once; may be made and used on another thread than the log.
class PieceRows {
 public:
  // The time from which pieces are wanted (since 1970, UTC); those before are never read.
  explicit PieceRows(std::filesystem::path file, std::optional<std::int64_t> since_s = std::nullopt);
  ~PieceRows();
  PieceRows(PieceRows&&) noexcept;
  PieceRows& operator=(PieceRows&&) noexcept;

  // Says whether anything changed. Throws SQLite::Exception; what was read before stays. No file is no pieces.
  bool refresh();

  std::span<const PieceRow> all() const;  // by seq
  const std::vector<std::string>& names() const;
  const std::string& name(NameIndex index) const { return names()[index]; }
  bool hidden(NameIndex operator_name) const;
  // In the order of time.
  std::vector<PieceRow> select(const PieceFilter& filter) const;

 private:
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace app
