// Readings of a proof sheet with known errors of the sheet and of the station.
#pragma once

#include <array>
#include <cmath>
#include <random>

#include "calib/proof_readings.h"

namespace simulated {

struct Truth {
  cv::Point2d station_mm{0.06, -0.04};        // bias in the board's frame
  cv::Matx22d linear = cv::Matx22d::zeros();  // of the station's picture
  std::array<cv::Point2d, 5> sheet_mm{};      // the sheet's own
  std::array<double, 5> sheet_deg{};
  double station_deg = 0.0;  // an angle error that is the same either way
  double scale = 1.0;        // print scale
  // Standard deviations; of angles in degrees the same numbers.
  double place = 0.02, laying = 0.015, sticker = 0.015, frame = 0.01;
};

inline cv::Point2d turned(cv::Point2d p, double angle_rad) {
  return {std::cos(angle_rad) * p.x - std::sin(angle_rad) * p.y, std::sin(angle_rad) * p.x + std::cos(angle_rad) * p.y};
}

class Sheet {
 public:
  Sheet(const Truth& truth, unsigned seed) : truth_(truth), random_(seed) {}

  double normal(double sd) { return std::normal_distribution<double>(0.0, 1.0)(random_) * sd; }
  cv::Point2d normal_in_plane(double sd) {
    const double x = normal(sd);
    return {x, normal(sd)};
  }

  // What one place, or one laying of the sheet there, adds.
  struct Extra {
    cv::Point2d mm;
    double deg = 0.0;
    std::array<cv::Point2d, 5> sticker_mm{};
    std::array<double, 5> sticker_deg{};
  };
  Extra place() {
    Extra extra;
    extra.mm = normal_in_plane(truth_.place);
    extra.deg = normal(truth_.place);
    return extra;
  }
  Extra laid(const Extra& place) {
    Extra extra = place;
    extra.mm += normal_in_plane(truth_.laying);
    extra.deg += normal(truth_.laying);
    for (std::size_t s = 0; s < 5; ++s) {
      extra.sticker_mm[s] = normal_in_plane(truth_.sticker);
      extra.sticker_deg[s] = normal(truth_.sticker);
    }
    return extra;
  }

  // The station's error of one reading, board frame, for a sticker at r from the ring's middle in the board's axes.
  cv::Point2d station_error(const Extra& extra, std::size_t s, cv::Point2d r) {
    const cv::Vec2d linear = truth_.linear * cv::Vec2d(r.x, r.y);
    return truth_.station_mm + cv::Point2d(linear[0], linear[1]) + extra.mm + extra.sticker_mm[s] +
           normal_in_plane(truth_.frame);
  }

  calib::ProofFrame frame(const Extra& extra, cv::Point2d middle_mm, double angle_rad) {
    calib::ProofFrame frame;
    frame.board_from_sheet = {middle_mm, angle_rad};
    for (std::size_t s = 0; s < 5; ++s) {
      const vision::Pose2 designed = calib::proof_pose(calib::kProofStickers[s], truth_.scale);
      const cv::Point2d b = station_error(extra, s, turned(designed.origin_mm, angle_rad));
      const double deg =
          truth_.sheet_deg[s] + truth_.station_deg + extra.deg + extra.sticker_deg[s] + normal(truth_.frame);
      frame.sheet_from_sticker[s] = {designed.origin_mm + truth_.sheet_mm[s] + turned(b, -angle_rad),
                                     designed.angle_rad + deg * vision::kRadPerDeg};
      frame.u_offset_mm[s] =
          2.0 * std::hypot(std::hypot(truth_.place, truth_.laying), std::hypot(truth_.sticker, truth_.frame));
      frame.u_rotation_deg[s] = frame.u_offset_mm[s];
    }
    return frame;
  }

  calib::ProofReadings proof(int places, int readings) {
    const std::array<cv::Point2d, 6> kMiddles{{{0, 0}, {-70, 40}, {70, 40}, {70, -40}, {-70, -40}, {0, 90}}};
    calib::ProofReadings result;
    for (int p = 0; p < places; ++p) {
      const Extra at = place();
      for (int turn = 0; turn < 2; ++turn) {
        const Extra here = laid(at);
        const double angle = turn * vision::kPi + normal(0.03);
        const cv::Point2d middle = kMiddles[static_cast<std::size_t>(p)] + normal_in_plane(2.0);
        for (int n = 0; n < readings; ++n) result.add(frame(here, middle, angle));
      }
    }
    return result;
  }

 private:
  Truth truth_;
  std::mt19937_64 random_;
};

}  // namespace simulated
