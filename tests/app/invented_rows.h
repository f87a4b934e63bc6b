// A workshop's pieces that nobody hooped, as rows in memory and as pieces for the log: invented people, a small hoop
// that is the trouble, and an operator who gets better. The same seed gives the same pieces.
#pragma once

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include "app/records/piece_record.h"
#include "app/records/piece_rows.h"
#include "app/records/utc_time.h"

namespace invented {

inline constexpr std::int64_t kStart_s = 1767600000;  // 2026-01-05T08:00:00Z, a Monday

struct Rows {
  std::vector<std::string> names{""};
  std::vector<app::PieceRow> rows;

  app::NameIndex index(const std::string& name) {
    const auto found = std::find(names.begin(), names.end(), name);
    if (found != names.end()) return static_cast<app::NameIndex>(found - names.begin());
    names.push_back(name);
    return static_cast<app::NameIndex>(names.size() - 1);
  }
};

// One piece in tolerance of 3 mm and 1 degree, right on its mark.
inline app::PieceRow row(Rows& all, const std::string& operator_name, std::int64_t time_s) {
  app::PieceRow one;
  one.seq = static_cast<std::int64_t>(all.rows.size()) + 1;
  one.time_s = time_s;
  one.operator_name = all.index(operator_name);
  one.tolerance_mm = 3.0F;
  one.tolerance_deg = 1.0F;
  one.hooping_s = 40.0F;
  one.taken = one.live = true;
  one.final_x_mm = one.final_y_mm = one.final_rotation_deg = NAN;
  return one;
}

inline Rows shop(std::size_t count, int weeks, std::uint64_t seed = 7) {
  Rows all;
  std::mt19937_64 random(seed);
  std::normal_distribution<double> curve;
  const std::vector<std::string> people{"Ada Beispiel", "Bruno Muster", "Cleo Modelo"};
  const std::vector<std::string> hoops{"100 x 100", "130 x 180", "200 x 300", "round 120"};
  const std::vector<std::string> jobs{"Polo, left chest", "Bath towel", "Apron", "Club sweatshirt"};
  const std::vector<std::string> garments{"polo, adult", "bath towel", "apron", "sweatshirt"};
  const std::vector<std::string> cloths{"knit", "towel", "woven", "fleece"};
  for (std::size_t i = 0; i < count; ++i) {
    const double when = static_cast<double>(i) / static_cast<double>(count);  // share of the span
    const auto day = static_cast<std::int64_t>(when * weeks * 5.0);
    const double within_day = when * weeks * 5.0 - static_cast<double>(day);
    const std::int64_t time_s =
        kStart_s + (day / 5 * 7 + day % 5) * 86400 + static_cast<std::int64_t>(within_day * 8.0 * 3600.0);
    const std::size_t person = random() % 3, job = random() % 4, hoop = job == 0 ? random() % 2 : (job + 1) % 4;
    app::PieceRow one = row(all, people[person], time_s);
    one.job = all.index(jobs[job]);
    one.garment = all.index(garments[job]);
    one.cloth = all.index(cloths[job]);
    one.hoop = all.index(hoops[hoop]);
    one.machine = all.index("Machine by the wall");
    const bool small = hoop == 0;
    const double wide = (person == 1 ? 1.25 - 0.5 * when : 0.85) * (small ? 1.35 : 1.0);
    one.offset_x_mm = static_cast<float>(0.15 + 0.8 * wide * curve(random));
    one.offset_y_mm = static_cast<float>((small ? -1.5 : -0.35) + wide * curve(random));
    one.rotation_deg = static_cast<float>(0.05 + 0.3 * curve(random));
    one.u_offset_mm = 0.05F;
    one.u_rotation_deg = 0.03F;
    one.tries = random() % 8 == 0 ? 2 : 1;
    one.hooping_s = static_cast<float>((30.0 + 8.0 * std::abs(curve(random))) * (one.tries > 1 ? 1.8 : 1.0));
    if (random() % 4 == 0) {
      one.inspected = true;
      const double off = std::hypot(one.offset_x_mm, one.offset_y_mm);
      one.outcome = off > 4.0 ? app::Outcome::reject : off > 3.2 ? app::Outcome::mend : app::Outcome::good;
      one.final_x_mm = static_cast<float>(0.2 * curve(random));
      one.final_y_mm = static_cast<float>(0.2 * curve(random));
    }
    all.rows.push_back(one);
  }
  return all;
}

// As the station would have kept it.
inline app::PieceRecord record(const Rows& all, const app::PieceRow& row) {
  app::PieceRecord out;
  out.id = "invented-" + std::to_string(row.seq);
  out.time_utc = app::utc_text(row.time_s);
  out.operator_name = all.names[row.operator_name];
  out.job = all.names[row.job];
  out.garment = all.names[row.garment];
  out.cloth = all.names[row.cloth];
  out.hoop = all.names[row.hoop];
  out.station = all.names[row.station];
  out.entered.machine = all.names[row.machine];
  out.tolerance_mm = row.tolerance_mm;
  out.tolerance_deg = row.tolerance_deg;
  out.live = row.live;
  out.piece.taken = row.taken;
  out.piece.tries = row.tries;
  out.piece.reading.offset_x_mm = row.offset_x_mm;
  out.piece.reading.offset_y_mm = row.offset_y_mm;
  out.piece.reading.rotation_deg = row.rotation_deg;
  out.piece.reading.u_offset_mm = row.u_offset_mm;
  out.piece.reading.u_rotation_deg = row.u_rotation_deg;
  out.piece.phase_s[static_cast<int>(app::Phase::press)] = row.hooping_s;
  return out;
}

}  // namespace invented
