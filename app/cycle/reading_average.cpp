#include "app/cycle/reading_average.h"

#include "vision/reading_of.h"

namespace app {
namespace {

double turned_by_deg(double from_deg, double to_deg) {
  return vision::wrapped_rad((to_deg - from_deg) * vision::kRadPerDeg) * vision::kDegPerRad;
}

}  // namespace

void ReadingAverage::add(const vision::Reading& reading) {
  if (count_++ == 0) first_ = reading;
  x_mm_ += reading.offset_x_mm - first_.offset_x_mm;
  y_mm_ += reading.offset_y_mm - first_.offset_y_mm;
  rotation_deg_ += turned_by_deg(first_.rotation_deg, reading.rotation_deg);
  noise_ += reading.noise_covariance;
  shared_ += reading.covariance - reading.noise_covariance;
}

std::optional<vision::Reading> ReadingAverage::mean() const {
  if (count_ == 0) return std::nullopt;
  const double share = 1.0 / count_;
  vision::Reading mean = first_;
  mean.offset_x_mm += x_mm_ * share;
  mean.offset_y_mm += y_mm_ * share;
  mean.rotation_deg = turned_by_deg(0.0, first_.rotation_deg + rotation_deg_ * share);
  mean.noise_covariance = noise_ * (share * share);
  mean.covariance = shared_ * share + mean.noise_covariance;
  vision::state_uncertainty(mean);
  return mean;
}

}  // namespace app
