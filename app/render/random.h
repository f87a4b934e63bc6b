// Random numbers that are the same on every machine and in every standard library (SplitMix64, Steele et al. 2014).
#pragma once

#include <cmath>
#include <cstdint>

namespace app {

class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed * 0x9E3779B97F4A7C15ULL + 0x1234567ULL) {}

  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9E3779B97F4A7C15ULL);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ULL;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBULL;
    return z ^ (z >> 31);
  }
  // In [0, 1).
  double unit() { return static_cast<double>(next() >> 11) * 0x1.0p-53; }
  double between(double low, double high) { return low + (high - low) * unit(); }
  // 0 .. count - 1.
  int below(int count) { return static_cast<int>(unit() * count); }
  bool chance(double probability) { return unit() < probability; }
  // Standard normal, by Box and Muller.
  double normal() {
    const double radius = std::sqrt(-2.0 * std::log(1.0 - unit()));
    return radius * std::cos(6.283185307179586 * unit());
  }

 private:
  std::uint64_t state_;
};

}  // namespace app
