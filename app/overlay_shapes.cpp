#include "app/overlay_shapes.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "app/fit/field.h"

namespace app {
namespace {

using Points = std::vector<cv::Point2d>;

bool finite(const cv::Point2d& p) { return std::isfinite(p.x) && std::isfinite(p.y); }

cv::Point2d middle(const Points& points) {
  cv::Point2d sum(0.0, 0.0);
  for (const cv::Point2d& p : points) sum += p;
  return sum / static_cast<double>(std::max<std::size_t>(points.size(), 1));
}

// Beside the lower edge of a tag's square, corners in the tag's order.
cv::Point2d below(const Points& corners) {
  const cv::Point2d centre = middle(corners);
  return centre + 1.6 * (0.5 * (corners[2] + corners[3]) - centre);
}

Points circle(cv::Point2d centre, double radius) {
  Points out;
  for (int i = 0; i < 48; ++i)
    out.push_back(centre + radius * cv::Point2d(std::cos(i * vision::kPi / 24), std::sin(i * vision::kPi / 24)));
  return out;
}

class Collector {
 public:
  Collector(const vision::FrameResult& result, const vision::Station& station, const vision::Hoop& hoop)
      : result_(result), station_(station), hoop_(hoop) {}

  OverlayShapes collect() {
    field();
    ring();
    board_marks();
    for (const vision::SeenSticker& seen : result_.stickers) sticker(seen);
    notches();
    offset();
    return std::move(out_);
  }

 private:
  void add(Shape shape) {
    if (!shape.points_px.empty() && std::all_of(shape.points_px.begin(), shape.points_px.end(), finite))
      out_.shapes.push_back(std::move(shape));
  }

  void label(std::string text, cv::Point2d at_px, Tone tone) {
    if (finite(at_px)) out_.labels.push_back({std::move(text), at_px, tone});
  }

  cv::Point2d image_from_board(cv::Point2d p, double height_mm) const {
    return vision::image_from_board(station_.lens, *result_.camera_from_board, {p.x, p.y, height_mm});
  }

  cv::Point2d image_from_hoop(cv::Point2d p, double height_mm) const {
    return image_from_board(vision::apply(*result_.board_from_hoop, p), height_mm);
  }

  bool hoop_is_placed() const { return result_.camera_from_board && result_.board_from_hoop; }

  void board_marks() {
    for (const vision::SeenTag& tag : result_.board_marks) {
      const Points corners(tag.corners_px.begin(), tag.corners_px.end());
      add({corners, Tone::board, true});
      label(std::to_string(tag.id), below(corners), Tone::board);
    }
    if (!result_.camera_from_board) return;
    for (const vision::BoardMark& mark : station_.board_marks) missing_mark(mark);
  }

  void missing_mark(const vision::BoardMark& mark) {
    const auto same = [&](const vision::SeenTag& tag) { return tag.id == mark.id; };
    if (std::any_of(result_.board_marks.begin(), result_.board_marks.end(), same)) return;
    const auto& disagreeing = result_.board_marks_disagreeing;
    const bool disagrees = std::find(disagreeing.begin(), disagreeing.end(), mark.id) != disagreeing.end();
    const vision::Pose2 board_from_mark{{mark.x_mm, mark.y_mm}, mark.angle_deg * vision::kRadPerDeg};
    Points corners;
    for (const cv::Point2d corner : {cv::Point2d(-1, 1), cv::Point2d(1, 1), cv::Point2d(1, -1), cv::Point2d(-1, -1)})
      corners.push_back(image_from_board(vision::apply(board_from_mark, 0.5 * mark.size_mm * corner), 0.0));
    add({corners, Tone::missing, true});
    label(std::to_string(mark.id) + (disagrees ? " moved" : " not seen"), below(corners), Tone::missing);
  }

  void ring() {
    // Without a pose the outlines are only where the ring was looked for last.
    const Tone tone = result_.board_from_hoop ? Tone::ring : Tone::missing;
    add({result_.inner_px, tone, true});
    add({result_.outer_px, tone, true});
    constexpr double kDot_px = 2.0;
    for (const vision::RimSample& sample : result_.rim)
      if (!sample.found) add({circle(sample.image_px, kDot_px), Tone::missing, true});
  }

  void notches() {
    constexpr std::array<const char*, 4> kNames{"N", "E", "S", "W"};
    if (result_.inner_px.empty() && !hoop_is_placed()) return;
    const cv::Point2d centre =
        hoop_is_placed() ? image_from_hoop({0.0, 0.0}, hoop_.rim_height_mm) : middle(result_.inner_px);
    for (std::size_t i = 0; i < result_.notches.size(); ++i) {
      const vision::SeenNotch& notch = result_.notches[i];
      const bool north = notch.side == vision::Side::north;
      const Tone tone = notch.seen ? Tone::notch : Tone::missing;
      add({circle(notch.image_px, north ? 16.0 : 12.0), tone, true, false, north ? 1.5 : 1.0});
      // The letter stands outside the ring, where neither cloth nor field is.
      const cv::Point2d outwards = notch.image_px - centre;
      const double length = cv::norm(outwards);
      if (!(length > 1.0)) continue;
      std::string text = kNames[static_cast<std::size_t>(notch.side)];
      if (north) text = "NORTH";
      if (!notch.seen) text += " ?";
      label(text, notch.image_px + outwards * (60.0 / length), tone);
    }
  }

  void sticker(const vision::SeenSticker& seen) {
    const auto& o = seen.outline_px;
    add({{o.begin(), o.end()}, Tone::sticker, true});
    add({{0.5 * (o[0] + o[1]), 0.5 * (o[2] + o[3])}, Tone::sticker});
    add({{0.5 * (o[1] + o[2]), 0.5 * (o[3] + o[0])}, Tone::sticker});
    const cv::Point2d up = seen.arrow_px - seen.centre_px;
    add({{seen.centre_px, seen.centre_px + 2.4 * up}, Tone::sticker, false, true, 1.5});
    label("sticker " + std::to_string(seen.number), seen.centre_px - 2.2 * up, Tone::sticker);
  }

  void field() {
    if (!hoop_is_placed()) return;
    // Points close enough that the lens bends the line as it bends the cloth's.
    const Points in_hoop = field_outline(field_of(hoop_), 15.0);
    Points in_image;
    for (const cv::Point2d& p : in_hoop) in_image.push_back(image_from_hoop(p, hoop_.cloth_height_mm));
    add({in_image, Tone::field, true});
    const double arm = 0.08 * std::min(hoop_.field_mm.width, hoop_.field_mm.height);
    for (const cv::Point2d along : {cv::Point2d(arm, 0.0), cv::Point2d(0.0, arm)})
      add({{image_from_hoop(along, hoop_.cloth_height_mm), image_from_hoop(-along, hoop_.cloth_height_mm)},
           Tone::field});
  }

  void offset() {
    if (!hoop_is_placed() || !result_.reading) return;
    const cv::Point2d to(result_.reading->offset_x_mm, result_.reading->offset_y_mm);
    if (!(cv::norm(to) > 1.0)) return;
    add({{image_from_hoop({0.0, 0.0}, hoop_.cloth_height_mm), image_from_hoop(to, hoop_.cloth_height_mm)},
         Tone::field,
         false,
         true,
         1.5});
  }

  const vision::FrameResult& result_;
  const vision::Station& station_;
  const vision::Hoop& hoop_;
  OverlayShapes out_;
};

}  // namespace

OverlayShapes overlay_shapes(const vision::FrameResult& result, const vision::Station& station,
                             const vision::Hoop& hoop) {
  return Collector(result, station, hoop).collect();
}

}  // namespace app
