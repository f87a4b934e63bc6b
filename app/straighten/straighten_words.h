// What the straighten view says, in the language of the screen.
#pragma once

#include <string>

#include "app/settings.h"
#include "app/straighten/ruler.h"
#include "app/straighten/straighten.h"

namespace app {

// Why there is nothing to go by, and what to do about it; of a line that was found, how sure it is.
struct StraightenWords {
  std::string headline, sentence;
  bool found = false;
};

StraightenWords words_of(const LineSeen& seen);
// What the hands are to do, of the numbers as they are shown; steps of 0.1 degrees.
std::string advice(double shown_turn_ccw_deg, int turn_decimals, std::optional<double> shown_slide, int slide_decimals,
                   bool sideways, Units units);
// "0.82° counter-clockwise", against the side.
std::string turn_off_words(double turn_off_deg);
// "31.20 mm above the hoop's centre": as the machine's field shows it.
std::string distance_words(double distance_mm, AlongSide along, Units units);
// "±0.05°", "±0.12 mm".
std::string angle_uncertainty(double u_deg);
std::string length_uncertainty(double u_mm, Units units);

std::string aim_words(const StraightenAim& aim, Units units);
std::string ruler_angle_words(const RulerReading& reading);

}  // namespace app
