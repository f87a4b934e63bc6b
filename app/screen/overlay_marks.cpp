// What is drawn on the live picture.
#include <algorithm>
#include <array>
#include <cmath>

#include "app/screen/live_picture.h"
#include "app/words/words.h"

namespace app {
namespace {

// Without points that cannot be told apart: each costs a stretch of line.
std::vector<SDL_FPoint> on_screen(const PictureRegion& region, const std::vector<cv::Point2d>& image_px) {
  constexpr float kClose_px = 2.0F;
  std::vector<SDL_FPoint> points;
  points.reserve(image_px.size());
  for (const cv::Point2d& p : image_px) {
    const SDL_FPoint at = region.to_screen(p);
    if (points.empty() || std::hypot(at.x - points.back().x, at.y - points.back().y) >= kClose_px) points.push_back(at);
  }
  return points;
}

struct Pen {
  Canvas& canvas;
  Text& text;
  const Scale& scale;
  const PictureRegion& region;

  SDL_FPoint at(cv::Point2d image_px) const { return region.to_screen(image_px); }
  // A line with a dark edge, to be seen on white cloth and on black.
  void stroke(std::span<const SDL_FPoint> points, bool closed, float width, Colour colour) const {
    canvas.polyline(points, closed, width + 2.0F, theme::kHalo);
    canvas.polyline(points, closed, width, colour);
  }
  void stroke(const std::vector<cv::Point2d>& image_px, float width, Colour colour) const {
    stroke(on_screen(region, image_px), true, width, colour);
  }
};

void draw_board_marks(const Pen& pen, const vision::FrameResult& result) {
  for (const vision::SeenTag& mark : result.board_marks) {
    std::array<SDL_FPoint, 4> corners{};
    for (std::size_t i = 0; i < corners.size(); ++i) corners[i] = pen.at(mark.corners_px[i]);
    pen.canvas.polyline(corners, true, pen.scale.mm(0.3), theme::kMark);
  }
}

// The ring's outlines; stretches where the rim was looked for in vain are dotted over.
void draw_ring(const Pen& pen, const vision::FrameResult& result) {
  const float width = pen.scale.mm(0.45);
  if (!result.outer_px.empty()) pen.stroke(result.outer_px, width, theme::kRing);
  if (!result.inner_px.empty()) pen.stroke(result.inner_px, width, theme::kRing);
  for (const vision::RimSample& sample : result.rim) {
    if (!sample.found) pen.canvas.disc(pen.at(sample.image_px), pen.scale.mm(0.45), theme::kTrouble);
  }
}

// A pointer at each notch, from outside; north carries its letter. A notch that was not seen is hollow.
void draw_notches(const Pen& pen, const vision::FrameResult& result, SDL_FPoint centre) {
  if (!result.board_from_hoop) return;
  const float size = pen.scale.mm(2.2);
  for (const vision::SeenNotch& notch : result.notches) {
    const SDL_FPoint tip = pen.at(notch.image_px);
    const float dx = tip.x - centre.x, dy = tip.y - centre.y;
    const float length = std::hypot(dx, dy);
    if (!(length > 1.0F)) continue;
    const SDL_FPoint out{dx / length, dy / length};
    const float start = pen.scale.mm(2.6);  // clear of the rim itself
    const SDL_FPoint near{tip.x + start * out.x, tip.y + start * out.y};
    const SDL_FPoint far{near.x + size * out.x, near.y + size * out.y};
    const SDL_FPoint side{-0.6F * size * out.y, 0.6F * size * out.x};
    const std::array<SDL_FPoint, 3> pointer{near, SDL_FPoint{far.x + side.x, far.y + side.y},
                                            SDL_FPoint{far.x - side.x, far.y - side.y}};
    pen.stroke(pointer, true, pen.scale.mm(0.4), theme::kRing);
    if (notch.seen) pen.canvas.polygon(pointer, theme::kRing);
    if (notch.side == vision::Side::north) {
      const TextStyle letter{Weight::bold, pen.scale.text_mm(2.8)};
      const float away = size + pen.scale.mm(3.0);
      const float disc = pen.scale.mm(2.5);
      // The letter stays in the picture where the hoop reaches to its edge.
      const SDL_Rect& s = pen.region.screen;
      const auto kept = [&](float at, int from, int extent) {
        const float low = static_cast<float>(from) + disc, high = static_cast<float>(from + extent) - disc;
        return low < high ? std::clamp(at, low, high) : at;
      };
      const SDL_FPoint middle{kept(near.x + away * out.x, s.x, s.w), kept(near.y + away * out.y, s.y, s.h)};
      pen.canvas.disc(middle, disc, theme::kGround);
      pen.text.draw_centred(letter, {middle.x, middle.y + static_cast<float>(letter.height_px) / 2.0F}, tr("N"),
                            theme::kRing);
    }
  }
}

void draw_sticker(const Pen& pen, const vision::SeenSticker& sticker) {
  std::array<SDL_FPoint, 4> corners{};
  for (std::size_t i = 0; i < corners.size(); ++i) corners[i] = pen.at(sticker.outline_px[i]);
  pen.stroke(corners, true, pen.scale.mm(0.45), theme::kSticker);
  const auto middle = [&](std::size_t a, std::size_t b) {
    return SDL_FPoint{(corners[a].x + corners[b].x) / 2.0F, (corners[a].y + corners[b].y) / 2.0F};
  };
  const SDL_FPoint centre = pen.at(sticker.centre_px);
  for (const SDL_FPoint end : {middle(0, 1), middle(1, 2), middle(2, 3), middle(3, 0)}) {
    pen.canvas.line(centre, end, pen.scale.mm(0.3), theme::kSticker);
  }
  pen.canvas.arrow(centre, pen.at(sticker.arrow_px), pen.scale.mm(0.6), pen.scale.mm(2.4), theme::kSticker);
}

// Where the design's centre lies on the cloth: at the sticker, or where its group says.
cv::Point2d design_px(const vision::Station& station, const vision::Hoop& hoop, const vision::FrameResult& result) {
  if (!result.design.board_from_design) return result.stickers.front().centre_px;
  const cv::Point2d at = result.design.board_from_design->origin_mm;
  return vision::image_from_board(station.lens, *result.camera_from_board, {at.x, at.y, hoop.cloth_height_mm});
}

// Where the cross has to go, and the way there in true size.
void draw_goal(const Pen& pen, SDL_FPoint goal, const vision::Station& station, const vision::Hoop& hoop,
               const vision::FrameResult& result) {
  const float arm = pen.scale.mm(3.0);
  for (const auto& [dx, dy] : {std::pair{arm, 0.0F}, {0.0F, arm}}) {
    const std::array<SDL_FPoint, 2> bar{SDL_FPoint{goal.x - dx, goal.y - dy}, SDL_FPoint{goal.x + dx, goal.y + dy}};
    pen.stroke(bar, false, pen.scale.mm(0.4), theme::kWithin);
  }
  if (!result.reading || result.stickers.empty()) return;
  const SDL_FPoint from = pen.at(design_px(station, hoop, result));
  if (std::hypot(goal.x - from.x, goal.y - from.y) > 2.0F * arm) {
    pen.canvas.arrow(from, goal, pen.scale.mm(1.0), pen.scale.mm(3.0), theme::kText);
  }
}

}  // namespace

void draw_overlay(Canvas& canvas, Text& text, const Scale& scale, const PictureRegion& region,
                  const vision::Station& station, const vision::Hoop& hoop, const vision::FrameResult& result) {
  const Pen pen{canvas, text, scale, region};
  const SDL_Rect& s = region.screen;
  canvas.clip({static_cast<float>(s.x), static_cast<float>(s.y), static_cast<float>(s.w), static_cast<float>(s.h)});
  draw_board_marks(pen, result);
  draw_ring(pen, result);
  for (const vision::SeenSticker& sticker : result.stickers) draw_sticker(pen, sticker);
  if (result.board_from_hoop && result.camera_from_board) {
    const cv::Point2d o = result.board_from_hoop->origin_mm;
    const auto image = [&](double height_mm) {
      return vision::image_from_board(station.lens, *result.camera_from_board, {o.x, o.y, height_mm});
    };
    draw_notches(pen, result, pen.at(image(hoop.rim_height_mm)));
    draw_goal(pen, pen.at(image(hoop.cloth_height_mm)), station, hoop, result);
  }
  canvas.unclip();
}

void draw_kept_ring(Canvas& canvas, const Scale& scale, const PictureRegion& region,
                    const std::vector<cv::Point2d>& inner_px, const std::vector<cv::Point2d>& outer_px) {
  for (const auto* outline : {&inner_px, &outer_px})
    canvas.polyline(on_screen(region, *outline), true, scale.mm(0.4), with_alpha(theme::kRing, 150));
}

}  // namespace app
