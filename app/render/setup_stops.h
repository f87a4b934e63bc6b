// Where the sheets and rings of a set-up go: places that show the station all that it must see.
#pragma once

#include <opencv2/core.hpp>
#include <vector>

#include "app/render/random.h"
#include "app/render/setup_play.h"
#include "vision/camera.h"
#include "vision/station.h"

namespace app {

// A sheet that lies flat.
PagePlace lying_page(const vision::Pose2& board_from_page);

// 24 places in all parts of the picture and across its corners, near and far, tilted up to 40 degrees all ways; above
// the board. The first 16 have all of this too.
std::vector<SetupStop> lens_stops(const vision::Lens& lens, const vision::CameraPose& camera_from_board,
                                  const cv::Rect2d& paper_mm, Random& random);
// Five: upright in the middle first, then to all sides and turned by quarters. No mark is covered.
std::vector<SetupStop> board_stops(const vision::Station& station, const cv::Rect2d& paper_mm, Random& random);
// Twenty: at each of five places upright and turned by half, and all that once more, put down anew each time. No mark
// is covered.
std::vector<SetupStop> proof_stops(const vision::Station& station, const cv::Rect2d& paper_mm, Random& random);
// Four: near the middle first, then clearly elsewhere and turned. No mark is covered.
std::vector<SetupStop> teach_stops(const vision::Station& station, const vision::Hoop& hoop, Random& random);

}  // namespace app
