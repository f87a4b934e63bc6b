// Guarantees: station and sheet come apart as they were put together, and the stated uncertainty covers.
// Example failure: the sheet's printing fault is counted as the station's, or its sign is turned with the sheet.
#include <stdexcept>

#include "calib/proof.h"
#include "tests/calib/simulated_proof.h"
#include "tests/catch.h"

namespace {

using calib::ProofVerdict;

simulated::Truth quiet() {
  simulated::Truth truth;
  truth.place = truth.laying = truth.sticker = truth.frame = 0.0;
  return truth;
}

calib::Proof proved(const simulated::Truth& truth, unsigned seed, int places = 5, int readings = 3) {
  simulated::Sheet sheet(truth, seed);
  return calib::prove(sheet.proof(places, readings), truth.scale, {}, {5, 20});
}

}  // namespace

TEST_CASE("one sticker by hand: a station that reads 0.1 mm to the right, a sheet printed 0.2 mm too high", "[proof]") {
  // Upright the reading is (+0.1, +0.2) off, turned by half a turn (-0.1, +0.2): right of the board is then the
  // sheet's left.
  calib::ProofReadings readings;
  for (const double angle_rad : {0.0, vision::kPi}) {
    calib::ProofFrame frame;
    frame.board_from_sheet = {{0.0, 0.0}, angle_rad};
    for (std::size_t s = 0; s < 5; ++s) {
      frame.sheet_from_sticker[s] = calib::proof_pose(calib::kProofStickers[s]);
      frame.sheet_from_sticker[s].origin_mm += cv::Point2d(angle_rad == 0.0 ? 0.1 : -0.1, 0.2);
    }
    REQUIRE(readings.add(frame));
  }
  const calib::Proof proof = calib::prove(readings, 1.0, {}, {});
  CHECK_THAT(proof.bias_x_mm.value, WithinAbs(0.1, 1e-12));
  CHECK_THAT(proof.bias_y_mm.value, WithinAbs(0.0, 1e-12));
  for (const calib::SheetError& sheet : proof.sheet) {
    CHECK_THAT(sheet.x_mm.value, WithinAbs(0.0, 1e-12));
    CHECK_THAT(sheet.y_mm.value, WithinAbs(0.2, 1e-12));
  }
  CHECK_THAT(proof.offset_mm.shared, WithinAbs(0.0, 1e-12));
  // One place says nothing about the others.
  CHECK(std::isnan(proof.bias_x_mm.expanded()));
  CHECK(proof.verdict == ProofVerdict::undecided);
}

TEST_CASE("without noise all parts come back as they were, at any angles near half a turn", "[proof]") {
  simulated::Truth truth = quiet();
  truth.scale = 0.97;
  // Nothing linear in it, so that none of it could be the station's: found by taking the linear part off.
  truth.sheet_mm = {{{0.03, 0.02}, {-0.01, 0.04}, {0.05, -0.06}, {0.0, 0.01}, {0.02, -0.03}}};
  std::array<cv::Point2d, 5> designed;
  for (std::size_t s = 0; s < 5; ++s) designed[s] = calib::proof_pose(calib::kProofStickers[s], 0.97).origin_mm;
  const calib::LinearError linear = calib::linear_part(truth.sheet_mm, designed);
  for (std::size_t s = 0; s < 5; ++s) truth.sheet_mm[s] -= linear.at(designed[s]);
  truth.sheet_deg = {0.02, -0.03, 0.05, -0.01, -0.03};
  truth.station_deg = 0.07;
  const calib::Proof proof = proved(truth, 1);
  CHECK_THAT(proof.bias_x_mm.value, WithinAbs(0.06, 1e-9));
  CHECK_THAT(proof.bias_y_mm.value, WithinAbs(-0.04, 1e-9));
  CHECK_THAT(proof.shared_rotation_deg.value, WithinAbs(0.07, 1e-9));
  CHECK_THAT(proof.bias_rotation_deg.value, WithinAbs(0.0, 1e-9));
  for (std::size_t s = 0; s < 5; ++s) {
    CHECK_THAT(proof.sheet[s].x_mm.value, WithinAbs(truth.sheet_mm[s].x, 1e-9));
    CHECK_THAT(proof.sheet[s].y_mm.value, WithinAbs(truth.sheet_mm[s].y, 1e-9));
    CHECK_THAT(proof.sheet[s].rotation_deg.value, WithinAbs(truth.sheet_deg[s], 1e-9));
  }
  CHECK_THAT(proof.offset_mm.most(), WithinAbs(std::hypot(0.06, 0.04), 1e-9));
  CHECK(proof.verdict == ProofVerdict::pass);
}

TEST_CASE("a stretch of the station's picture and one of the sheet look the same, and are said to be shared",
          "[proof]") {
  simulated::Truth station = quiet(), sheet = quiet();
  station.linear = {0.002, 0.0005, 0.0001, -0.001};
  const calib::Proof proof = proved(station, 1);
  CHECK_THAT(proof.shared.scale(), WithinAbs(0.0005, 1e-5));
  CHECK_THAT(proof.shared.stretch(), WithinAbs(0.0015, 2e-5));
  CHECK_THAT(proof.shared.shear(), WithinAbs(0.0003, 1e-4));
  CHECK_THAT(proof.bias_x_mm.value, WithinAbs(0.06, 2e-3));
  // At the corner stickers: 40 mm times 0.002 across, 55 mm times 0.001 up and a little shear.
  CHECK_THAT(proof.offset_mm.shared, WithinAbs(std::hypot(0.08 + 0.0005 * 55, 0.055), 0.02));
  for (std::size_t s = 0; s < 5; ++s) {
    const cv::Point2d at = calib::proof_pose(calib::kProofStickers[s]).origin_mm;
    sheet.sheet_mm[s] = {0.004 * at.x, -0.003 * at.y};
  }
  const calib::Proof same = proved(sheet, 1);
  CHECK_THAT(same.shared.stretch(), WithinAbs(0.0035, 1e-6));
  CHECK_THAT(same.sheet[0].x_mm.value, WithinAbs(0.0, 1e-6));
  CHECK(same.verdict == ProofVerdict::undecided);
}

TEST_CASE("a station that is off fails, and one that scatters fails", "[proof]") {
  simulated::Truth off, scattering;
  off.station_mm = {0.3, 0.1};
  CHECK(proved(off, 3).verdict == ProofVerdict::fail);
  scattering.laying = 0.3;
  CHECK(proved(scattering, 3).verdict == ProofVerdict::fail);
  scattering.laying = 0.0;
  scattering.place = 0.3;
  CHECK(proved(scattering, 4).verdict == ProofVerdict::fail);
  CHECK(proved({}, 3).verdict == ProofVerdict::pass);
}

TEST_CASE("a smaller study has a larger uncertainty and says what is missing", "[proof]") {
  const calib::Proof small = proved({}, 5, 2, 1), full = proved({}, 5, 5, 20);
  CHECK(small.offset_mm.coverage_factor > full.offset_mm.coverage_factor);
  CHECK(small.bias_x_mm.dof == 1.0);
  CHECK(full.bias_x_mm.dof == 4.0);
  CHECK(small.missing.front() == "3 of 5 places");
  CHECK(small.missing.size() == 5);
  CHECK(small.missing[1] == "place 1, upright: 19 of 20 readings");
  CHECK(full.missing.empty());
  CHECK(full.readings == 5 * 2 * 20 * 5);

  calib::ProofReadings upright_only;
  calib::ProofFrame frame;
  frame.board_from_sheet = {{3.0, 4.0}, 0.1};
  upright_only.add(frame);
  CHECK_THROWS_AS(calib::prove(upright_only, 1.0, {}, {}), std::invalid_argument);
  CHECK_THROWS_AS(calib::prove({}, 1.0, {}, {}), std::invalid_argument);
}

TEST_CASE("the scatter is told apart by its sources", "[proof]") {
  // Mean squares over many proofs against the variances that were put in.
  simulated::Truth truth;
  double repeat = 0.0, all = 0.0, rotation = 0.0;
  constexpr int kProofs = 300;
  for (unsigned i = 0; i < kProofs; ++i) {
    const calib::Proof proof = proved(truth, 100 + i);
    repeat += std::pow(proof.x_mm.repeatability(), 2) / kProofs;
    all += (std::pow(proof.x_mm.reproducibility(), 2) + std::pow(proof.y_mm.reproducibility(), 2)) / (2 * kProofs);
    rotation += std::pow(proof.rotation_deg.reproducibility(), 2) / kProofs;
  }
  const double total = 0.02 * 0.02 + 2 * 0.015 * 0.015 + 0.01 * 0.01;
  CHECK_THAT(repeat, WithinRel(0.01 * 0.01, 0.05));
  CHECK_THAT(all, WithinRel(total, 0.05));
  CHECK_THAT(rotation, WithinRel(total, 0.08));
}

TEST_CASE("stated uncertainties cover between 93 and 98 percent over 500 simulated proofs", "[proof]") {
  constexpr int kProofs = 500;
  int bias_x = 0, sheet = 0, angle = 0, reading = 0, reading_angle = 0, passed = 0;
  for (unsigned i = 0; i < kProofs; ++i) {
    simulated::Truth truth;
    simulated::Sheet errors(truth, 5000 + i);
    truth.station_mm = errors.normal_in_plane(0.05);
    truth.station_deg = errors.normal(0.02);
    for (std::size_t s = 0; s < 5; ++s) truth.sheet_mm[s] = errors.normal_in_plane(0.1);
    simulated::Sheet drawn(truth, 9000 + i);
    const calib::Proof proof = calib::prove(drawn.proof(5, 3), 1.0, {}, {5, 3});
    bias_x += std::abs(proof.bias_x_mm.value - truth.station_mm.x) <= proof.bias_x_mm.expanded();
    angle += std::abs(proof.shared_rotation_deg.value - truth.station_deg) <= proof.shared_rotation_deg.expanded();
    // The middle sticker's error by print is all but its own, apart from the fitted linear part.
    const cv::Point2d at = calib::proof_pose(calib::kProofStickers[2]).origin_mm;
    sheet += std::abs(proof.sheet[2].x_mm.value + proof.shared.at(at).x - truth.sheet_mm[2].x) <=
             proof.sheet[2].x_mm.expanded();
    // A reading somewhere else, later.
    const auto later = drawn.laid(drawn.place());
    const cv::Point2d error = drawn.station_error(later, 2, {0.0, 0.0});
    reading += cv::norm(error - cv::Point2d(proof.bias_x_mm.value, proof.bias_y_mm.value)) <= proof.offset_mm.expanded;
    reading_angle += std::abs(truth.station_deg + later.deg + later.sticker_deg[2] + drawn.normal(truth.frame) -
                              proof.shared_rotation_deg.value) <= proof.rotation_limit_deg.expanded;
    passed += proof.verdict == ProofVerdict::pass;
  }
  INFO("bias " << bias_x << ", angle " << angle << ", sheet " << sheet << ", reading " << reading << ", its angle "
               << reading_angle << ", passed " << passed);
  for (const int covered : {bias_x, angle, sheet, reading, reading_angle}) {
    CHECK(covered >= 0.93 * kProofs);
    CHECK(covered <= 0.98 * kProofs);
  }
}

TEST_CASE("places and turns are told from the sheet's pose", "[proof]") {
  calib::ProofReadings readings;
  const auto add = [&](double x, double y, double angle_deg) {
    calib::ProofFrame frame;
    frame.board_from_sheet = {{x, y}, angle_deg * vision::kRadPerDeg};
    return readings.add(frame);
  };
  CHECK(add(0, 0, 3));
  CHECK(add(4, -6, -178));
  CHECK(add(60, 0, 179));
  CHECK_FALSE(add(0, 0, 90));
  CHECK_FALSE(add(0, 0, -45));
  REQUIRE(readings.places().size() == 2);
  CHECK(readings.places()[0].has_both());
  CHECK_FALSE(readings.places()[1].has_both());
  CHECK(readings.undo());
  CHECK(readings.places().size() == 1);
  CHECK(readings.undo());
  CHECK(readings.undo());
  CHECK_FALSE(readings.undo());
}
