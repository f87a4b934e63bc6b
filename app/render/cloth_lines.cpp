#include "app/render/cloth_lines.h"

#include <algorithm>
#include <cmath>

#include "app/render/shading.h"
#include "app/render/subpixel.h"

namespace app {
namespace {

constexpr int kMarginPx = 3;
constexpr float kPi = 3.14159265F;

// What a line does to the light at one place: scales it, and covers it with something of its own.
struct Mark {
  float factor = 1.0F;
  float albedo = -1.0F;  // negative: nothing lies there
};

// In [-1, 1], the same for the same number.
float scatter(int number) {
  std::uint32_t h = static_cast<std::uint32_t>(number) * 0x9E3779B1U;
  h = (h ^ (h >> 15)) * 0x2C1B3C6DU;
  return static_cast<float>(h >> 16) / 32768.0F - 1.0F;
}

struct Numbers {
  explicit Numbers(const ClothLine& line)
      : half_length(static_cast<float>(line.length_mm / 2.0)),
        width(static_cast<float>(line.width_mm)),
        strength(static_cast<float>(line.strength)),
        step(static_cast<float>(line.step)),
        albedo(static_cast<float>(line.albedo)),
        stitch(static_cast<float>(line.stitch_mm)),
        pitch(static_cast<float>(line.stitch_mm + line.gap_mm)),
        bow(static_cast<float>(line.bow_mm)) {}
  float half_length, width, strength, step, albedo, stitch, pitch, bow;
};

Mark crease(const Numbers& n, float y) {
  const float r = y / n.width;
  // The tilt of the cloth beyond dies away over some centimetres.
  const float beyond = y > 0.0F ? n.step * std::exp(-y / 25.0F) * std::min(1.0F, y / n.width) : 0.0F;
  return {1.0F - n.strength * std::exp(-0.5F * r * r) + beyond, -1.0F};
}

// Each stitch lies a little off the line; the thread's two plies show as brighter and darker.
Mark stitch(const Numbers& n, float x, float y) {
  const float along = x + n.half_length;
  const int number = static_cast<int>(std::floor(along / n.pitch));
  const float in_stitch = along - static_cast<float>(number) * n.pitch - 0.5F * n.pitch;
  const float across = y - 0.08F * scatter(number);
  const float half = 0.5F * n.stitch, radius = 0.5F * n.width;
  const float end = std::max(0.0F, std::abs(in_stitch) - (half - radius));
  if (end * end + across * across > radius * radius) {
    // The needle's hole and the thread's own shadow beside it.
    const float off = std::max(0.0F, std::hypot(end, across) - radius);
    return {1.0F - 0.15F * std::exp(-off / 0.25F), -1.0F};
  }
  const float plies = 1.0F + 0.22F * std::sin(2.0F * kPi * (in_stitch / 0.9F + across / n.width));
  const float round = 1.0F - 0.35F * (across * across) / (radius * radius);
  return {1.0F, n.albedo * plies * round};
}

Mark fold(const Numbers& n, float y) {
  if (y > 0.0F) return {1.0F - n.strength * std::exp(-y / n.width), -1.0F};
  return {1.0F - 0.12F * std::exp(y / 1.2F), -1.0F};
}

Mark mark_at(const ClothLine& line, const Numbers& n, cv::Point2f p) {
  if (std::abs(p.x) > n.half_length) return {};
  const float share = p.x / n.half_length;
  const float y = p.y - n.bow * (1.0F - share * share);
  switch (line.kind) {
    case ClothLine::Kind::crease:
      return crease(n, y);
    case ClothLine::Kind::stitches:
      return stitch(n, p.x, y);
    case ClothLine::Kind::band:
      return {1.0F, std::abs(y) < 0.5F * n.width ? n.albedo : -1.0F};
    case ClothLine::Kind::fold:
      return fold(n, y);
  }
  return {};
}

// How far to its sides a line is seen, mm.
double reach_mm(const ClothLine& line) {
  switch (line.kind) {
    case ClothLine::Kind::crease:
      return line.step != 0.0 ? 70.0 : 4.0 * line.width_mm;
    case ClothLine::Kind::stitches:
      return line.width_mm + 1.5;
    case ClothLine::Kind::band:
      return 0.5 * line.width_mm + 1.0;
    case ClothLine::Kind::fold:
      return std::max(6.0, 5.0 * line.width_mm);
  }
  return 0.0;
}

void draw(const RayField& rays, const ClothLine& line, const vision::Pose2& board_from_cloth, double height_mm,
          cv::Mat1w& light) {
  const vision::Pose2 board_from_line = vision::compose(board_from_cloth, line.cloth_from_line);
  const double x = line.length_mm / 2.0, reach = reach_mm(line) + std::abs(line.bow_mm);
  const cv::Rect region = rays.bounds({{-x, -reach}, {x, -reach}, {x, reach}, {-x, reach}}, board_from_line, height_mm,
                                      height_mm, kMarginPx);
  const RayField::Plane plane(rays, board_from_line, height_mm);
  const Numbers numbers(line);
  constexpr int kAcross = 4;
  const float far = static_cast<float>(reach), long_way = numbers.half_length + 1.0F;
  for (int row = region.y; row < region.br().y; ++row)
    for (int column = region.x; column < region.br().x; ++column) {
      const cv::Point2f middle = plane.at(column, row);
      if (std::abs(middle.y) > far || std::abs(middle.x) > long_way) continue;
      const PlanePoint point = plane.point(column, row);
      const float under = static_cast<float>(light(row, column)) / kWhite;
      float sum = 0.0F;
      for (const cv::Point2f& place : subpixels<kAcross>(column, row)) {
        const Mark mark = mark_at(line, numbers, point.p + point.per_x * place.x + point.per_y * place.y);
        sum += mark.albedo >= 0.0F ? mark.albedo : under * mark.factor;
      }
      light(row, column) = to_light(kWhite * sum / static_cast<float>(kPlaces<kAcross>));
    }
}

}  // namespace

void draw_cloth_lines(const RayField& rays, const Cloth& cloth, double height_mm, cv::Mat1w& light) {
  for (const ClothLine& line : cloth.lines) draw(rays, line, cloth.board_from_cloth, height_mm, light);
}

}  // namespace app
