// The station and hoop files as text: what load and save do, without the disk.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "calib/files.h"

namespace calib {

// `file` is the name that messages carry. Throws FileError.
vision::Station station_from_text(std::string_view text, const std::string& file,
                                  StationNeeds needs = StationNeeds::board);
vision::Hoop hoop_from_text(std::string_view text, const std::string& file);

// Every number is written so that it reads back as the same double. Nothing is checked here.
std::string text_of(const vision::Station& station);
std::string text_of(const vision::Hoop& hoop);

// Several hoops in one text, to hand from one station to another: `hoopgauge_hoops = 1`, `count` (optional, tells a
// file that was cut off), then a [[hoop]] each with the keys of a hoop file and its notches as [[hoop.notch]]. Names
// may come twice here. Throws FileError.
inline constexpr int kHoopsVersion = 1;
std::vector<vision::Hoop> hoops_from_text(std::string_view text, const std::string& file);
std::string text_of(const std::vector<vision::Hoop>& hoops);

}  // namespace calib
