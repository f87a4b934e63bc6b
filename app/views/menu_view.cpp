// Where every other view is reached from.
#include <string>
#include <utility>
#include <vector>

#include "app/screen/notice.h"
#include "app/views/page_view.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id {
  kOperator,
  kJob,
  kHoops,
  kMachines,
  kStraighten,
  kResume,
  kInspect,
  kRecords,
  kSettings,
  kService,
  kGuide,
  kRendered,
  kEnd
};

bool would_be_lost(const Desk& desk) { return desk.work().cycle().held().has_value(); }

bool camera_lost(const Desk& desk) {
  return desk.health.live_camera && (!desk.health.trouble.empty() || desk.health.stale);
}

Button entry(int id, const char* label, std::string detail, SDL_Keycode key) {
  Button b = view_button(id, tr(label), key);
  b.row = true;
  b.detail = std::move(detail);
  return b;
}

std::string or_else(const std::string& name, const char* none) { return name.empty() ? tr(none) : name; }

class MenuView : public PageView {
 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Menu");
    h.right = tr(desk.health.source);
    h.headline = tr("What would you like to do?");
    return h;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    SDL_FRect area = sheet.layout.main;
    const Scale& scale = sheet.layout.scale;
    const Health& health = sheet.desk.health;
    const std::string said = tr(health.trouble.empty() ? health.notice : health.trouble);
    if (!said.empty()) {
      const SDL_FRect band{area.x, area.y, area.w, scale.mm(kNotice_mm)};
      draw_notice(sheet.canvas, sheet.text, scale, band, said);
      area.y += band.h + scale.mm(2.0);
      area.h -= band.h + scale.mm(2.0);
    }
    return list_.placed(entries(sheet.desk), area, scale,
                        {.columns = sheet.layout.landscape ? 4 : 2, .line_mm = sheet.layout.landscape ? 18.0 : 21.0});
  }

  void pressed(int id, Desk& desk) override {
    switch (id) {
      case kOperator:
        return desk.open(ViewId::operators);
      case kJob:
        return desk.open(ViewId::jobs);
      case kHoops:
        return desk.open(ViewId::hoops);
      case kMachines:
        return desk.open(ViewId::machines);
      case kStraighten:
        return desk.open(ViewId::straighten);
      case kResume:
        return desk.open(ViewId::resume);
      case kInspect:
        return desk.open(ViewId::inspect);
      case kRecords:
        return desk.open(ViewId::records);
      case kSettings:
        return desk.open(ViewId::settings);
      case kService:
        return desk.open(ViewId::service);
      case kGuide:
        return leave_asking(desk, Leave::guide, tr("Open the set-up guide?"), tr("Open the guide"));
      case kRendered:
        return leave_asking(desk, Leave::rendered, tr("Show the rendered station?"), tr("Show it"));
      case kEnd:
        return ask_end(desk);
      default:
        return;
    }
  }

 private:
  // By lines of four: who and with what, on this piece, the station.
  static std::vector<Button> entries(const Desk& desk) {
    const Settings& settings = desk.settings();
    std::vector<Button> all{
        entry(kOperator, noop("Operator"), or_else(settings.operator_name, noop("nobody chosen")), SDLK_1),
        entry(kJob, noop("Job"), or_else(settings.job_name, noop("none chosen")), SDLK_2),
        entry(kHoops, noop("Hoops"), desk.work().hoop().name, SDLK_3),
        entry(kMachines, noop("Machines"), desk.machine() ? desk.machine()->name : tr("none chosen"), SDLK_4),
        entry(kStraighten, noop("Lay straight"), tr("by a fold, hem or stripe"), SDLK_5),
        entry(kResume, noop("Go on stitching"), tr("where the cloth slipped out"), SDLK_6),
        entry(kInspect, noop("Inspect"), tr("what came of a piece"), SDLK_7),
        entry(kRecords, noop("Records"), tr("the last pieces"), SDLK_8),
        entry(kSettings, noop("Settings"), tr("units, language, sounds, pedal"), SDLK_s),
        entry(kService, noop("Service"), tr("camera, computer, versions"), SDLK_t),
        entry(kGuide, noop("Set-up guide"), tr("lens, board, hoops, proof"), SDLK_g),
        entry(kEnd, noop("End"), tr("ends the program"), SDLK_9)};
    if (camera_lost(desk))
      all.insert(all.end() - 1,
                 entry(kRendered, noop("Rendered station"), tr("to try things without the camera"), SDLK_0));
    return all;
  }

  void leave_asking(Desk& desk, Leave how, const char* question, const char* yes) {
    if (!would_be_lost(desk)) return desk.leave(how);
    ask({question, held_reading_lost(), yes, [how](Desk& d) { d.leave(how); }});
  }

  void ask_end(const Desk& desk) {
    ask({tr("End the program?"), would_be_lost(desk) ? held_reading_lost() : tr("What was recorded stays."), tr("End"),
         [](Desk& d) { d.leave(Leave::end); }});
  }
};

}  // namespace

std::unique_ptr<StationView> make_menu_view() { return std::make_unique<MenuView>(); }

}  // namespace app
