#include "app/commands/screens.h"

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <exception>
#include <functional>
#include <memory>
#include <ostream>
#include <string>
#include <thread>
#include <vector>

#include "app/commands/render_setup.h"
#include "app/desk/demo_shop.h"
#include "app/format.h"
#include "app/guide/guide_view.h"
#include "app/render/demo_station.h"
#include "app/render/line_scene.h"
#include "app/screen/screen.h"
#include "app/views/page_view.h"
#include "app/views/records/records_view.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kFailed = 1;
constexpr int kUsage = 2;
const std::array<cv::Size, 4> kSizes{{{1024, 600}, {1280, 800}, {1920, 1080}, {800, 1280}}};
const std::string kFirstEntry = "the first of the list";  // in place of a label
const std::string kFirstUnnamed;                          // a card or line with the view's own drawing on it
constexpr std::array<const char*, kPhaseCount> kPhaseNames{"work-set-hoop", "work-lay-cloth", "work-press",
                                                           "work-enter", "work-lift"};

// A screen of one size in memory, with views of its own.
struct Stand {
  explicit Stand(cv::Size wanted) : size(wanted), window(Window::in_memory(wanted)), screen(*window) {}
  cv::Size size;
  std::unique_ptr<Window> window;
  Screen screen;
  Views views = make_views();
};

class Album {
 public:
  Album(const ScreensOptions& options, std::ostream& out) : options_(options), out_(out), shop_(options.language) {
    for (const cv::Size& size : kSizes) stands_.push_back(std::make_unique<Stand>(size));
  }

  // Those that could not be shown.
  std::vector<std::string> take_all() {
    if (wanted("guide")) take_guide();
    const auto wanted_phase = [this](const char* name) { return wanted(name); };
    if (std::any_of(kPhaseNames.begin(), kPhaseNames.end(), wanted_phase)) take_work();
    take_straighten();
    take_pages();
    if (written_ == 0) throw std::invalid_argument("there is no view whose name begins with '" + options_.only + "'");
    return missing_;
  }

 private:
  Desk& desk() { return shop_.desk(); }
  bool wanted(const std::string& name) const { return name.rfind(options_.only, 0) == 0; }

  void write(const Stand& stand, const std::string& name) {
    const fs::path file = options_.out_dir / format("%s-%dx%d.png", name.c_str(), stand.size.width, stand.size.height);
    if (!options_.replace && fs::exists(file))
      throw calib::FileError(file.string() + ": is there already; name another folder, or add --replace");
    write_picture(*stand.window, file);
    ++written_;
  }

  void said(const std::string& name) { out_ << name << '\n' << std::flush; }

  void take_guide() {
    GuideView guide(stage_states(desk().station_file()), "station.toml");
    for (auto& stand : stands_) {
      guide.draw(stand->screen.canvas, stand->screen.text, stand->screen.size());
      write(*stand, "guide");
    }
    said("guide");
  }

  void take_view(ViewId id, const std::string& name) {
    for (auto& stand : stands_) {
      draw(*stand, id);
      write(*stand, name);
    }
    desk().picture_drawn();
    said(name);
  }

  void draw(Stand& stand, ViewId id) {
    stand.views[static_cast<std::size_t>(id)]->draw(stand.screen.canvas, stand.screen.text, stand.screen.size(), desk(),
                                                    desk().work().seen() ? now_s_ : 0.0);
  }

  // A view that reads on a thread of its own is drawn until it shows what it read.
  void draw_settled(Stand& stand, ViewId id) {
    draw(stand, id);
    const auto* records = dynamic_cast<const RecordsView*>(stand.views[static_cast<std::size_t>(id)].get());
    const auto give_up = std::chrono::steady_clock::now() + std::chrono::seconds(10);
    while (records != nullptr && records->reading() && std::chrono::steady_clock::now() < give_up) {
      std::this_thread::sleep_for(std::chrono::milliseconds(5));
      draw(stand, id);
    }
  }

  // Each phase once, as soon as it shows what it is for.
  void take_work() {
    std::array<bool, kPhaseCount> taken{};
    int in_phase = 0;
    Phase last = Phase::lift;
    const int frames = static_cast<int>(1.2 * WorkCycle::seconds_per_piece() / DemoShop::kFrame_s);
    for (int i = 0; i < frames && !std::all_of(taken.begin(), taken.end(), [](bool t) { return t; }); ++i) {
      shop_.next_frame();
      now_s_ += DemoShop::kFrame_s;
      const Phase phase = desk().work().cycle().phase();
      in_phase = phase == last ? in_phase + 1 : 0;
      last = phase;
      const auto at = static_cast<std::size_t>(phase);
      if (taken[at] || !worth_showing(phase, in_phase)) continue;
      taken[at] = true;
      if (wanted(kPhaseNames[at])) take_view(ViewId::work, kPhaseNames[at]);
    }
    for (std::size_t p = 0; p < taken.size(); ++p)
      if (!taken[p]) missing_.emplace_back(kPhaseNames[p]);
  }

  // The cloth is in its last steps: numbers as an operator sees them most of the time.
  static bool nearly_there(const vision::Reading& reading) {
    constexpr double kNear_mm = 9.0;
    return std::hypot(reading.offset_x_mm, reading.offset_y_mm) < kNear_mm;
  }
  bool worth_showing(Phase phase, int frames_in_phase) {
    const Work& work = desk().work();
    constexpr int kSomeFrames = 5;
    switch (phase) {
      case Phase::set_hoop:
        return work.seen() && work.seen()->board_from_hoop && frames_in_phase >= kSomeFrames;
      case Phase::lay_cloth:
        return work.shown() && frames_in_phase >= kSomeFrames && nearly_there(work.shown()->reading);
      case Phase::press:
        return work.shown().has_value() && frames_in_phase >= kSomeFrames;
      case Phase::enter:
        return frames_in_phase >= kSomeFrames;
      case Phase::lift:
        return frames_in_phase >= kSomeFrames;
    }
    return false;
  }

  // Cloths of the first demo hoop, with what is to be seen of them.
  void take_straighten() {
    take_cloth("straighten", LineSceneKind::laid_fold, 7, {});
    take_cloth("straighten-weave", LineSceneKind::plaid, 1, {tr("Weave")});
    take_cloth("straighten-none", LineSceneKind::towel, 3, {tr("Fold or seam")});
    take_cloth("straighten-ruler", LineSceneKind::crease, 4, {tr("Ruler")});
  }

  void take_cloth(const std::string& name, LineSceneKind kind, std::uint64_t seed,
                  const std::vector<std::string>& labels) {
    if (!wanted(name)) return;
    constexpr int kSomeFrames = 3;
    const ViewId id = ViewId::straighten;
    desk().open(id);
    const Scene scene = line_scene({demo_hoops().front()}, seed, kind).scene;
    // Before cloth covers it, the hoop is seen.
    Scene bare = scene;
    bare.laid.reset();
    shop_.see(bare, 2 * kSomeFrames);
    for (auto& stand : stands_) {
      StationView& view = *stand->views[static_cast<std::size_t>(id)];
      view.entered(desk());
      draw(*stand, id);
      for (const std::string& label : labels)
        if (!press(view, label)) missing_.push_back(name + ": " + label);
      for (int i = 0; i < kSomeFrames; ++i) {
        shop_.see(scene, 1);
        draw(*stand, id);
      }
      if (kind == LineSceneKind::crease) {  // the ruler's two points
        for (const SDL_FPoint at : {SDL_FPoint{0.2F, 0.5F}, SDL_FPoint{0.4F, 0.45F}}) {
          const SDL_FPoint on_screen{at.x * static_cast<float>(stand->size.width),
                                     at.y * static_cast<float>(stand->size.height)};
          view.handle(pointer_event(InputEvent::Kind::pointer_down, on_screen), desk());
          view.handle(pointer_event(InputEvent::Kind::pointer_up, on_screen), desk());
        }
        shop_.see(scene, 1);
        draw(*stand, id);
      }
      write(*stand, name);
    }
    desk().back();
    said(name);
  }

  void take_pages() {
    take_page(ViewId::menu, "menu");
    take_page(ViewId::menu, "menu-end", {tr("End")});
    take_page(ViewId::operators, "operators");
    take_page(ViewId::operators, "operators-add", {tr("Add"), "A", "d", "a"});
    take_page(ViewId::operators, "operators-badge", {tr("Badge")});
    take_page(ViewId::operators, "operators-remove", {tr("Remove")});
    take_page(ViewId::operators, "operators-records", {tr("In the records")});
    take_page(ViewId::operators, "operators-anonymise", {tr("In the records"), tr("Anonymise")});
    take_page(ViewId::jobs, "jobs");
    take_job();
    take_page(ViewId::hoops, "hoops");
    take_page(ViewId::machines, "machines");
    take_page(ViewId::machines, "machines-question", {tr("New"), "A", tr("Go on"), tr("Next")});
    take_page(ViewId::machines, "machines-answers", {tr("Change")});
    take_records();
    take_inspection();
    take_page(ViewId::service, "service");
    take_page(ViewId::settings, "settings");
  }

  void take_job() {
    desk().open_job(desk().settings().job_name);
    take_page(ViewId::job, "job");
    take_page(ViewId::job, "job-cloth", {tr("Cloth")});
    take_page(ViewId::job, "job-measured", {tr("Measured")});
    desk().open(ViewId::work);
  }

  void take_records() {
    const ViewId id = ViewId::records;
    take_page(id, "records");
    take_page(id, "records-weeks", {tr("Weeks")});
    take_page(id, "records-weeks-low", {tr("Weeks"), tr("Low, high")});
    take_page(id, "records-hints", {tr("Hints")});
    take_page(id, "records-evidence", {tr("Hints"), kFirstUnnamed});
    take_page(id, "records-pieces", {tr("Pieces")});
    take_page(id, "records-piece", {tr("Hints"), kFirstUnnamed, kFirstUnnamed});
    take_page(id, "records-shown", {tr("What is shown")});
    take_page(id, "records-whose", {tr("What is shown"), tr("Whose pieces")});
    take_page(id, "records-everyone", {tr("What is shown"), tr("Whose pieces"), tr("Everyone")});
    take_page(id, "records-about", {tr("What it tells")});
  }

  void take_inspection() {
    take_page(ViewId::inspect, "inspect");
    take_page(ViewId::inspect, "inspect-camera", {kFirstEntry});
    take_page(ViewId::inspect, "inspect-ruler", {kFirstEntry, tr("By ruler"), "+0.1", "+1"});
    take_page(ViewId::inspect, "inspect-finish", {kFirstEntry, tr("By ruler"), tr("Good")});
  }

  // With the buttons of these labels pressed one after another.
  void take_page(ViewId id, const std::string& name, const std::vector<std::string>& labels = {}) {
    if (!wanted(name)) return;
    for (auto& stand : stands_) {
      StationView& view = *stand->views[static_cast<std::size_t>(id)];
      view.entered(desk());
      draw_settled(*stand, id);
      for (const std::string& label : labels) {
        if (!press(view, label)) missing_.push_back(name + ": " + label);
        draw_settled(*stand, id);
      }
      write(*stand, name);
    }
    said(name);
  }

  bool press(StationView& view, const std::string& label) {
    const auto* page = dynamic_cast<const PageView*>(&view);
    if (page == nullptr) return false;
    for (const Button& button : page->buttons()) {
      if ((button.label != label && label != kFirstEntry) || !button.enabled) continue;
      const SDL_FPoint middle{button.area.x + button.area.w / 2.0F, button.area.y + button.area.h / 2.0F};
      view.handle(pointer_event(InputEvent::Kind::pointer_down, middle), desk());
      view.handle(pointer_event(InputEvent::Kind::pointer_up, middle), desk());
      return true;
    }
    return false;
  }

  const ScreensOptions& options_;
  std::ostream& out_;
  DemoShop shop_;
  std::vector<std::unique_ptr<Stand>> stands_;
  std::vector<std::string> missing_;
  double now_s_ = 0.0;
  int written_ = 0;
};

void check_language(const std::string& code) {
  if (code.empty()) return;
  std::string known;
  for (const Language& one : languages()) {
    if (one.code == code) return;
    known += (known.empty() ? "" : ", ") + one.code;
  }
  throw std::invalid_argument("there is no language '" + code + "'; write one of " + known);
}

}  // namespace

int run_screens(const ScreensOptions& options, std::ostream& out, std::ostream& err) {
  try {
    check_language(options.language);
    make_render_folder(options.out_dir);
    const std::vector<std::string> missing = Album(options, out).take_all();
    for (const std::string& name : missing) err << "hoopgauge: could not be shown: " << name << '\n';
    return missing.empty() ? 0 : kFailed;
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const std::invalid_argument& error) {
    err << "hoopgauge: " << error.what() << '\n';
  }
  return kUsage;
}

}  // namespace app
