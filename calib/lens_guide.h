// The guided capture for a lens: which sight of the sheet is kept, and what is still missing.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string_view>
#include <vector>

#include "calib/chart_finder.h"

namespace calib {

// Which edge of the sheet's image is further away from the camera.
enum class SheetTilt { left, right, top, bottom };
inline constexpr std::array<SheetTilt, 4> kSheetTilts{SheetTilt::left, SheetTilt::right, SheetTilt::top,
                                                      SheetTilt::bottom};
std::string_view name(SheetTilt tilt);  // "left"

// The sheet's tilt against the line of sight, and the size of its squares in the picture, without a lens: as a camera
// of an ordinary angle of view sees it. Nothing where the corners hold no plane.
struct RoughPose {
  double tilt_deg = 0.0;
  std::optional<SheetTilt> tilt;  // where it is tilted more to one side than to the others
  double square_px = 0.0;
};
std::optional<RoughPose> rough_pose(const SeenChart& chart, cv::Size size_px);

struct LensGuideOptions {
  int columns = 5, rows = 3;          // parts of the picture
  std::size_t corners_a_part = 8;     // over all pictures, for a part to be done
  std::size_t pictures = 15;          // at least
  std::size_t pictures_a_tilt = 2;    // at least
  double tilt_deg = 18.0;             // from when on it counts
  double nearest_to_furthest = 1.25;  // of the sheet's size in the pictures
  std::size_t fewest_corners = 16;    // of a picture
  double most_blur_px = 2.5;          // standard deviation of the edges' spread
  // Still: for still_s, in three frames or more, no typical corner further than still_px from where it was.
  double still_px = 0.6, still_s = 0.4;
  // The same again: typical corners nearer than this share of the picture's width to those of a picture that was kept.
  double same_share = 0.03;
};

enum class LensSight { taken, no_sheet, few_corners, blurred, moving, same };

struct LensNeeds {
  std::size_t pictures = 0;      // that are missing to the fewest
  std::vector<int> parts;        // row by row from the top left, the next to go for first
  std::vector<SheetTilt> tilts;  // the next to go for first
  bool other_distance = false;   // all pictures are from about the same distance
  bool none() const { return pictures == 0 && parts.empty() && tilts.empty() && !other_distance; }
};

class LensGuide {
 public:
  explicit LensGuide(cv::Size size_px, const LensGuideOptions& options = {});

  // Looks at what a frame shows and keeps it when it is fit. `by_itself`: a picture that somebody took on purpose,
  // which needs no stillness. time_s: on any steady clock.
  LensSight look(const SeenChart& chart, double time_s, bool by_itself);

  const std::vector<SeenChart>& taken() const { return taken_; }
  LensNeeds needs() const;
  double progress() const;  // 0 to 1
  bool complete() const { return needs().none(); }
  // A lens can be computed, if not yet the best.
  bool enough() const;
  bool undo();

  int parts() const { return options_.columns * options_.rows; }
  cv::Rect2d part_px(int part) const;
  std::size_t corners_in(int part) const;
  int column(int part) const { return part % options_.columns; }
  int row(int part) const { return part / options_.columns; }
  const LensGuideOptions& options() const { return options_; }

 private:
  bool still(const SeenChart& chart, double time_s);
  bool same_again(const SeenChart& chart) const;
  std::size_t count(SheetTilt tilt) const;

  LensGuideOptions options_;
  cv::Size size_px_;
  std::vector<SeenChart> taken_;
  std::vector<RoughPose> poses_;  // of those taken
  struct Glance {
    SeenChart chart;
    double time_s;
  };
  std::vector<Glance> glances_;  // since it came to rest
};

}  // namespace calib
