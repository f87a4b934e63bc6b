#include "app/desk/demo_pieces.h"

#include "app/format.h"
#include "app/jobs/job.h"
#include "app/records/utc_time.h"

namespace app {
namespace {

constexpr int kDays = 70, kPiecesADay = 12;
constexpr std::time_t kDay_s = 86400;
constexpr std::uint64_t kSeed = 23;

struct PastJob {
  const char* job;
  const char* hoop;
  const char* garment;
  const char* cloth;
};
constexpr PastJob kJobs[] = {{"Demo club polos", "demo 130 x 180", "polo, adult", "knit"},
                             {"Demo team caps", "demo 110 x 110", "cap", "stable woven"},
                             {"Demo hotel towels", "demo round 160", "bath towel", "towel"}};

void add_seconds(PieceRecord& record, Random& random) {
  HoopedPiece& piece = record.piece;
  piece.phase_s[static_cast<int>(Phase::set_hoop)] = 4.0 + 2.0 * random.unit();
  piece.phase_s[static_cast<int>(Phase::lay_cloth)] = 22.0 + 9.0 * random.unit();
  piece.phase_s[static_cast<int>(Phase::press)] = 6.0 + 3.0 * random.unit();
  piece.phase_s[static_cast<int>(Phase::enter)] = 9.0 + 4.0 * random.unit();
  piece.phase_s[static_cast<int>(Phase::lift)] = 2.0 + random.unit();
}

// Of the bell curve of these means and spreads.
PieceRecord piece_off(int number, std::time_t time, cv::Point2d mean_mm, double sd_mm, Random& random) {
  PieceRecord record;
  record.time_utc = utc_text(time);
  record.tolerance_mm = Tolerance{}.offset_mm;
  record.tolerance_deg = Tolerance{}.rotation_deg;
  record.source = "invented";
  record.piece.number = number;
  record.piece.reading.offset_x_mm = mean_mm.x + sd_mm * random.normal();
  record.piece.reading.offset_y_mm = mean_mm.y + sd_mm * random.normal();
  record.piece.reading.rotation_deg = 0.4 * random.normal();
  record.piece.reading.u_offset_mm = 0.05;
  record.piece.reading.u_rotation_deg = 0.03;
  record.piece.readings = 9;
  record.piece.taken = true;
  return record;
}

PieceRecord past_piece(int number, int day, std::time_t time, Random& random) {
  const PastJob& job = kJobs[(day / 2 + number / 4) % 3];
  const bool first = number % 2 == 0;
  const double learned = static_cast<double>(day) / kDays;  // 0 to 1
  cv::Point2d mean_mm = first ? cv::Point2d(0.3, -0.2) : cv::Point2d(0.9, 0.1);
  if (first && &job == &kJobs[1]) mean_mm.y = -1.9;
  PieceRecord record = piece_off(number, time, mean_mm, first ? 2.1 - 1.0 * learned : 1.3, random);
  record.id = format("demo-%05d", number);
  record.operator_name = first ? "Operator A" : "Operator B";
  record.job = job.job;
  record.hoop = job.hoop;
  record.garment = job.garment;
  record.cloth = job.cloth;
  record.garment_number = 1 + number % 40;
  record.entered.machine = "Demo machine A";
  record.entered.rotation = -record.piece.reading.rotation_deg;
  record.entered.jog_right_mm = -record.piece.reading.offset_x_mm;
  record.entered.jog_up_mm = -record.piece.reading.offset_y_mm;
  record.entered.left_over_mm = 0.1;
  record.entered.fit_gap_mm = 6.5 + random.normal();
  record.piece.sticker = number % 100;
  record.piece.tries = random.chance(0.15) ? 2 : 1;
  add_seconds(record, random);
  return record;
}

bool is_workday(std::time_t time) {
  std::tm here{};
  ::localtime_r(&time, &here);
  return here.tm_wday != 0 && here.tm_wday != 6;
}

}  // namespace

PieceRecord demo_piece(int number, std::time_t time, Random& random) {
  PieceRecord record = piece_off(number, time, {0.4, -0.6}, 1.5, random);
  record.operator_name = number % 3 == 0 ? "Operator B" : "Operator A";
  record.job = "Demo shirts, left chest";
  record.hoop = "demo 130 x 180";
  record.garment = "polo, adult";
  record.cloth = "knit";
  record.piece.sticker = 50 + number % 30;
  add_seconds(record, random);
  return record;
}

std::vector<PieceRecord> demo_past(std::time_t now) {
  Random random(kSeed);
  std::vector<PieceRecord> all;
  for (int day = 0; day < kDays; ++day) {
    const std::time_t began = now - (kDays - day) * kDay_s;
    if (!is_workday(began)) continue;
    for (int i = 0; i < kPiecesADay; ++i)
      all.push_back(past_piece(static_cast<int>(all.size()) + 1, day, began + i * 140, random));
  }
  return all;
}

}  // namespace app
