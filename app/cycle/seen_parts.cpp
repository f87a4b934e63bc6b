#include "app/cycle/seen_parts.h"

#include <algorithm>
#include <array>
#include <opencv2/imgproc.hpp>

#include "vision/sticker_pose.h"

namespace app {
namespace {

using vision::Status;

bool is_wanted(int number, const std::vector<int>& wanted) {
  return std::find(wanted.begin(), wanted.end(), number) != wanted.end();
}

// The paper's corners as the tag lies in the picture; lens distortion over a sticker's width is left out.
std::array<cv::Point2f, 4> paper_px(const vision::SeenTag& tag) {
  std::array<cv::Point2f, 4> printed, seen;
  const std::array<cv::Point2d, 4> corners = vision::sticker_tag_corners(tag.id, 1.0);
  for (std::size_t k = 0; k < 4; ++k) printed[k] = corners[k], seen[k] = tag.corners_px[k];
  const auto half = static_cast<float>(vision::kStickerHalfMm);
  const std::vector<cv::Point2f> paper{{-half, half}, {half, half}, {half, -half}, {-half, -half}};
  std::vector<cv::Point2f> in_picture;
  cv::perspectiveTransform(paper, in_picture, cv::getPerspectiveTransform(printed, seen));
  return {in_picture[0], in_picture[1], in_picture[2], in_picture[3]};
}

// A sticker beside the ring is on no hooped cloth: a roll of stickers on the table, the next garment.
bool is_within_ring(const vision::FrameResult& result, const vision::SeenSticker& sticker) {
  if (result.inner_px.size() < 3 || sticker.tags_seen < 2) return true;  // not known
  const std::vector<cv::Point2f> inner(result.inner_px.begin(), result.inner_px.end());
  return cv::pointPolygonTest(inner, cv::Point2f(sticker.centre_px), false) >= 0.0;
}

bool has_group(const vision::FrameResult& result) { return !result.design.stickers.empty(); }

bool is_of_group(const vision::FrameResult& result, int number) {
  return std::any_of(result.design.stickers.begin(), result.design.stickers.end(),
                     [&](const vision::StickerCheck& check) { return check.number == number; });
}

// Which one the reading is of: the one that lies where it says. There is a reading only where there is a sticker.
std::size_t read_sticker(const vision::FrameResult& result) {
  const cv::Point2d place =
      vision::apply(*result.board_from_hoop, {result.reading->offset_x_mm, result.reading->offset_y_mm});
  const auto away = [&](const vision::SeenSticker& s) { return cv::norm(s.board_from_sticker.origin_mm - place); };
  const auto nearest = std::min_element(result.stickers.begin(), result.stickers.end(),
                                        [&](const auto& a, const auto& b) { return away(a) < away(b); });
  return static_cast<std::size_t>(nearest - result.stickers.begin());
}

}  // namespace

bool ring_alone(const vision::FrameResult& result) {
  return result.board_from_hoop && std::none_of(result.stickers.begin(), result.stickers.end(),
                                                [&](const auto& sticker) { return is_within_ring(result, sticker); });
}

bool ring_with_sticker(const vision::FrameResult& result) { return result.board_from_hoop && !ring_alone(result); }

// Of a group only what lies within the ring was read.
bool ring_and_sticker(const vision::FrameResult& result) {
  return result.reading && result.board_from_hoop && !result.stickers.empty() &&
         (has_group(result) || is_within_ring(result, result.stickers[read_sticker(result)]));
}

bool ring_hidden(const vision::FrameResult& result) {
  return result.status == Status::no_ring || result.status == Status::ring_covered ||
         result.status == Status::which_way_up;
}

bool blind(Status status) {
  return status == Status::no_board || status == Status::board_moved || status == Status::blurred ||
         status == Status::too_dark || status == Status::too_bright;
}

bool sees_sticker(const vision::FrameResult& result, int number) {
  return std::any_of(result.stickers.begin(), result.stickers.end(), [&](const vision::SeenSticker& sticker) {
    return sticker.number == number || (is_of_group(result, number) && is_of_group(result, sticker.number));
  });
}

std::vector<int> used_stickers(const vision::FrameResult& result) {
  std::vector<int> numbers;
  for (const vision::StickerCheck& check : result.design.stickers)
    if (check.used) numbers.push_back(check.number);
  return numbers;
}

int counted_sticker(const vision::FrameResult& result, const std::vector<int>& wanted) {
  if (has_group(result) && sees_sticker(result, result.design.stickers.front().number))
    return result.design.stickers.front().number;
  if (result.reading) return result.stickers[read_sticker(result)].number;
  if (result.stickers.size() > 1)
    for (const vision::SeenSticker& sticker : result.stickers)
      if (is_wanted(sticker.number, wanted)) return sticker.number;
  return result.stickers.empty() ? -1 : result.stickers.front().number;
}

std::optional<vision::Pose2> seen_design(const vision::FrameResult& result, const std::vector<int>& wanted) {
  if (has_group(result)) return result.design.board_from_design;
  if (too_many_stickers(result, wanted)) return std::nullopt;
  const int number = counted_sticker(result, wanted);
  if (!wanted.empty() && !is_wanted(number, wanted)) return std::nullopt;
  for (const vision::SeenSticker& sticker : result.stickers)
    if (sticker.number == number && sticker.tags_seen >= 2) return sticker.board_from_sticker;
  return std::nullopt;
}

bool too_many_stickers(const vision::FrameResult& result, const std::vector<int>& wanted) {
  if (result.status == Status::several_stickers) return true;
  if (result.stickers.size() < 2 || has_group(result)) return false;
  if (wanted.size() != 1) return true;
  return std::count_if(result.stickers.begin(), result.stickers.end(),
                       [&](const vision::SeenSticker& sticker) { return sticker.number == wanted.front(); }) > 1;
}

bool ring_over_paper(const vision::FrameResult& result) {
  if (!result.board_from_hoop || result.inner_px.size() < 3) return false;
  const std::vector<cv::Point2f> inner(result.inner_px.begin(), result.inner_px.end());
  return std::any_of(result.sticker_tags.begin(), result.sticker_tags.end(), [&](const vision::SeenTag& tag) {
    // A tenth of a tag's side is about a millimetre: what the paper may be cut off.
    const double margin_px = 0.1 * cv::norm(tag.corners_px[1] - tag.corners_px[0]);
    const std::array<cv::Point2f, 4> paper = paper_px(tag);
    // A tag that lies outside of the ring is of a sticker that lies outside, not under it.
    const cv::Point2f middle = 0.5F * (cv::Point2f(tag.corners_px[0]) + cv::Point2f(tag.corners_px[2]));
    return cv::pointPolygonTest(inner, middle, false) > 0.0 &&
           std::any_of(paper.begin(), paper.end(), [&](const cv::Point2f& corner) {
             return cv::pointPolygonTest(inner, corner, true) < -margin_px;
           });
  });
}

}  // namespace app
