// A small valid station file and hoop file that the tests bend, one line at a time.
#pragma once

#include <stdexcept>
#include <string>

namespace samples {

// Ten lines up to the first board mark, so that line numbers in the tests can be counted by hand:
// mark n (0..3) starts in line 10 + 7 n with its [[board_mark]], id one line below, then x_mm, y_mm, ...
inline const std::string kStation = R"(print_scale = 1.0
[camera]
width = 2304
height = 1296
fx = 2246.3
fy = 2248.1
cx = 1160.4
cy = 640.7
distortion = [-0.1182, 0.0871, 0.00064, -0.00047, -0.0213]
[[board_mark]]
id = 400
x_mm = -190.0
y_mm = 142.0
angle_deg = 0.0
size_mm = 30.0

[[board_mark]]
id = 401
x_mm = 190.0
y_mm = 142.0
angle_deg = 90.0
size_mm = 30.0

[[board_mark]]
id = 402
x_mm = 190.0
y_mm = -142.0
angle_deg = 180.0
size_mm = 30.0

[[board_mark]]
id = 403
x_mm = -190.0
y_mm = -142.0
angle_deg = -90.0
size_mm = 25.5
)";

inline const std::string kHoop = R"(name = "130 x 180"
north = "taught"
rim_height_mm = 11.0
cloth_height_mm = 1.0
field_mm = [130.0, 180.0]
inner_mm = [[70.0, 95.0], [-70.0, 95.0], [-70.0, -95.0], [70.0, -95.0]]
outer_mm = [
  [75.0, 100.0],
  [-75.0, 100.0],
  [-75.0, -100.0],
  [75.0, -100.0]]
[[notch]]
side = "north"
at_mm = [0.0, 95.0]
[[notch]]
side = "east"
at_mm = [70.0, 0.0]
[[notch]]
side = "south"
at_mm = [0.0, -95.0]
[[notch]]
side = "west"
at_mm = [-70.0, 0.0]
)";

// The text with one occurrence of `from` put as `to`; the tests fail loudly when it is not there exactly once.
inline std::string with(std::string text, const std::string& from, const std::string& to) {
  const auto at = text.find(from);
  if (at == std::string::npos || text.find(from, at + 1) != std::string::npos)
    throw std::logic_error("not there exactly once: " + from);
  return text.replace(at, from.size(), to);
}

}  // namespace samples
