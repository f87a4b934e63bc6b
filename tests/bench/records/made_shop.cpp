#include "tests/bench/records/made_shop.h"

#include <array>
#include <cmath>

#include "app/format.h"
#include "app/records/utc_time.h"

namespace bench {
namespace {

constexpr std::array kPeople{"Ada", "Bo", "Cy", "Di"};
constexpr std::array kHoops{"100 x 100", "130 x 180", "150 x 240", "200 x 200", "120 round"};
constexpr std::array kGarments{"polo, adult", "apron", "hand towel", "napkin"};
constexpr std::array kCloths{"knit", "stable woven", "towel", "stable woven"};
constexpr std::array kMachines{"by the wall", "by the door"};

template <std::size_t N>
const char* one_of(const std::array<const char*, N>& names, std::uint64_t which) {
  return names[which % N];
}

}  // namespace

app::PieceRecord MadeShop::next() {
  const std::uint64_t roll = random_();
  const auto who = roll % kPeople.size(), hoop = (roll >> 8) % kHoops.size(), garment = (roll >> 16) % kGarments.size();
  app::PieceRecord one;
  time_s_ += between_s_ * (0.5 + static_cast<double>((roll >> 24) % 1000) / 1000.0);
  one.id = app::format("%012llx-%08d", 1000ULL * static_cast<unsigned long long>(time_s_),
                       ++number_);  // by time, as real ones
  one.time_utc = app::utc_text(time_s());
  one.operator_name = kPeople[who];
  one.job = app::format("Order %d", number_ / 40 + 1);
  one.hoop = kHoops[hoop];
  one.garment = kGarments[garment];
  one.cloth = kCloths[garment];
  one.garment_number = number_ % 40 + 1;
  one.tolerance_mm = 3.0;
  one.tolerance_deg = 1.0;
  one.source = "made up";
  one.station = one_of(kMachines, roll >> 40) == kMachines[0] ? "front" : "back";
  app::HoopedPiece& piece = one.piece;
  piece.number = number_;
  piece.sticker = static_cast<int>((roll >> 32) % 100);
  const double spread = 0.6 + 0.15 * static_cast<double>(who);
  piece.reading.offset_x_mm = 0.2 * static_cast<double>(who) + spread * normal();
  piece.reading.offset_y_mm = (hoop == 0 ? -0.8 : 0.0) + spread * normal();
  piece.reading.rotation_deg = 0.35 * normal();
  piece.reading.u_offset_mm = 0.05;
  piece.reading.u_rotation_deg = 0.03;
  piece.board_from_hoop = {{normal(), normal()}, 0.01 * normal()};
  piece.readings = 20;
  piece.tries = (roll >> 48) % 8 == 0 ? 2 : 1;
  piece.taken = true;
  for (double& phase_s : piece.phase_s) phase_s = 4.0 + 10.0 * std::abs(normal());
  one.entered = {one_of(kMachines, roll >> 40), std::round(piece.reading.rotation_deg), 0.1, -0.2, 0.1, 0.05, 6.0};
  return one;
}

}  // namespace bench
