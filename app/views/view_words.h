// What several views say in the same words.
#pragma once

#include <ctime>
#include <filesystem>
#include <string>
#include <vector>

#include "app/screen/button.h"
#include "app/settings.h"
#include "vision/reading.h"

namespace app {

// Why it is asked before a held reading is given up.
const char* held_reading_lost();

// "0-5, 7": for people, in order.
std::string number_ranges(std::vector<int> numbers);

// Where the sticker lies in the hoop as the machine's field shows it: "2.3 mm right, 0.4 mm up, 1.2° clockwise".
std::string placement_words(const vision::Reading& reading, Units units);

// A time of a record (UTC, 2026-01-31T12:00:00Z) in the station's own time: the day only where it is not today's. The
// text itself where it is no such time.
std::string local_time(const std::string& time_utc, std::time_t now);
// When today began here, as a record has it.
std::string today_began_utc(std::time_t now);

// A file that cannot be used, as a list's entry that cannot be pressed.
Button damaged_entry(int id, const std::filesystem::path& file, std::string message);

}  // namespace app
