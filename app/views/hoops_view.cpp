// The taught hoops: which one is being looked for, and another chosen by hand.
#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include "app/fit/field.h"
#include "app/format.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id { kTeach = 1, kFirstHoop = 1000 };

constexpr double kPicture_mm = 17.0;

double reach_mm(const vision::Hoop& hoop) {
  double reach = 1.0;
  for (const cv::Point2d& p : hoop.outer_mm) reach = std::max({reach, std::abs(p.x), std::abs(p.y)});
  return reach;
}

// To scale: `px_per_mm` is the same for all hoops. The field within the ring; north has a triangle.
void draw_hoop(Canvas& canvas, const Scale& scale, SDL_FPoint middle, double px_per_mm, const vision::Hoop& hoop) {
  const auto at = [&](cv::Point2d p_in_hoop) {
    return SDL_FPoint{middle.x + static_cast<float>(px_per_mm * p_in_hoop.x),
                      middle.y - static_cast<float>(px_per_mm * p_in_hoop.y)};
  };
  const auto outline = [&](const std::vector<cv::Point2d>& points_mm, float width) {
    constexpr std::size_t kCorners = 90;
    std::vector<SDL_FPoint> points;
    const std::size_t step = std::max<std::size_t>(1, points_mm.size() / kCorners);
    for (std::size_t i = 0; i < points_mm.size(); i += step) points.push_back(at(points_mm[i]));
    if (points.size() > 2) canvas.polyline(points, true, width, theme::kRing);
  };
  const float line = scale.mm(0.35);
  outline(hoop.outer_mm, line);
  outline(hoop.inner_mm, line);
  std::vector<SDL_FPoint> field;
  for (const cv::Point2d& p : field_outline(field_of(hoop))) field.push_back(at(p));
  canvas.polyline(field, true, line, theme::kTextQuiet);
  const SDL_FPoint north = at(hoop.notches[0].at_mm);
  const float size = scale.mm(1.2);
  const std::vector<SDL_FPoint> sign{
      {north.x, north.y - size}, {north.x + size, north.y + size}, {north.x - size, north.y + size}};
  canvas.polygon(sign, theme::kText);
}

class HoopsView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    desk.look_again();
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Hoops: the one that is looked for");
    h.headline = desk.work().hoop().name;
    return h;
  }

  std::vector<Button> row(const Desk&) const override { return {view_button(kTeach, tr("Teach a hoop"))}; }

  std::vector<Button> draw_main(Sheet& sheet) override {
    shown_ = list_.placed(entries(sheet.desk, sheet.layout.scale), sheet.layout.main, sheet.layout.scale,
                          {.columns = sheet.layout.landscape ? 2 : 1, .line_mm = kPicture_mm + 3.0});
    return shown_;
  }

  void draw_over(Sheet& sheet) override {
    double reach = 1.0;
    for (const vision::Hoop& hoop : sheet.desk.hoops()) reach = std::max(reach, reach_mm(hoop));
    const float side = sheet.layout.scale.mm(kPicture_mm);
    const double px_per_mm = static_cast<double>(side) / 2.0 / reach;
    for (const Button& entry : shown_) {
      const auto index = static_cast<std::size_t>(entry.id - kFirstHoop);
      if (entry.picture_px <= 0.0F || index >= sheet.desk.hoops().size()) continue;
      const SDL_FPoint middle{entry.area.x + sheet.layout.scale.mm(2.0) + side / 2.0F,
                              entry.area.y + entry.area.h / 2.0F};
      draw_hoop(sheet.canvas, sheet.layout.scale, middle, px_per_mm, sheet.desk.hoops()[index]);
    }
  }

  void pressed(int id, Desk& desk) override {
    const bool held = desk.work().cycle().held().has_value();
    if (id == kTeach) {
      if (!held) return desk.leave(Leave::guide);
      return ask({tr("Open the set-up guide?"), held_reading_lost(), tr("Open the guide"),
                  [](Desk& d) { d.leave(Leave::guide); }});
    }
    const auto index = static_cast<std::size_t>(id - kFirstHoop);
    if (index >= desk.hoops().size()) return;
    const std::string name = desk.hoops()[index].name;
    if (!held || name == desk.work().hoop().name) return desk.choose_hoop(name);
    ask({tr("Look for another hoop now?"), held_reading_lost(), tr("Choose it"),
         [name](Desk& d) { d.choose_hoop(name); }});
  }

 private:
  static std::vector<Button> entries(const Desk& desk, const Scale& scale) {
    std::vector<Button> all;
    for (const vision::Hoop& hoop : desk.hoops()) {
      Button b = view_button(kFirstHoop + static_cast<int>(all.size()), hoop.name);
      if (all.size() < 9) b.key = SDLK_1 + static_cast<int>(all.size());
      b.picture_px = scale.mm(kPicture_mm + 1.0);
      b.detail = about(hoop, desk.settings().units);
      b.selected = hoop.name == desk.work().hoop().name;
      if (b.selected) b.note = tr("looked for");
      all.push_back(std::move(b));
    }
    for (const DamagedHoop& damaged : desk.damaged_hoops())
      all.push_back(damaged_entry(kFirstHoop + static_cast<int>(all.size()), damaged.file, damaged.message));
    return all;
  }

  static std::string about(const vision::Hoop& hoop, Units units) {
    const std::string rim = length_text(hoop.rim_height_mm, LengthKind::height, units);
    if (hoop.field_is_round && hoop.field_mm.width != hoop.field_mm.height)
      return format(tr("field %s, oval, rim %s high"),
                    size_text(hoop.field_mm.width, hoop.field_mm.height, units).c_str(), rim.c_str());
    if (hoop.field_is_round)
      return format(tr("field %s across, rim %s high"),
                    length_text(hoop.field_mm.width, LengthKind::field, units).c_str(), rim.c_str());
    return format(tr("field %s, rim %s high"), size_text(hoop.field_mm.width, hoop.field_mm.height, units).c_str(),
                  rim.c_str());
  }

  std::vector<Button> shown_;
};

}  // namespace

std::unique_ptr<StationView> make_hoops_view() { return std::make_unique<HoopsView>(); }

}  // namespace app
