#include "app/render/scene_key.h"

#include <cstdint>

#include "app/render/light_map.h"

namespace app {
namespace {

void add(SceneKey& key, std::initializer_list<double> values) {
  for (const double value : values) key.push_back(value);
}
void add(SceneKey& key, const vision::Pose2& pose) { add(key, {pose.origin_mm.x, pose.origin_mm.y, pose.angle_rad}); }
void add(SceneKey& key, const SceneKey& more) {
  for (const double value : more) key.push_back(value);
}

}  // namespace

SceneKey board_key(const Scene& scene) {
  SceneKey key;
  for (const double v : scene.camera_from_board.rotation.val) key.push_back(v);
  for (const double v : scene.camera_from_board.translation_mm.val) key.push_back(v);
  add(key, {static_cast<double>(scene.board.surface), scene.board.albedo, scene.board.size_mm.width,
            scene.board.size_mm.height, scene.board.table_albedo});
  return key;
}

SceneKey cloth_texture_key(const Cloth& cloth) {
  return {static_cast<double>(cloth.pattern),
          cloth.albedo,
          cloth.second_albedo,
          cloth.pitch_mm,
          cloth.weave,
          cloth.wrinkles,
          cloth.size_mm.width,
          cloth.size_mm.height,
          static_cast<double>(cloth.seed),
          cloth.loops,
          cloth.cross_pitch_mm,
          cloth.hem ? 1.0 : 0.0};
}

static void add_lines(SceneKey& key, const Cloth& cloth) {
  key.push_back(static_cast<double>(cloth.lines.size()));
  for (const ClothLine& line : cloth.lines) {
    add(key, line.cloth_from_line);
    add(key, {static_cast<double>(line.kind), line.length_mm, line.width_mm, line.strength, line.step, line.albedo,
              line.stitch_mm, line.gap_mm, line.bow_mm});
  }
}

SceneKey light_map_key(const Scene& scene) {
  SceneKey key;
  add(key, {static_cast<double>(scene.ring.state), lamp_azimuth_in_hoop_deg(scene), scene.ring.rim_height_mm,
            scene.cloth ? scene.cloth_height_mm : 0.0, scene.light.elevation_deg, scene.light.ambient,
            scene.light.size_deg});
  return key;
}

SceneKey still_key(const Scene& scene) {
  SceneKey key = board_key(scene);
  add(key, light_map_key(scene));
  add(key, {scene.cloth ? 1.0 : 0.0});
  if (scene.cloth) {
    add(key, cloth_texture_key(*scene.cloth));
    add(key, scene.cloth->board_from_cloth);
    add_lines(key, *scene.cloth);
  }
  add(key, {scene.laid ? 1.0 : 0.0, scene.laid_height_mm});
  if (scene.laid) {
    add(key, cloth_texture_key(*scene.laid));
    add(key, scene.laid->board_from_cloth);
    add_lines(key, *scene.laid);
  }
  add(key, scene.ring.board_from_hoop);
  add(key, {scene.light.azimuth_deg});
  add(key, {scene.ring.albedo, scene.ring.gloss, scene.ring.translucency, scene.ring.edge_radius_mm});
  add(key, {static_cast<double>(scene.stickers.size()), static_cast<double>(scene.tapes.size()),
            static_cast<double>(scene.pages.size())});
  for (const StickerPlace& sticker : scene.stickers) {
    add(key, sticker.board_from_sticker);
    add(key, sticker.print_from_paper);
    add(key, {static_cast<double>(sticker.number), sticker.curl_mm});
  }
  for (const Tape& tape : scene.tapes) {
    add(key, tape.board_from_tape);
    add(key, {tape.size_mm.width, tape.size_mm.height, tape.height_mm, tape.albedo});
  }
  for (const ScenePage& page : scene.pages) {
    // The renderer holds on to the pages that it has drawn, so no other page can have come to the same address.
    add(key, {static_cast<double>(reinterpret_cast<std::uintptr_t>(page.page.get()))});
    for (const double v : page.place.rotation.val) key.push_back(v);
    for (const double v : page.place.origin_mm.val) key.push_back(v);
    add(key, {page.cut_mm.x, page.cut_mm.y, page.cut_mm.width, page.cut_mm.height});
  }
  add(key, {scene.optics.blur_sigma_px, scene.optics.motion_px.x, scene.optics.motion_px.y});
  return key;
}

}  // namespace app
