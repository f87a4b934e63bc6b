// One view of the station: what the whole screen shows, and what a person can do there.
#pragma once

#include <array>
#include <memory>
#include <opencv2/core.hpp>

#include "app/desk/desk.h"
#include "app/screen/canvas.h"
#include "app/screen/input.h"
#include "app/screen/text.h"

namespace app {

class StationView {
 public:
  virtual ~StationView() = default;
  // Touch, mouse and keys; Escape and q (back, or the end from the work view) and the pedal are the shell's. While a
  // view wants text, the shell leaves q and the pedal's key to it.
  virtual void handle(const InputEvent& event, Desk& desk) = 0;
  virtual bool wants_text() const { return false; }
  // Every key but Escape is the view's, the pedal's among them: one is being learned.
  virtual bool wants_keys() const { return false; }
  // Escape, q: closes what is open within the view (a question, a keyboard). False: there was nothing, and the desk
  // goes back.
  virtual bool go_back(Desk&) { return false; }
  // The whole screen. `now_s`: the shell's clock, for what changes by time alone.
  virtual void draw(Canvas& canvas, Text& text, cv::Size screen, const Desk& desk, double now_s) = 0;
  // The person came here just now.
  virtual void entered(Desk&) {}
  // The graphics driver lost all textures.
  virtual void textures_lost() {}
};

// In the order of ViewId.
using Views = std::array<std::unique_ptr<StationView>, kViewCount>;
Views make_views();

std::unique_ptr<StationView> make_work_view();
std::unique_ptr<StationView> make_menu_view();
std::unique_ptr<StationView> make_operators_view();
std::unique_ptr<StationView> make_jobs_view();
std::unique_ptr<StationView> make_hoops_view();
std::unique_ptr<StationView> make_records_view();
std::unique_ptr<StationView> make_service_view();
std::unique_ptr<StationView> make_settings_view();
std::unique_ptr<StationView> make_job_view();
std::unique_ptr<StationView> make_machines_view();
std::unique_ptr<StationView> make_straighten_view();
std::unique_ptr<StationView> make_resume_view();
std::unique_ptr<StationView> make_inspect_view();

}  // namespace app
