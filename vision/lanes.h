// Four floats worked on at once: vector types as GCC and Clang have them on every machine we build for.
#pragma once

#include <cstddef>
#include <cstring>

namespace vision {

using Lanes = float __attribute__((vector_size(16)));
inline constexpr std::size_t kLanes = 4;

inline Lanes load(const float* from) {
  Lanes lanes;
  std::memcpy(&lanes, from, sizeof lanes);
  return lanes;
}
inline void store(float* to, Lanes lanes) { std::memcpy(to, &lanes, sizeof lanes); }
inline Lanes all(float value) { return Lanes{value, value, value, value}; }
inline Lanes smaller(Lanes a, Lanes b) { return a < b ? a : b; }
inline Lanes larger(Lanes a, Lanes b) { return a > b ? a : b; }
inline double sum(Lanes lanes) {
  return static_cast<double>(lanes[0] + lanes[2]) + static_cast<double>(lanes[1] + lanes[3]);
}

}  // namespace vision
