#include "app/commands/hoop_settings.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/hoops/catalogue.h"
#include "app/hoops/hoop_words.h"
#include "app/names.h"
#include "calib/files.h"

namespace app {
namespace {

void read_north_by(const std::string& text, HoopSettings& settings) {
  int mark = 0, end = 0;
  if (text == "taught") {
    settings.north_by = vision::NorthBy::taught;
  } else if (text == "fixture") {
    settings.north_by = vision::NorthBy::fixture;
  } else if (std::sscanf(text.c_str(), "mark %3d%n", &mark, &end) == 1 &&
             static_cast<std::size_t>(end) == text.size() && mark >= 450 && mark <= 479) {
    settings.north_by = vision::NorthBy::mark;
    settings.north_mark = mark;
  } else {
    throw calib::FileError("--north-by '" + text +
                           "' is none of the forms; write taught, fixture, or 'mark 451' (north marks are 450 to 479)");
  }
}

}  // namespace

std::optional<vision::Side> side_from(const std::string& text) {
  for (const vision::Side side : vision::kSides)
    if (text == side_name(side)) return side;
  return std::nullopt;
}

std::optional<ShownNotch> notch_from(const std::string& text) {
  const auto at = text.find('=');
  const auto side = side_from(text.substr(0, at));
  ShownNotch notch;
  int end = 0;
  if (!side || at == std::string::npos) return std::nullopt;
  const std::string place = text.substr(at + 1);
  if (std::sscanf(place.c_str(), "%lf,%lf%n", &notch.image_px.x, &notch.image_px.y, &end) != 2 ||
      static_cast<std::size_t>(end) != place.size() || !std::isfinite(notch.image_px.x) ||
      !std::isfinite(notch.image_px.y))
    return std::nullopt;
  notch.side = *side;
  return notch;
}

std::optional<HoopSettings> field_from(const std::string& text) {
  HoopSettings out;
  double width = 0.0, height = 0.0;
  int end = 0;
  const auto fit = [](double mm) { return mm >= 5.0 && mm <= 2000.0; };
  if (std::sscanf(text.c_str(), "%lfx%lf%n", &width, &height, &end) == 2 &&
      static_cast<std::size_t>(end) == text.size() && fit(width) && fit(height)) {
    out.field_mm = {width, height};
    return out;
  }
  if (std::sscanf(text.c_str(), "%lf%n", &width, &end) == 1 && static_cast<std::size_t>(end) == text.size() &&
      fit(width)) {
    out.field_mm = {width, width};
    out.field_is_round = true;
    return out;
  }
  return std::nullopt;
}

HoopSettings settings_of(const HoopTeachOptions& options) {
  HoopSettings settings;
  if (options.field && options.start_from) throw calib::FileError("--field and --from exclude each other: drop one");
  if (options.field) {
    const auto field = field_from(*options.field);
    if (!field)
      throw calib::FileError("--field '" + *options.field +
                             "' is no size; write WIDTHxHEIGHT in mm such as 130x180, or a diameter such as 120");
    settings = *field;
  }
  if (options.start_from) {
    const Catalogue catalogue = Catalogue::of_station(options.station_file);
    const CommonSize& size = catalogue.find(*options.start_from);
    settings.field_mm = size.field_mm;
    settings.field_is_round = size.field_is_round;
  }
  settings.name = tidy_name(options.name);
  if (const std::string fault = fault_of_name(settings.name); !settings.name.empty() && !fault.empty())
    throw calib::FileError("--name: " + fault);
  if (settings.name.empty() && !options.frames.empty())
    throw calib::FileError("--name is missing; write what is printed on the hoop, such as --name '130 x 180'");
  settings.cloth_height_mm = options.cloth_height_mm;
  settings.rim_height_mm = options.rim_height_mm;
  if (options.north_by) read_north_by(*options.north_by, settings);
  return settings;
}

vision::Side hoop_side_at(const calib::TaughtRing& ring, vision::Side side) {
  // Clockwise from north, as kSides counts; the hoop itself is turned counter-clockwise.
  const long quarters = std::lround(ring.board_from_hoop.angle_rad * vision::kDegPerRad / 90.0);
  const long hoop_side = (static_cast<long>(side) + quarters) % 4;
  return vision::kSides[static_cast<std::size_t>((hoop_side + 4) % 4)];
}

void apply(const HoopSettings& settings, const HoopTeachOptions& options, Teaching& teaching) {
  for (const ShownNotch& notch : options.notches)
    teaching.put_notch(hoop_side_at(teaching.ring(), notch.side), notch.image_px);
  if (options.north) teaching.set_north(hoop_side_at(teaching.ring(), *options.north));
  if (settings.rim_height_mm) teaching.set_rim_height(*settings.rim_height_mm);
  teaching.set_cloth_height(settings.cloth_height_mm);
  if (!settings.field_mm.empty()) {
    teaching.set_field(settings.field_mm, settings.field_is_round);
  } else if (teaching.ring().shape != calib::RingShape::round) {
    // The catalogue knows openings of rings that are not round.
    const Catalogue catalogue = Catalogue::of_station(options.station_file);
    if (const CommonSize* size = catalogue.by_opening(opening_mm(teaching.ring().hoop)))
      teaching.set_field(size->field_mm, size->field_is_round);
  }
  teaching.set_north_by(settings.north_by, settings.north_mark);
  if (!settings.name.empty()) teaching.set_name(settings.name);
}

}  // namespace app
