#include "app/render/page_layer.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "app/render/printed.h"
#include "app/render/subpixel.h"

namespace app {
namespace {

constexpr int kTile = 32;           // pixels drawn together
constexpr int kLooks = kPlaces<3>;  // places looked at in each
constexpr std::size_t kKept = 4;    // reduced pictures

struct OnPage {
  cv::Point2f p;  // mm, page frame
  bool ahead = false;
};

// From a pixel's ray to its point on the page.
class PageView {
 public:
  PageView(const RayField& rays, const PagePlace& place) : rays_(rays) {
    const cv::Matx33d turn = rays.pose().rotation * place.rotation;
    const cv::Vec3d origin = rays.pose().rotation * place.origin_mm + rays.pose().translation_mm;
    const cv::Matx33d ray_from_page(turn(0, 0), turn(0, 1), origin[0], turn(1, 0), turn(1, 1), origin[1], turn(2, 0),
                                    turn(2, 1), origin[2]);
    seen_edge_on_ = std::abs(cv::determinant(ray_from_page)) < 1e-3;
    if (!seen_edge_on_) page_from_ray_ = ray_from_page.inv();
    shows_face_ = turn(0, 2) * origin[0] + turn(1, 2) * origin[1] + turn(2, 2) * origin[2] < 0.0;
    towards_ = cv::Vec3d(turn(2, 0), turn(2, 1), origin[2]);
  }

  bool seen_edge_on() const { return seen_edge_on_; }
  bool shows_face() const { return shows_face_; }
  // Of a point of the page from the camera, along its axis.
  double depth_mm(cv::Point2d p) const { return towards_[0] * p.x + towards_[1] * p.y + towards_[2]; }

  OnPage at(float nx, float ny) const {
    const auto& g = page_from_ray_;
    const float w = g(2, 0) * nx + g(2, 1) * ny + g(2, 2);
    if (!(w > 0.0F)) return {};
    return {{(g(0, 0) * nx + g(0, 1) * ny + g(0, 2)) / w, (g(1, 0) * nx + g(1, 1) * ny + g(1, 2)) / w}, true};
  }
  OnPage at_pixel(int x, int y) const { return at(rays_.normal_x()(y, x), rays_.normal_y()(y, x)); }

 private:
  const RayField& rays_;
  cv::Matx33f page_from_ray_;
  cv::Vec3d towards_;
  bool seen_edge_on_ = false, shows_face_ = true;
};

// What a tile of pixels sees of the page.
struct Tile {
  cv::Rect region;
  cv::Mat1f page_x, page_y;  // mm, kLooks places a pixel side by side
  cv::Mat1f share;           // of each pixel that the paper covers
};

float difference(const cv::Mat1f& values, cv::Point at, cv::Point step) {
  const cv::Rect whole({0, 0}, values.size());
  const cv::Point next = at + step, last = at - step;
  const cv::Point b = whole.contains(next) ? next : at, a = whole.contains(last) ? last : at;
  return (values(b) - values(a)) / static_cast<float>(std::abs(b.x - a.x) + std::abs(b.y - a.y));
}

// Whether any of the tile's pixels can see the paper.
bool may_see(const PageView& view, cv::Rect region, const cv::Rect2d& paper) {
  const int right = region.br().x - 1, below = region.br().y - 1;
  double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;
  for (const cv::Point at : {region.tl(), cv::Point(right, region.y), cv::Point(region.x, below),
                             cv::Point(right, below), (region.tl() + region.br()) / 2}) {
    const OnPage seen = view.at_pixel(at.x, at.y);
    if (!seen.ahead) continue;
    const double x = static_cast<double>(seen.p.x), y = static_cast<double>(seen.p.y);
    x0 = std::min(x0, x), x1 = std::max(x1, x), y0 = std::min(y0, y), y1 = std::max(y1, y);
  }
  constexpr double kMarginMm = 3.0;
  return x0 <= x1 && x0 < paper.br().x + kMarginMm && x1 > paper.x - kMarginMm && y0 < paper.br().y + kMarginMm &&
         y1 > paper.y - kMarginMm;
}

// The share of a pixel on the inner side of two edges, `middle` between them, from how fast the place changes.
float covered(float place, float middle, float half, float per_x, float per_y) {
  const float inside = half - std::abs(place - middle);
  return std::clamp(inside / std::max(std::hypot(per_x, per_y), 1e-6F) + 0.5F, 0.0F, 1.0F);
}

void look(const RayField& rays, const PageView& view, const cv::Rect2d& paper, Tile& tile) {
  tile.page_x.create(tile.region.height, tile.region.width * kLooks);
  tile.page_y.create(tile.page_x.size());
  tile.share.create(tile.region.size());
  const float half_x = static_cast<float>(paper.width / 2.0), half_y = static_cast<float>(paper.height / 2.0);
  const float middle_x = static_cast<float>(paper.x) + half_x, middle_y = static_cast<float>(paper.y) + half_y;
  for (int row = 0; row < tile.region.height; ++row) {
    for (int column = 0; column < tile.region.width; ++column) {
      const cv::Point at = tile.region.tl() + cv::Point(column, row);
      const float nx = rays.normal_x()(at), ny = rays.normal_y()(at);
      const float nx_x = difference(rays.normal_x(), at, {1, 0}), nx_y = difference(rays.normal_x(), at, {0, 1});
      const float ny_x = difference(rays.normal_y(), at, {1, 0}), ny_y = difference(rays.normal_y(), at, {0, 1});
      const auto seen = [&](float dx, float dy) {
        return view.at(nx + nx_x * dx + nx_y * dy, ny + ny_x * dx + ny_y * dy);
      };
      const OnPage middle = seen(0.0F, 0.0F), right = seen(0.5F, 0.0F), left = seen(-0.5F, 0.0F);
      const OnPage below = seen(0.0F, 0.5F), above = seen(0.0F, -0.5F);
      const bool ahead = middle.ahead && right.ahead && left.ahead && below.ahead && above.ahead;
      const cv::Point2f per_x = right.p - left.p, per_y = below.p - above.p;
      tile.share(row, column) = !ahead ? 0.0F
                                       : covered(middle.p.x, middle_x, half_x, per_x.x, per_y.x) *
                                             covered(middle.p.y, middle_y, half_y, per_x.y, per_y.y);
      int look = column * kLooks;
      for (const cv::Point2f& place : subpixels<3>(at.x, at.y)) {
        const OnPage there = seen(place.x, place.y);
        tile.page_x(row, look) = there.p.x;
        tile.page_y(row, look++) = there.p.y;
      }
    }
  }
}

void to_texture(Tile& tile, cv::Size texture, double px_per_mm) {
  tile.page_x.convertTo(tile.page_x, CV_32F, px_per_mm, 0.5 * texture.width - 0.5);
  tile.page_y.convertTo(tile.page_y, CV_32F, -px_per_mm, 0.5 * texture.height - 0.5);
}

void blend(const Tile& tile, const cv::Mat1b& looked, float shade, cv::Mat1w& light) {
  constexpr float kFull = kLooks * 255.0F;
  for (int row = 0; row < tile.region.height; ++row) {
    for (int column = 0; column < tile.region.width; ++column) {
      const float share = tile.share(row, column);
      if (share <= 0.0F) continue;
      int sum = 0;
      for (int look = column * kLooks; look < (column + 1) * kLooks; ++look) sum += looked(row, look);
      const float albedo = kInkAlbedo + (kPaperAlbedo - kInkAlbedo) * static_cast<float>(sum) / kFull;
      std::uint16_t& to = light(tile.region.y + row, tile.region.x + column);
      to = to_light(albedo * shade * kWhite * share + static_cast<float>(to) * (1.0F - share));
    }
  }
}

// So many of the picture's pixels make up half of one that the camera sees, where the page is nearest.
int reduction(const RayField& rays, const PageView& view, const cv::Rect2d& paper, double px_per_mm) {
  double nearest = 1e9;
  for (const double x : {paper.x, paper.br().x})
    for (const double y : {paper.y, paper.br().y}) nearest = std::min(nearest, view.depth_mm({x, y}));
  const double mm_per_px = std::max(nearest, 50.0) / std::max(rays.lens().fx, rays.lens().fy);
  return std::clamp(static_cast<int>(0.5 * px_per_mm * mm_per_px), 1, 64);
}

}  // namespace

cv::Rect2d paper_mm(const ScenePage& page) {
  if (!page.cut_mm.empty()) return page.cut_mm;
  const double width = page.page->picture.cols / page.page->px_per_mm;
  const double height = page.page->picture.rows / page.page->px_per_mm;
  return {-width / 2.0, -height / 2.0, width, height};
}

bool lies_on_board(const PagePlace& place) { return place.rotation(2, 2) > 1.0 - 1e-9 && place.origin_mm[2] < 3.0; }

const cv::Mat1b& PageLayer::reduced(const std::shared_ptr<const PrintedPage>& page, int factor) {
  if (factor == 1) return page->picture;
  const auto found = reduced_.find({page, factor});
  if (found != reduced_.end()) return found->second;
  if (reduced_.size() >= kKept) reduced_.clear();
  // Paper all around up to a whole number of squares, the same on opposite sides, so that the middle stays.
  const cv::Mat1b& full = page->picture;
  const cv::Size size((full.cols + factor - 1) / factor, (full.rows + factor - 1) / factor);
  const cv::Point2f shift(static_cast<float>(size.width * factor - full.cols) / 2.0F,
                          static_cast<float>(size.height * factor - full.rows) / 2.0F);
  cv::Mat1b padded;
  cv::warpAffine(full, padded, cv::Matx23f(1, 0, shift.x, 0, 1, shift.y), size * factor, cv::INTER_LINEAR,
                 cv::BORDER_CONSTANT, cv::Scalar(255));
  cv::Mat1b small;
  cv::resize(padded, small, size, 0.0, 0.0, cv::INTER_AREA);
  return reduced_[{page, factor}] = small;
}

void PageLayer::draw(const RayField& rays, const ScenePage& page, const Shading& shading, cv::Mat1w& light) {
  if (!page.page || page.page->picture.empty() || !(page.page->px_per_mm > 0.0))
    throw std::invalid_argument("a page needs a picture and its scale");
  const PageView view(rays, page.place);
  if (view.seen_edge_on()) return;
  const cv::Rect2d paper = paper_mm(page);
  const int factor = reduction(rays, view, paper, page.page->px_per_mm);
  const cv::Mat1b& texture = reduced(page.page, factor);
  const double side = view.shows_face() ? 1.0 : -1.0;
  const cv::Vec3f normal = page.place.rotation * cv::Vec3d(0.0, 0.0, side);
  const float shade = shading.matt(normal, 1.0F, 1.0F);
  Tile tile;
  cv::Mat1b looked;
  for (int y = 0; y < light.rows; y += kTile) {
    for (int x = 0; x < light.cols; x += kTile) {
      tile.region = cv::Rect(x, y, kTile, kTile) & cv::Rect({0, 0}, light.size());
      if (!may_see(view, tile.region, paper)) continue;
      look(rays, view, paper, tile);
      to_texture(tile, texture.size(), page.page->px_per_mm / factor);
      if (view.shows_face())
        cv::remap(texture, looked, tile.page_x, tile.page_y, cv::INTER_LINEAR, cv::BORDER_REPLICATE);
      else
        looked = cv::Mat1b(tile.page_x.size(), 255);
      blend(tile, looked, shade, light);
    }
  }
}

}  // namespace app
