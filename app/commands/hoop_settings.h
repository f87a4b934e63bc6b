// What the options of `hoopgauge hoop teach` say about the hoop.
#pragma once

#include <optional>
#include <string>

#include "app/commands/hoop_teach.h"
#include "app/hoops/teaching.h"

namespace app {

struct HoopSettings {
  std::string name;  // may be empty: live, it is typed at the end
  cv::Size2d field_mm;
  bool field_is_round = false;
  double cloth_height_mm = calib::kUsualClothHeightMm;
  std::optional<double> rim_height_mm;
  vision::NorthBy north_by = vision::NorthBy::taught;
  int north_mark = 450;
};

// Reads and checks them; --from looks into the station's catalogue. Throws calib::FileError that says what to write.
HoopSettings settings_of(const HoopTeachOptions& options);

// "130x180" gives both, "120" a diameter. Nothing for another text.
std::optional<HoopSettings> field_from(const std::string& text);

// Puts them into a teaching, with the notches and the north that the options show. Without a field that of the
// catalogue's size with this opening, if there is one.
void apply(const HoopSettings& settings, const HoopTeachOptions& options, Teaching& teaching);

}  // namespace app
