#include "app/render/renderer.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <stdexcept>

#include "app/render/cloth_lines.h"
#include "app/render/flat_layer.h"
#include "app/render/hand_layer.h"
#include "app/render/light_map.h"
#include "app/render/page_layer.h"
#include "app/render/ray_field.h"
#include "app/render/ring_layer.h"
#include "app/render/ring_solid.h"
#include "app/render/scene_key.h"
#include "app/render/sensor.h"
#include "app/render/shading.h"
#include "app/render/textures.h"

namespace app {
namespace {

const vision::Station& checked(const vision::Station& station) {
  const vision::Lens& lens = station.lens;
  if (lens.width_px < 16 || lens.height_px < 16 || !(lens.fx > 0.0) || !(lens.fy > 0.0))
    throw std::invalid_argument("the lens needs a picture size of 16 pixels or more and positive focal lengths");
  return station;
}

// A smear of the picture along a line, as one kernel.
cv::Mat1f smear_kernel(cv::Point2d motion_px) {
  const int reach = static_cast<int>(std::ceil(std::max(std::abs(motion_px.x), std::abs(motion_px.y)) / 2.0)) + 1;
  cv::Mat1f kernel(2 * reach + 1, 2 * reach + 1, 0.0F);
  constexpr int kSteps = 64;
  for (int i = 0; i < kSteps; ++i) {
    const double t = (i + 0.5) / kSteps - 0.5;
    const double x = reach + motion_px.x * t, y = reach + motion_px.y * t;
    const int left = static_cast<int>(x), top = static_cast<int>(y);
    const double fx = x - left, fy = y - top;
    kernel(top, left) += static_cast<float>((1 - fx) * (1 - fy) / kSteps);
    kernel(top, left + 1) += static_cast<float>(fx * (1 - fy) / kSteps);
    kernel(top + 1, left) += static_cast<float>((1 - fx) * fy / kSteps);
    kernel(top + 1, left + 1) += static_cast<float>(fx * fy / kSteps);
  }
  return kernel;
}

int blur_margin_px(const Optics& optics) {
  const double reach = 4.0 * optics.blur_sigma_px + std::abs(optics.motion_px.x) + std::abs(optics.motion_px.y);
  return static_cast<int>(std::ceil(reach)) + 2;
}

void blur(const cv::Mat1w& sharp, const Optics& optics, cv::Mat1w& blurred) {
  if (optics.blur_sigma_px > 0.05)
    cv::GaussianBlur(sharp, blurred, {}, optics.blur_sigma_px);
  else
    sharp.copyTo(blurred);
  if (std::hypot(optics.motion_px.x, optics.motion_px.y) > 0.05)
    cv::filter2D(blurred, blurred, -1, smear_kernel(optics.motion_px));
}

}  // namespace

struct Renderer::State {
  State(vision::Station s, vision::Hoop h)
      : station(std::move(s)), hoop(std::move(h)), rays(checked(station).lens), solid(hoop) {}

  void draw_board(const Scene& scene);
  void draw_still(const Scene& scene);
  void draw_north_mark(const Scene& scene);
  void draw_pages(const Scene& scene, bool lying);
  const cv::Mat1w& with_hand(const Scene& scene);

  vision::Station station;
  vision::Hoop hoop;
  RayField rays;
  RingSolid solid;
  SensorModel sensor;

  SceneKey board_for, cloth_for, laid_for, map_for, still_for;
  Texture cloth, laid;
  LightMap map;
  PageLayer page_layer;
  std::vector<ScenePage> pages_drawn;  // keeps them alive
  cv::Mat1w board, sharp, blurred, hand_picture;
  cv::Mat1b picture;
};

void Renderer::State::draw_board(const Scene& scene) {
  SceneKey key = board_key(scene);
  if (key == board_for) return;
  board_for.clear();
  rays.aim(scene.camera_from_board);
  board.create(rays.size());
  board.setTo(cv::Scalar(scene.board.table_albedo * static_cast<double>(kWhite)));
  draw_texture(rays, board_texture(scene.board), {}, 0.0, board);
  for (const vision::BoardMark& mark : station.board_marks)
    draw_tag(rays, mark.id, mark.size_mm, {{mark.x_mm, mark.y_mm}, mark.angle_deg * vision::kRadPerDeg}, 0.0, board);
  board_for = std::move(key);
}

void Renderer::State::draw_north_mark(const Scene& scene) {
  if (hoop.north_by != vision::NorthBy::mark) return;
  const cv::Point2d notch = hoop.notches[0].at_mm;
  const double length = std::max(std::hypot(notch.x, notch.y), 1.0);
  const double depth = signed_distance(hoop.outer_mm, notch);
  const cv::Point2d middle = notch * (1.0 + 0.5 * depth / length);
  draw_tag(rays, hoop.north_mark, 8.0, vision::compose(scene.ring.board_from_hoop, {middle, 0.0}),
           scene.ring.rim_height_mm, sharp);
}

void Renderer::State::draw_pages(const Scene& scene, bool lying) {
  for (const ScenePage& page : scene.pages)
    if (lies_on_board(page.place) == lying) page_layer.draw(rays, page, Shading(scene.light), sharp);
}

void Renderer::State::draw_still(const Scene& scene) {
  SceneKey key = still_key(scene);
  if (key == still_for) return;
  still_for.clear();
  draw_board(scene);
  board.copyTo(sharp);
  pages_drawn = scene.pages;
  draw_pages(scene, true);
  const double ground_mm = scene.cloth ? scene.cloth_height_mm : 0.0;
  if (scene.ring.state == RingState::under_cloth) {  // seen where the cloth doesn't reach
    Scene bare = scene;
    bare.ring.rim_height_mm -= scene.cloth_height_mm;
    draw_ring(rays, solid, bare, 0.0, sharp);
  }
  if (scene.cloth) {
    SceneKey texture_key = cloth_texture_key(*scene.cloth);
    if (texture_key != cloth_for) cloth = cloth_texture(*scene.cloth);
    cloth_for = std::move(texture_key);
    draw_texture(rays, cloth, scene.cloth->board_from_cloth, ground_mm, sharp);
    draw_cloth_lines(rays, *scene.cloth, ground_mm, sharp);
  }
  for (const StickerPlace& sticker : scene.stickers) draw_sticker(rays, sticker, ground_mm, station.print_scale, sharp);
  if (scene.ring.state != RingState::none) {
    SceneKey shadow_key = light_map_key(scene);
    if (shadow_key != map_for) map = light_map(solid, scene, ground_mm);
    map_for = std::move(shadow_key);
    apply_light_map(rays, map, scene, sharp);
  }
  if (scene.ring.state == RingState::pressed || scene.ring.state == RingState::assembled) {
    draw_ring(rays, solid, scene, ground_mm, sharp);
    draw_north_mark(scene);
  }
  if (scene.laid) {
    SceneKey texture_key = cloth_texture_key(*scene.laid);
    if (texture_key != laid_for) laid = cloth_texture(*scene.laid);
    laid_for = std::move(texture_key);
    draw_texture(rays, laid, scene.laid->board_from_cloth, scene.laid_height_mm, sharp);
    draw_cloth_lines(rays, *scene.laid, scene.laid_height_mm, sharp);
  }
  for (const Tape& tape : scene.tapes) draw_tape(rays, tape, sharp);
  draw_pages(scene, false);
  blur(sharp, scene.optics, blurred);
  still_for = std::move(key);
}

const cv::Mat1w& Renderer::State::with_hand(const Scene& scene) {
  const cv::Rect region = hand_region(rays, scene);
  if (region.empty()) return blurred;
  const int margin = blur_margin_px(scene.optics);
  const cv::Rect wide =
      cv::Rect(region.x - margin, region.y - margin, region.width + 2 * margin, region.height + 2 * margin) &
      cv::Rect({0, 0}, sharp.size());
  const cv::Rect wider = cv::Rect(wide.x - margin, wide.y - margin, wide.width + 2 * margin, wide.height + 2 * margin) &
                         cv::Rect({0, 0}, sharp.size());
  cv::Mat1w cut_out = sharp(wider).clone(), smooth;
  cv::Mat1w drawn = cut_out(region - wider.tl());
  draw_hand(rays, scene, region, drawn);
  blur(cut_out, scene.optics, smooth);
  blurred.copyTo(hand_picture);
  smooth(wide - wider.tl()).copyTo(hand_picture(wide));
  return hand_picture;
}

Renderer::Renderer(vision::Station station, vision::Hoop hoop)
    : state_(new State(std::move(station), std::move(hoop))) {}
Renderer::~Renderer() = default;
Renderer::Renderer(Renderer&&) noexcept = default;
Renderer& Renderer::operator=(Renderer&&) noexcept = default;

const cv::Mat1b& Renderer::render(const Scene& scene, std::uint64_t seed) {
  state_->draw_still(scene);
  const cv::Mat1w& light = scene.hand ? state_->with_hand(scene) : state_->blurred;
  state_->sensor.expose(light, state_->rays, scene, seed, state_->picture);
  return state_->picture;
}

const vision::Station& Renderer::station() const { return state_->station; }
const vision::Hoop& Renderer::hoop() const { return state_->hoop; }

void Renderer::set_hoop(vision::Hoop hoop) {
  state_->solid = RingSolid(hoop);
  state_->hoop = std::move(hoop);
  state_->map_for.clear();
  state_->still_for.clear();
}

}  // namespace app
