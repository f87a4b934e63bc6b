#include <cmath>
#include <cstdio>
#include <ostream>

#include "app/commands/print.h"
#include "app/commands/refused_or_done.h"
#include "app/places.h"
#include "app/sheets/sheet_error.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// What the station file takes. A bar further off was not printed by these sheets, or measured in another unit.
constexpr double kShortestMm = 80.0, kLongestMm = 120.0;
// Less cannot be read off a ruler.
constexpr double kReadableMm = 0.05;

std::string number(double value) {
  char text[32];
  std::snprintf(text, sizeof text, "%.6g", value);
  return text;
}

double scale_of(double bar_mm) {
  if (!(bar_mm >= kShortestMm && bar_mm <= kLongestMm))
    throw SheetError("a bar of " + number(bar_mm) +
                     " mm is too far from 100; measure between the outer edges of its ends, in mm, and print again at "
                     "100 % if it is so");
  return std::abs(bar_mm - 100.0) < kReadableMm ? 1.0 : bar_mm / 100.0;
}

void write_scale(const ScaleOptions& options, std::ostream& out) {
  const double scale = scale_of(options.bar_mm);
  const std::string name = options.station_file.string();
  std::error_code ignored;
  if (!fs::exists(options.station_file, ignored))
    throw SheetError(name +
                     ": there is no station file yet; calibrate the lens first (hoopgauge lens), which does not depend "
                     "on the print's scale, then type this again, before hoopgauge board");
  vision::Station station = calib::load_station(options.station_file, calib::StationNeeds::lens);
  if (station.print_scale == scale) {
    out << name << ": print_scale is " << number(scale) << " already\n";
    return;
  }
  const bool surveyed = !station.board_marks.empty();
  station.print_scale = scale;
  const fs::path old = keep_old(options.station_file);
  calib::save_station(station, options.station_file);
  out << name << ": print_scale = " << number(scale) << "; the old file is " << old.string() << '\n';
  if (surveyed) out << "The board was surveyed at another scale: survey it again with hoopgauge board\n";
  out << "It counts for all sheets: print them all on this printer in the same way\n";
}

}  // namespace

int run_print_scale(const ScaleOptions& options, std::ostream& out, std::ostream& err) {
  return refused_or_done(err, [&] { write_scale(options, out); });
}

}  // namespace app
