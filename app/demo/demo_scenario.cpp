#include "app/demo/demo_scenario.h"

#include <cmath>
#include <string>
#include <utility>

#include "app/jobs/job_store.h"
#include "app/machine/machine_store.h"
#include "calib/atomic_write.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr const char* kHoop = "demo 130 x 180";
constexpr const char* kMachine = "Demo machine";
constexpr const char* kDrawing = "demo-leaf.svg";
constexpr int kFirstTicket = 510;

// A leaf with its vein and a dot, drawn for this purpose; 76 x 58 mm.
constexpr const char* kLeaf =
    R"(<svg xmlns="http://www.w3.org/2000/svg" width="76mm" height="58mm" viewBox="0 0 76 58">
  <title>Demo leaf</title>
  <path d="M2 54 C6 20 34 2 72 4 C74 36 52 58 18 50 L6 56 Z"/>
  <circle cx="69" cy="52" r="5"/>
</svg>
)";

vision::Pose2 pose(double x_mm, double y_mm, double turn_deg) { return {{x_mm, y_mm}, turn_deg * vision::kRadPerDeg}; }

Cloth cloth(double albedo, std::uint32_t seed) {
  Cloth made;
  made.albedo = albedo;
  made.seed = seed;
  return made;
}

Job job(std::string name, std::string garment, std::string cloth_name, GarmentPlace place, int pieces) {
  Job made;
  made.name = std::move(name);
  made.garment = std::move(garment);
  made.cloth = std::move(cloth_name);
  made.place = std::move(place);
  made.hoop = kHoop;
  made.machine = kMachine;
  made.pieces = pieces;
  return made;
}

DemoPiece polo() {
  DemoPiece piece{"polo", job("Demo polo, two stickers", "polo, adult", "knit", {"left chest", 200.0, 120.0}, 24), {}};
  piece.job.design_file = kDrawing;
  piece.job.placed_stickers = {{20, {-30.0, 0.0}, 0.0}, {21, {30.0, 0.0}, 0.0}};
  piece.job.note = "Sticker 20 left, 21 right, both arrows to the collar.";
  piece.script.hoop_from_design = pose(2.1, -1.4, -3.4);
  for (const PlacedSticker& sticker : piece.job.placed_stickers)
    piece.script.on_design.push_back({sticker.number, {sticker.at_mm, 0.0}, 0.0, {}});
  // Drawn out by 1.4 % across while the ring was pressed: more than a knit should be.
  piece.script.pressed_from_flat = {1.014, 0.0, 0.0, 1.0};
  piece.script.cloth = cloth(0.16, 5);
  return piece;
}

DemoPiece towel() {
  DemoPiece piece{
      "towel", job("Demo towel, by its fold", "hand towel", "towel", {"above the border", 40.0, {}}, 12), {}};
  piece.job.design_mm = cv::Size2d(60.0, 30.0);
  piece.job.note = "Fold at the place, lay the fold along the middle of the ring, then open the towel.";
  piece.script.cloth = cloth(0.62, 6);  // the stabilizer in the ring
  piece.script.hoop_from_fold = pose(-3.0, -2.2, 1.6);
  return piece;
}

DemoPiece apron() {
  DemoPiece piece{"apron", job("Demo apron, hooped askew", "apron", "stable woven", {"bib", 90.0, 0.0}, 40), {}};
  piece.job.design_file = kDrawing;
  piece.script.hoop_from_design = pose(-6.5, 9.0, 11.6);
  piece.script.on_design = {{30, {}, 0.0, {}}};
  piece.job.stickers = {30};
  piece.job.tolerance = {12.0, 15.0};  // the machine turns it straight
  piece.script.cloth = cloth(0.34, 7);
  piece.script.cloth.pattern = ClothPattern::stripes;
  return piece;
}

DemoPiece napkin() {
  DemoPiece piece{"napkin", job("Demo napkin, diagonal", "napkin", "stable woven", {"corner", 65.0, 0.0}, 60), {}};
  piece.job.design_mm = cv::Size2d(40.0, 40.0);
  piece.job.stickers = {40};
  piece.job.tolerance = {6.0, 50.0};
  piece.script.hoop_from_design = pose(1.2, 0.8, 44.2);
  piece.script.on_design = {{40, {}, 0.0, {}}};
  piece.script.cloth = cloth(0.5, 8);
  piece.script.cloth.size_mm = {210.0, 210.0};  // leaves the ticket free, turned as it is
  return piece;
}

DemoPiece banner() {
  DemoPiece piece{"banner", job("Demo banner, does not fit", "apron", "stable woven", {"bib", 100.0, 0.0}, 1), {}};
  piece.job.design_mm = cv::Size2d(118.0, 170.0);
  piece.job.stickers = {50};
  piece.job.tolerance = {12.0, 15.0};
  piece.script.hoop_from_design = pose(5.2, -3.6, 4.8);
  piece.script.on_design = {{50, {}, 0.0, {}}};
  piece.script.cloth = cloth(0.22, 9);
  return piece;
}

}  // namespace

const std::vector<DemoPiece>& demo_scenario() {
  static const std::vector<DemoPiece> pieces = [] {
    std::vector<DemoPiece> made{polo(), towel(), apron(), napkin(), banner()};
    int ticket = kFirstTicket;
    for (DemoPiece& piece : made) piece.job.ticket = ticket++;
    return made;
  }();
  return pieces;
}

Machine demo_machine() {
  Machine machine;
  machine.name = kMachine;
  machine.note = "Invented, for the demonstration.";
  return machine;
}

void furnish_demo(const fs::path& station_file) {
  const JobStore jobs(job_folder(station_file));
  const fs::path drawing = jobs.folder() / kDrawing;
  fs::create_directories(jobs.folder());
  if (!fs::exists(drawing)) calib::write_atomically(drawing, kLeaf);
  for (const DemoPiece& piece : demo_scenario())
    if (!jobs.find(piece.job.name)) jobs.save(piece.job);
  const MachineStore machines(machine_folder(station_file));
  if (!machines.find(kMachine)) machines.save(demo_machine());
}

void play_demo(WorkCycle& work) {
  std::vector<PieceScript> scripts;
  for (const DemoPiece& piece : demo_scenario()) {
    scripts.push_back(piece.script);
    scripts.back().card = piece.job.ticket;
  }
  work.follow(std::move(scripts));
}

}  // namespace app
