#include "app/render/flat_layer.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "app/render/printed.h"
#include "app/render/shading.h"
#include "app/render/subpixel.h"

namespace app {
namespace {

constexpr int kMarginPx = 3;

std::vector<cv::Point2d> corners_of(double width_mm, double height_mm) {
  const double x = width_mm / 2.0, y = height_mm / 2.0;
  return {{-x, -y}, {x, -y}, {x, y}, {-x, y}};
}

struct Share {
  float sum = 0.0F;
  int covered = 0;
  bool even = true;  // all places looked the same
};

// Looks at one pixel in many places.
template <int kAcross, typename AlbedoAt>
Share look(const PlanePoint& centre, int x, int y, AlbedoAt albedo_at) {
  Share share;
  float first = 0.0F;
  bool is_first = true;
  for (const cv::Point2f& place : subpixels<kAcross>(x, y)) {
    const float albedo = albedo_at(centre.p + centre.per_x * place.x + centre.per_y * place.y, centre.slope);
    if (is_first) first = albedo;
    is_first = false;
    share.even = share.even && albedo == first;
    if (albedo < 0.0F) continue;
    share.sum += albedo;
    ++share.covered;
  }
  return share;
}

// Blends what `albedo_at(p)` says into the light, averaged over each pixel. It returns a negative albedo where
// there is nothing. p is in the frame of `plane`; the slope is there for things that rise above it.
template <typename AlbedoAt>
void draw_sampled(const RayField::Plane& plane, cv::Rect region, cv::Mat1w& light, AlbedoAt albedo_at) {
  constexpr int kCoarse = 3, kFine = 8;
  for (int y = region.y; y < region.br().y; ++y) {
    for (int x = region.x; x < region.br().x; ++x) {
      const PlanePoint centre = plane.point(x, y);
      Share share = look<kCoarse>(centre, x, y, albedo_at);
      int places = kPlaces<kCoarse>;
      if (!share.even) {
        share = look<kFine>(centre, x, y, albedo_at);
        places = kPlaces<kFine>;
      }
      if (share.covered == 0) continue;
      const float rest = static_cast<float>(places - share.covered) * static_cast<float>(light(y, x));
      light(y, x) = to_light((share.sum * kWhite + rest) / static_cast<float>(places));
    }
  }
}

bool within(cv::Point2f p, float half_width, float half_height) {
  return std::abs(p.x) < half_width && std::abs(p.y) < half_height;
}

}  // namespace

cv::Rect draw_texture(const RayField& rays, const Texture& texture, const vision::Pose2& board_from_texture,
                      double height_mm, cv::Mat1w& light) {
  const double width_mm = texture.light.cols * texture.mm_per_px, tall_mm = texture.light.rows * texture.mm_per_px;
  const cv::Rect region =
      rays.bounds(corners_of(width_mm, tall_mm), board_from_texture, height_mm, height_mm, kMarginPx);
  if (region.empty()) return region;
  const RayField::Plane plane(rays, board_from_texture, height_mm);
  const float per_mm = static_cast<float>(1.0 / texture.mm_per_px);
  const float middle_x = static_cast<float>(texture.light.cols - 1) / 2.0F;
  const float middle_y = static_cast<float>(texture.light.rows - 1) / 2.0F;
  const cv::Point2f step = plane.point(region.x + region.width / 2, region.y + region.height / 2).per_x;
  const float px_per_texel = 1.0F / (std::sqrt(step.dot(step)) * per_mm);
  cv::Mat1f map_x(region.size()), map_y(region.size());
  for (int y = 0; y < region.height; ++y) {
    float *mx = map_x[y], *my = map_y[y];
    for (int x = 0; x < region.width; ++x) {
      const cv::Point2f p = plane.at(region.x + x, region.y + y);
      mx[x] = middle_x + p.x * per_mm;
      my[x] = middle_y - p.y * per_mm;
    }
  }
  cv::Mat1w drawn;
  cv::remap(texture.light, drawn, map_x, map_y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
  for (int y = 0; y < region.height; ++y) {
    const float *mx = map_x[y], *my = map_y[y];
    const std::uint16_t* from = drawn[y];
    std::uint16_t* to = light[region.y + y] + region.x;
    for (int x = 0; x < region.width; ++x) {
      const float inside_x = middle_x + 0.5F - std::abs(mx[x] - middle_x);
      const float inside_y = middle_y + 0.5F - std::abs(my[x] - middle_y);
      const float share = std::clamp(std::min(inside_x, inside_y) * px_per_texel + 0.5F, 0.0F, 1.0F);
      const float old = static_cast<float>(to[x]);
      to[x] = static_cast<std::uint16_t>(old + (static_cast<float>(from[x]) - old) * share);
    }
  }
  return region;
}

cv::Rect draw_tag(const RayField& rays, int id, double side_mm, const vision::Pose2& board_from_tag, double height_mm,
                  cv::Mat1w& light) {
  const double paper_mm = side_mm * 1.3;
  const cv::Rect region = rays.bounds(corners_of(paper_mm, paper_mm), board_from_tag, height_mm, height_mm, kMarginPx);
  const float half = static_cast<float>(paper_mm / 2.0), side = static_cast<float>(side_mm);
  draw_sampled({rays, board_from_tag, height_mm}, region, light, [&](cv::Point2f p, cv::Point2f) {
    if (!within(p, half, half)) return -1.0F;
    return tag_has_ink(id, side, p) ? kInkAlbedo : kPaperAlbedo;
  });
  return region;
}

cv::Rect draw_sticker(const RayField& rays, const StickerPlace& sticker, double cloth_height_mm, double print_scale,
                      cv::Mat1w& light) {
  const double reach_mm = kStickerSideMm * print_scale + 8.0;
  const cv::Rect region = rays.bounds(corners_of(reach_mm, reach_mm), sticker.board_from_sticker, cloth_height_mm,
                                      cloth_height_mm + sticker.curl_mm, kMarginPx);
  const float printed = static_cast<float>(1.0 / print_scale), half = static_cast<float>(kStickerSideMm / 2.0);
  const float curl = static_cast<float>(sticker.curl_mm);
  const vision::Pose2 paper_from_print = vision::inverse(sticker.print_from_paper);
  const float c = static_cast<float>(std::cos(paper_from_print.angle_rad));
  const float s = static_cast<float>(std::sin(paper_from_print.angle_rad));
  const cv::Point2f shift = paper_from_print.origin_mm;
  draw_sampled({rays, sticker.board_from_sticker, cloth_height_mm}, region, light,
               [&](cv::Point2f p, cv::Point2f slope) {
                 if (curl > 0.0F) {
                   const float along = std::clamp((p.x + half) / (2.0F * half), 0.0F, 1.0F);
                   p += slope * (curl * along * along);
                 }
                 p *= printed;
                 const cv::Point2f on_paper(c * p.x - s * p.y + shift.x, s * p.x + c * p.y + shift.y);
                 if (!within(on_paper, half, half)) return -1.0F;
                 return sticker_has_ink(sticker.number, p) ? kInkAlbedo : kPaperAlbedo;
               });
  return region;
}

cv::Rect draw_tape(const RayField& rays, const Tape& tape, cv::Mat1w& light) {
  const cv::Rect region = rays.bounds(corners_of(tape.size_mm.width, tape.size_mm.height), tape.board_from_tape,
                                      tape.height_mm, tape.height_mm, kMarginPx);
  const float x = static_cast<float>(tape.size_mm.width / 2.0), y = static_cast<float>(tape.size_mm.height / 2.0);
  draw_sampled({rays, tape.board_from_tape, tape.height_mm}, region, light,
               [&](cv::Point2f p, cv::Point2f) { return within(p, x, y) ? static_cast<float>(tape.albedo) : -1.0F; });
  return region;
}

}  // namespace app
