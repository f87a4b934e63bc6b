// `hoopgauge hoop teach`: a hoop file from pictures of the bare rings, or live.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <vector>

#include "app/live_options.h"
#include "calib/teach_ring.h"
#include "vision/station.h"

namespace app {

// A notch shown by hand. Sides as the hoop lies in the first frame: north is away from the operator, east to the right.
struct ShownNotch {
  vision::Side side = vision::Side::north;
  cv::Point2d image_px;
};

struct HoopTeachOptions : LiveOptions {
  std::filesystem::path station_file;
  std::vector<std::string> frames;  // files, folders, patterns; the first one teaches. None: live
  std::string name;
  std::optional<double> rim_height_mm;  // of the bare rings over the board
  double cloth_height_mm = calib::kUsualClothHeightMm;
  std::optional<std::string> field;       // "130x180", or "120" for a round one
  std::optional<std::string> start_from;  // a size of the catalogue
  std::optional<vision::Side> north;      // as the hoop lies in the first frame
  std::optional<std::string> north_by;    // "taught", "mark 451", "fixture"
  std::vector<ShownNotch> notches;
  bool replace = false;  // a hoop of this name may be there
};

// With frames: prints what was found, doubts, and the file written; `options.picture`: the first frame with outlines
// and notches drawn. Returns 0 when the hoop was kept; 1 when it was not found, not found again, or a picture could not
// be read; 2 for options or files that cannot be used. Nothing is kept unless all is well.
int run_hoop_teach(const HoopTeachOptions& options, std::ostream& out, std::ostream& err);

// Live: the step that takes the pictures, then, on a display, the screen on which the person confirms.
int teach_live(const HoopTeachOptions& options, std::ostream& out, std::ostream& err);

// "north" and so on; "EAST=100,200.5". Nothing for another text.
std::optional<vision::Side> side_from(const std::string& text);
std::optional<ShownNotch> notch_from(const std::string& text);

// The side in the hoop's own naming that lies to `side` of the board.
vision::Side hoop_side_at(const calib::TaughtRing& ring, vision::Side side);

}  // namespace app
