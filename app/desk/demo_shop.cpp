#include "app/desk/demo_shop.h"

#include <unistd.h>

#include <chrono>
#include <ctime>
#include <numeric>
#include <system_error>
#include <utility>

#include "app/desk/demo_pieces.h"
#include "app/hoops/hoop_store.h"
#include "app/places.h"
#include "app/records/piece_table.h"
#include "app/render/demo_station.h"
#include "calib/files.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr int kPieces = 34;
constexpr std::uint64_t kSeed = 11;

fs::path new_folder() {
  std::string name = (fs::temp_directory_path() / "hoopgauge-demo.XXXXXX").string();
  if (::mkdtemp(name.data()) == nullptr)
    throw calib::FileError(name + ": the folder for the demonstration cannot be made");
  return name;
}

Job job(std::string name, std::string hoop, std::vector<int> stickers, int pieces) {
  Job made;
  made.name = std::move(name);
  made.hoop = std::move(hoop);
  made.stickers = std::move(stickers);
  made.pieces = pieces;
  return made;
}

std::vector<int> numbers_from(int first, int count) {
  std::vector<int> numbers(static_cast<std::size_t>(count));
  std::iota(numbers.begin(), numbers.end(), first);
  return numbers;
}

// The rendered work shows stickers of 53 and on.
std::vector<Job> demo_jobs() {
  std::vector<Job> all{job("Demo aprons, pocket", "demo 130 x 180", {}, 40),
                       job("Demo caps, front", "demo 110 x 110", {3}, 12),
                       job("Demo shirts, left chest", "demo 130 x 180", numbers_from(50, 30), 60),
                       job("Demo towels, corner", "", {}, 0)};
  all[0].ticket = 500;
  all[1].tolerance = {1.5, 0.5};
  all[2].ticket = 501;
  all[2].design_mm = cv::Size2d(90.0, 70.0);
  all[2].garment = "polo, adult";
  all[2].cloth = "knit";
  all[2].place = {"left chest", 200.0, 120.0};
  all[2].note = "The pocket's edge is the line for the sticker.";
  return all;
}

// Invented.
std::vector<Machine> demo_machines() {
  Machine keys;
  keys.name = "Demo machine A";
  keys.jog_limit_mm = {20.0, 20.0};
  Machine typed;
  typed.name = "Demo machine B";
  typed.rotation_step_deg = 0.1;
  typed.sense = Machine::Sense::counter_clockwise;
  typed.range = Machine::Range::half_turns;
  typed.turn_keys_deg.clear();
  typed.moves = Machine::Moves::hoop;
  return {keys, typed};
}

// Before the desk opens the log: all in one go.
void keep_past(const fs::path& station_file) {
  std::vector<LogEntry> past;
  for (PieceRecord& one : demo_past(std::time(nullptr))) past.emplace_back(std::move(one));
  constexpr int kBusy_ms = 1000;
  SQLite::Database database = open_to_write(log_file(station_file), kBusy_ms);
  insert(database, past);
}

}  // namespace

DemoShop::DemoShop(const std::string& language) : folder_(new_folder()) {
  const vision::Station station = demo_station();
  const fs::path station_file = folder_ / "station.toml";
  try {
    calib::save_station(station, station_file);
    HoopStore hoops(hoop_folder(station_file));
    for (const vision::Hoop& hoop : demo_hoops()) hoops.save(hoop, false);
    const JobStore jobs(job_folder(station_file));
    for (const Job& one : demo_jobs()) jobs.save(one);
    const MachineStore machines(machine_folder(station_file));
    for (const Machine& one : demo_machines()) machines.save(one);
    Crew crew(crew_file(station_file));
    for (const auto& [name, badge] : {std::pair{"Operator A", 480}, {"Operator B", 481}, {"Operator C", 0}})
      crew.add({name, badge != 0 ? std::optional(badge) : std::nullopt});
    keep_past(station_file);
  } catch (...) {
    std::error_code ignored;
    fs::remove_all(folder_, ignored);
    throw;
  }
  const vision::Hoop hoop = demo_hoops().front();
  std::vector<vision::Hoop> others = demo_hoops();
  others.erase(others.begin());
  reader_ = std::make_shared<HoopReader>(station, hoop, std::move(others));
  desk_ = std::make_unique<Desk>(DeskParts{station, hoop, demo_hoops(), station_file, reader_});
  Settings settings = desk_->settings();
  settings.language = language;
  desk_->set(settings);
  furnish();
}

DemoShop::~DemoShop() {
  desk_.reset();
  std::error_code ignored;
  fs::remove_all(folder_, ignored);
}

void DemoShop::furnish() {
  desk_->choose_operator("Operator A");
  desk_->choose_machine("Demo machine A");
  desk_->choose_job("Demo shirts, left chest");
  Random random(kSeed);
  const std::time_t now = std::time(nullptr);
  for (int i = 0; i < kPieces; ++i) desk_->log().keep(demo_piece(i + 1, now - (kPieces - i) * 95, random));
  desk_->log().flush(5.0);
  desk_->health.source = "rendered station";
  desk_->take_sounds();
}

void DemoShop::next_frame() {
  if (!source_)
    source_ = std::make_unique<RenderedSource>(demo_station(), demo_hoops().front(), demo_camera_place(), 0.0, kSeed);
  read(*source_->next());
}

void DemoShop::see(const Scene& scene, int frames) {
  if (!renderer_) renderer_ = std::make_unique<Renderer>(demo_station(), demo_hoops().front());
  for (int i = 0; i < frames; ++i) {
    Frame frame;
    frame.time_s = scene_s_ += kFrame_s;
    frame.grey = renderer_->render(scene, kSeed + static_cast<std::uint64_t>(i)).clone();
    read(std::move(frame));
  }
}

void DemoShop::read(Frame frame) {
  Measured measured;
  measured.frame = std::move(frame);
  measured.arrived = Clock::now();
  measured.result = reader_->read(measured.frame.grey);
  measured.measuring_ms = std::chrono::duration<double, std::milli>(Clock::now() - measured.arrived).count();
  measured.other_hoop = reader_->other_hoop();
  measured.line = reader_->line();
  measuring_ms_ += ((++desk_->health.frames == 1 ? 1.0 : 0.1)) * (measured.measuring_ms - measuring_ms_);
  desk_->health.measuring_ms = measuring_ms_;
  desk_->see(std::move(measured));
}

}  // namespace app
