// Places in a pixel at which an edge is looked at: k * k + 1 of them in a square lattice that is turned so that,
// seen along x or y, no two fall together. It is shifted at random from pixel to pixel (around the pixel's ends),
// so that the share of places on one side of an edge is right on average wherever the edge lies.
#pragma once

#include <array>
#include <cstdint>
#include <opencv2/core.hpp>

namespace app {

template <int kAcross>
inline constexpr int kPlaces = kAcross* kAcross + 1;

// Offsets from the pixel's centre, each within half a pixel.
template <int kAcross>
inline std::array<cv::Point2f, kPlaces<kAcross>> subpixels(int x, int y) {
  std::uint32_t h = static_cast<std::uint32_t>(x) * 0x9E3779B1U ^ static_cast<std::uint32_t>(y) * 0x85EBCA77U;
  h = (h ^ (h >> 15)) * 0x2C1B3C6DU;
  h = (h ^ (h >> 12)) * 0x297A2D39U;
  h ^= h >> 15;
  const float shift_x = static_cast<float>(h & 0xFFFFU) / 65536.0F, shift_y = static_cast<float>(h >> 16) / 65536.0F;
  constexpr int kCount = kPlaces<kAcross>;
  constexpr float kStep = 1.0F / static_cast<float>(kCount);
  std::array<cv::Point2f, kCount> places;
  for (int i = 0, j = 0; i < kCount; ++i) {
    const float u = static_cast<float>(i) * kStep + shift_x, v = static_cast<float>(j) * kStep + shift_y;
    places[static_cast<std::size_t>(i)] = {u - (u >= 1.0F ? 1.5F : 0.5F), v - (v >= 1.0F ? 1.5F : 0.5F)};
    j = (j + kAcross) % kCount;
  }
  return places;
}

}  // namespace app
