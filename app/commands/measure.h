// The command `hoopgauge measure`: pictures to readings, one JSON line each.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

namespace app {

struct MeasureOptions {
  std::filesystem::path station_file;
  std::filesystem::path hoop_file;                   // or the name of a taught hoop
  std::vector<std::string> frames;                   // pictures, folders of pictures, patterns such as 'day/*.jpg'
  std::optional<std::filesystem::path> overlay_dir;  // each frame with what was found, drawn; made when not there
  bool fresh = false;                                // the last frame is forgotten before the next
  std::optional<int> sticker;                        // the one that counts, 0 to 99
};

// Writes the lines to `out`, what went wrong beside them to `err`. Returns 0 when every frame could be read as a
// picture of this camera, whatever its status; 1 when one could not, or its overlay could not be written; 2 when the
// station or hoop file cannot be used (then no line is written).
int run_measure(const MeasureOptions& options, std::ostream& out, std::ostream& err);

}  // namespace app
