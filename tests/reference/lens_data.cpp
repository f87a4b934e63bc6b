#include "tests/reference/lens_data.h"

#include <cmath>
#include <fstream>
#include <opencv2/calib3d.hpp>
#include <opencv2/imgcodecs.hpp>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "calib/corner_fit.h"

namespace reference {
namespace {

std::vector<cv::Point2d> points_of(const std::filesystem::path& file) {
  std::ifstream in(file);
  std::vector<cv::Point2d> points;
  for (cv::Point2d p; in >> p.x >> p.y;) points.push_back(p);
  return points;
}

cv::Mat grey_of(const std::filesystem::path& file) {
  const cv::Mat grey = cv::imread(file.string(), cv::IMREAD_GRAYSCALE);
  if (grey.empty()) throw std::runtime_error("cannot be read: " + file.string());
  return grey;
}

cv::Vec2d vector(cv::Point2d p) { return {p.x, p.y}; }

constexpr int kColumns = 9, kRows = 6;
constexpr double kSquareMm = 30.0;

// Half of what lies between a corner and its neighbours.
cv::Vec2d direction(const std::vector<cv::Point2f>& corners, int column, int row, int along, int across) {
  const auto at = [&](int c, int r) { return cv::Point2d(corners[static_cast<std::size_t>(r * kColumns + c)]); };
  const int c0 = std::max(0, column - along), c1 = std::min(kColumns - 1, column + along);
  const int r0 = std::max(0, row - across), r1 = std::min(kRows - 1, row + across);
  return vector(at(c1, r1) - at(c0, r0)) / ((c1 - c0 + r1 - r0) * kSquareMm);
}

// Which way the chessboard's black squares lie at a corner: by the grey levels of the four squares.
calib::CornerSectors sectors(const cv::Mat& grey, const calib::CornerGuess& guess) {
  const auto level = [&](double a, double b) {
    const cv::Vec2d p = vector(guess.at_px) + a * guess.u_px + b * guess.v_px;
    return static_cast<int>(grey.at<uchar>(cvRound(p[1]), cvRound(p[0])));
  };
  const double half = 0.35 * kSquareMm;
  return level(half, half) + level(-half, -half) > level(half, -half) + level(-half, half) ? calib::kWhiteFirst
                                                                                           : calib::kBlackFirst;
}

}  // namespace

calib::LensPicture zhang_corners(const std::filesystem::path& folder, int picture) {
  calib::LensPicture out;
  out.name = "CalibIm" + std::to_string(picture);
  out.in_sheet_mm = points_of(folder / "Model.txt");
  out.image_px = points_of(folder / ("data" + std::to_string(picture) + ".txt"));
  if (out.in_sheet_mm.size() != 256 || out.image_px.size() != 256) throw std::runtime_error("zhang: not 256 corners");
  return out;
}

calib::LensPicture zhang_photograph(const std::filesystem::path& folder, int picture, int* missing) {
  const cv::Mat grey = grey_of(folder / ("CalibIm" + std::to_string(picture) + ".png"));
  const calib::LensPicture theirs = zhang_corners(folder, picture);
  calib::LensPicture out;
  out.name = theirs.name;
  for (std::size_t i = 0; i < 256; ++i) {
    // Along the square's two sides into the square: before both edges is black, the other three sectors are white.
    const std::size_t square = i / 4 * 4, next = square + (i + 1) % 4, last = square + (i + 3) % 4;
    calib::CornerGuess guess;
    guess.at_px = {std::round(theirs.image_px[i].x), std::round(theirs.image_px[i].y)};
    guess.u_px = vector(theirs.image_px[i] - theirs.image_px[next]);
    guess.v_px = vector(theirs.image_px[i] - theirs.image_px[last]);
    guess.reach = 0.6;  // of a side; the next square is 0.78 away
    guess.white = {false, true, true, true};
    const auto corner = calib::fit_corner(grey, guess);
    if (!corner) {
      ++*missing;
      continue;
    }
    out.in_sheet_mm.push_back(theirs.in_sheet_mm[i]);
    out.image_px.push_back(corner->at_px);
    out.sigma_px.push_back(corner->sigma_px);
  }
  return out;
}

calib::LensPicture bouguet_photograph(const std::filesystem::path& folder, const std::string& name, int half_window) {
  const cv::Mat grey = grey_of(folder / (name + ".jpg"));
  std::vector<cv::Point2f> corners;
  if (!cv::findChessboardCorners(grey, {kColumns, kRows}, corners,
                                 cv::CALIB_CB_ADAPTIVE_THRESH | cv::CALIB_CB_NORMALIZE_IMAGE))
    throw std::runtime_error("no chessboard in " + name);
  if (half_window > 0)
    cv::cornerSubPix(grey, corners, {half_window, half_window}, {-1, -1},
                     {cv::TermCriteria::COUNT | cv::TermCriteria::EPS, 100, 1e-4});
  calib::LensPicture out;
  out.name = name;
  for (int row = 0; row < kRows; ++row)
    for (int column = 0; column < kColumns; ++column) {
      const cv::Point2f& seen = corners[static_cast<std::size_t>(row * kColumns + column)];
      const cv::Point2d in_sheet(kSquareMm * column, -kSquareMm * row);
      if (half_window > 0) {
        out.in_sheet_mm.push_back(in_sheet);
        out.image_px.emplace_back(seen);
        continue;
      }
      calib::CornerGuess guess;
      guess.at_px = seen;
      guess.u_px = direction(corners, column, row, 1, 0);
      guess.v_px = direction(corners, column, row, 0, 1);
      guess.reach = 0.6 * kSquareMm;
      guess.white = sectors(grey, guess);
      const auto corner = calib::fit_corner(grey, guess);
      if (!corner) continue;
      out.in_sheet_mm.push_back(in_sheet);
      out.image_px.push_back(corner->at_px);
      out.sigma_px.push_back(corner->sigma_px);
    }
  return out;
}

std::vector<std::string> bouguet_names(const std::string& side) {
  std::vector<std::string> names;
  for (const char* number : {"01", "02", "03", "04", "05", "06", "07", "08", "09", "11", "12", "13", "14"})
    names.push_back(side + number);
  return names;
}

}  // namespace reference
