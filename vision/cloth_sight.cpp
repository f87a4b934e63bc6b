#include "vision/cloth_sight.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <opencv2/imgproc.hpp>

#include "vision/reading_of.h"

namespace vision {
namespace {

// A ring whose covariance is not known (kept from earlier, perhaps from a file): standard uncertainties.
constexpr double kKeptMm = 0.05, kKeptRad = 0.015 * kRadPerDeg;
// A rectangular distribution of half-width 0.7 mm, as of the readings (JCGM 100:2008, 4.3.7).
const double kHeightUMm = 0.7 / std::sqrt(3.0);

using Polygon = std::vector<cv::Point>;

// Fixed point, 1/16 px.
constexpr int kShift = 4;
cv::Point fixed_point(cv::Point2d p) { return {cvRound(p.x * (1 << kShift)), cvRound(p.y * (1 << kShift))}; }

void fill(cv::Mat1b& mask, const Polygon& polygon, uchar value) {
  cv::fillPoly(mask, std::vector<Polygon>{polygon}, cv::Scalar(value), cv::LINE_8, kShift);
}

void shrink(cv::Mat1b& mask, double by_px) {
  // The picture's border counts as closed.
  cv::Mat1b framed;
  cv::copyMakeBorder(mask, framed, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
  cv::Mat1f distance;
  cv::distanceTransform(framed, distance, cv::DIST_L2, 5);
  const cv::Mat kept = distance > by_px;
  kept(cv::Rect(1, 1, mask.cols, mask.rows)).copyTo(mask);
}

// The opening as it is seen on the cloth: between the camera and the far wall's foot stands no rim, before the near
// wall's foot the rim's edge.
cv::Mat1b opening(const ClothSight& sight, const ClothPatch& patch) {
  const PlaneView rim(sight.lens, sight.camera_from_board, sight.rim_height_mm, sight.board_from_hoop);
  const PlaneView cloth = cloth_view(sight);
  Polygon foot, edge;
  for (const cv::Point2d& p : sight.inner_mm) {
    foot.push_back(fixed_point(patch.pixel(p)));
    edge.push_back(fixed_point(patch.pixel(cloth.plane(rim.image(p)))));
  }
  cv::Mat1b by_foot(patch.grey.size(), uchar(0)), by_edge(patch.grey.size(), uchar(0));
  fill(by_foot, foot, 255);
  fill(by_edge, edge, 255);
  cv::bitwise_and(by_foot, by_edge, by_foot);
  return by_foot;
}

void hide_papers(const ClothSight& sight, const PlaneView& view, const ClothPatch& patch, double margin_mm,
                 cv::Mat1b& mask) {
  cv::Mat1b papers(mask.size(), uchar(0));
  for (const auto& outline_px : sight.hidden_px) {
    Polygon paper;
    for (const cv::Point2d& corner : outline_px) paper.push_back(fixed_point(patch.pixel(view.plane(corner))));
    fill(papers, paper, 255);
  }
  cv::Mat open;
  cv::bitwise_not(papers, open);
  if (!sight.hidden_px.empty()) {
    cv::Mat1f distance;
    cv::distanceTransform(open, distance, cv::DIST_L2, 5);
    open = distance > margin_mm / patch.mm_per_px;
  }
  cv::bitwise_and(mask, open, mask);
}

}  // namespace

std::optional<ClothSight> cloth_sight(const Station& station, const Hoop& hoop, const FrameResult& frame,
                                      const std::optional<Pose2>& kept, std::optional<double> cloth_height_mm) {
  if (!frame.camera_from_board || !(frame.board_from_hoop || kept)) return std::nullopt;
  ClothSight sight;
  sight.lens = station.lens;
  sight.camera_from_board = *frame.camera_from_board;
  sight.board_from_hoop = frame.board_from_hoop ? *frame.board_from_hoop : *kept;
  sight.hoop_covariance = frame.board_from_hoop ? frame.hoop_covariance : Covariance3::zeros();
  if (sight.hoop_covariance == Covariance3::zeros())
    sight.hoop_covariance = Covariance3::diag({kKeptMm * kKeptMm, kKeptMm * kKeptMm, kKeptRad * kKeptRad});
  sight.inner_mm = hoop.inner_mm;
  sight.rim_height_mm = hoop.rim_height_mm;
  sight.cloth_height_mm = cloth_height_mm.value_or(hoop.cloth_height_mm);
  sight.rim_height_u_mm = sight.cloth_height_u_mm = kHeightUMm;
  for (const SeenSticker& sticker : frame.stickers) sight.hidden_px.push_back(sticker.outline_px);
  return sight;
}

PlaneView cloth_view(const ClothSight& sight) {
  return {sight.lens, sight.camera_from_board, sight.cloth_height_mm, sight.board_from_hoop};
}

bool ClothPatch::shows(cv::Point2d p_mm) const {
  const cv::Point2d at = pixel(p_mm);
  const int column = cvRound(at.x), row = cvRound(at.y);
  return column >= 0 && row >= 0 && column < usable.cols && row < usable.rows && usable(row, column) != 0;
}

ClothPatch cloth_patch(const cv::Mat& grey, const ClothSight& sight, const PatchOptions& options) {
  ClothPatch patch;
  patch.mm_per_px = options.mm_per_px;
  double left = 0.0, right = 0.0, low = 0.0, high = 0.0;
  for (const cv::Point2d& p : sight.inner_mm) {
    left = std::min(left, p.x), right = std::max(right, p.x);
    low = std::min(low, p.y), high = std::max(high, p.y);
  }
  const int columns = static_cast<int>((right - left) / patch.mm_per_px) + 1;
  const int rows = static_cast<int>((high - low) / patch.mm_per_px) + 1;
  patch.first_mm = {left, high};
  const PlaneView view = cloth_view(sight);
  cv::Mat1f map_x(rows, columns), map_y(rows, columns);
  for (int row = 0; row < rows; ++row)
    for (int column = 0; column < columns; ++column) {
      const cv::Point2d at = view.image(patch.at(column, row));
      map_x(row, column) = static_cast<float>(at.x);
      map_y(row, column) = static_cast<float>(at.y);
    }
  cv::Mat1b laid_out;
  cv::remap(grey, laid_out, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  laid_out.convertTo(patch.grey, CV_32F);
  patch.usable = opening(sight, patch);
  const float most_x = static_cast<float>(grey.cols) - 2.0F, most_y = static_cast<float>(grey.rows) - 2.0F;
  const cv::Mat in_picture = (map_x > 1.0F) & (map_y > 1.0F) & (map_x < most_x) & (map_y < most_y);
  cv::bitwise_and(patch.usable, in_picture, patch.usable);
  shrink(patch.usable, options.rim_margin_mm / patch.mm_per_px);
  hide_papers(sight, view, patch, options.paper_margin_mm, patch.usable);
  return patch;
}

// The thing is handed on as a sticker: what moves a sticker's pose moves its own alike.
Covariance3 covariance_in_hoop(const ClothSight& sight, const Pose2& hoop_from_thing, const Covariance3& own) {
  ReadingInputs in;
  in.lens = sight.lens;
  in.camera_from_board = sight.camera_from_board;
  in.board_from_hoop = sight.board_from_hoop;
  in.hoop_covariance = in.hoop_noise_covariance = sight.hoop_covariance;
  for (const cv::Point2d& p : sight.inner_mm) in.hoop_reach_mm += cv::norm(p);
  in.hoop_reach_mm = std::max(1.0, in.hoop_reach_mm / static_cast<double>(std::max<size_t>(1, sight.inner_mm.size())));
  in.board_from_sticker = compose(sight.board_from_hoop, hoop_from_thing);
  const double c = std::cos(sight.board_from_hoop.angle_rad), s = std::sin(sight.board_from_hoop.angle_rad);
  const cv::Matx33d board_from_hoop(c, -s, 0.0, s, c, 0.0, 0.0, 0.0, 1.0);
  in.sticker_covariance = board_from_hoop * own * board_from_hoop.t();
  in.rim_height_mm = sight.rim_height_mm;
  in.cloth_height_mm = sight.cloth_height_mm;
  in.rim_height_u_mm = sight.rim_height_u_mm;
  in.cloth_height_u_mm = sight.cloth_height_u_mm;
  in.print_scale_u = sight.print_scale_u;
  return reading_of(in).covariance;
}

LinePlace line_place(const ClothSight& sight, cv::Point2d p_in_hoop, double angle_rad, double variance_across,
                     double variance_angle) {
  double angle = wrapped_rad(angle_rad);
  if (angle > kPi / 2.0) angle -= kPi;
  if (angle <= -kPi / 2.0) angle += kPi;
  const double c = std::cos(angle), s = std::sin(angle);
  const Covariance3 own(s * s * variance_across, -s * c * variance_across, 0.0,  //
                        -s * c * variance_across, c * c * variance_across, 0.0,  //
                        0.0, 0.0, variance_angle);
  const Covariance3 covariance = covariance_in_hoop(sight, {p_in_hoop, angle}, own);
  LinePlace place;
  place.angle_deg = angle * kDegPerRad;
  place.distance_mm = c * p_in_hoop.y - s * p_in_hoop.x;
  const double along = c * p_in_hoop.x + s * p_in_hoop.y;
  // (angle, distance) by (x, y, angle) of the point on the line.
  const cv::Matx23d j(0.0, 0.0, 1.0, -s, c, -along);
  place.covariance = j * covariance * j.t();
  place.u_angle_deg = 2.0 * std::sqrt(place.covariance(0, 0)) * kDegPerRad;
  place.u_distance_mm = 2.0 * std::sqrt(place.covariance(1, 1));
  return place;
}

}  // namespace vision
