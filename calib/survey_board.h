// The places of the board marks from pictures of the calibration sheet lying on the board: one joint adjustment of all
// cameras, sheets and marks.
//
// Board frame of the survey: the sheet's chart frame where it lay in the first picture that is used, put down onto
// the board: origin below the chart's centre, x to the right of the upright sheet, z up.
#pragma once

#include <opencv2/core.hpp>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

#include "calib/chart_finder.h"
#include "vision/camera.h"
#include "vision/geometry.h"
#include "vision/reading.h"
#include "vision/station.h"

namespace calib {

// Nothing can be computed; what() says why and what to do.
class SurveyError : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

inline constexpr int kFirstBoardMarkId = 400, kLastBoardMarkId = 449;
inline constexpr double kBoardMarkSizeMm = 30.0;  // side of the black square as printed at true scale
inline constexpr int kFewestBoardMarksNeeded = 4;
inline constexpr int kFewestChartCorners = 12;  // of a sheet that counts

struct SurveyPicture {
  std::string name;  // for messages
  SeenChart chart;
  std::vector<vision::SeenTag> tags;  // tags other than 400 to 449 are passed over
};

// Standard uncertainties of what is taken for granted, mm. Judgement, not measured: a sound board is flat to a few
// tenths of a millimetre, paper pressed onto it to a tenth.
struct SurveyOptions {
  double paper_thickness_mm = 0.1;  // the sheet's face over the marks'
  double sheet_height_u_mm = 0.10;  // of the sheet's middle over the plane of the marks
  double sheet_tilt_u_mm = 0.10;    // of its height 100 mm from the middle
  double sheet_bend_u_mm = 0.30;    // of its bend 100 mm from the middle
  double mark_height_u_mm = 0.10;   // of a mark over the common plane
  // A mark and a camera at rest put a corner onto the same pixels in every picture, and with it the small fault that
  // pixels, light and print give it: more pictures do not average it out. px; as found on rendered frames.
  double corner_bias_u_px = 0.05;
  double swell_u_mm = 0.15;  // how far ink and tone curve push a black square's side outwards
  double least_corner_sigma_px = 0.02, least_tag_sigma_px = 0.03;  // what print leaves however fine the corners are
};

enum class MarkFault {
  none,
  twice,     // its number was seen at two places in one picture
  moved,     // lay at another place in one picture than in the others
  bent,      // its corners make no square
  off_size,  // looks larger or smaller than the others: lies high or low, or was printed at another scale
};

struct SurveyedMark {
  vision::BoardMark mark;  // survey frame; with its uncertainties
  cv::Matx33d covariance;  // of (x mm, y mm, angle rad), k = 1
  MarkFault fault = MarkFault::none;
  int pictures = 0;           // in which it was seen once
  std::vector<int> moved_in;  // pictures in which it lay elsewhere, with MarkFault::moved
  double moved_mm = 0.0;      // how far, at most
  double bend_mm = 0.0;       // how far a corner lies off the square, in the board's plane, at most
  double u_bend_mm = 0.0;     // k = 2
  double height_mm = 0.0;     // over the other marks, as its size tells
  double u_height_mm = 0.0;   // k = 2
  bool in_use() const { return fault == MarkFault::none; }
};

enum class PictureUse {
  used,
  no_sheet,   // fewer than kFewestChartCorners corners
  no_marks,   // no mark to tie it to the others
  disagrees,  // its marks lie differently to one another than in the other pictures
};

struct SurveyedPicture {
  std::string name;
  PictureUse use = PictureUse::no_sheet;
  int corners = 0;                 // of the chart, used
  vision::Pose2 board_from_sheet;  // survey frame
  vision::CameraPose camera_from_board;
  int camera = -1;  // pictures of one number were taken from one camera place
  double rms_px = 0.0;
  // Where the sheet is highest and lowest over its place on the plane of the marks, and the uncertainty (k = 2).
  double highest_mm = 0.0, lowest_mm = 0.0, u_height_mm = 0.0;
};

struct BoardSurvey {
  std::vector<SurveyedMark> marks;        // all that were seen, by id
  std::vector<SurveyedPicture> pictures;  // as given
  int cameras = 0;                        // different places of the camera
  vision::CameraPose camera_from_board;   // of the last picture used, with its covariance
  double rms_px = 0.0;                    // of all corners used
  double sigma0 = 0.0;                    // the corners' scatter over their stated sigma
  double swell_mm =
      0.0;  // by which the black squares' sides lie further out than the sheet's scale says, the usual one
  // Of (x mm, y mm, angle rad) of each mark in the order of `marks`, k = 1; zero rows for marks not in use. Holds the
  // corners' scatter, the sheet's and the marks' flatness and the lens's covariance; not the print scale, which all
  // lengths share.
  cv::Mat1d covariance;

  int marks_in_use() const;
};

// lens and print_scale as in the station file. Throws SurveyError.
BoardSurvey survey_board(const std::vector<SurveyPicture>& pictures, const vision::Lens& lens, double print_scale,
                         const SurveyOptions& options = {});

}  // namespace calib
