// SHA-256 (FIPS 180-4), by GLib: in a backup's list it is what other programs (sha256sum) check by too.
#pragma once

#include <cstddef>
#include <filesystem>
#include <memory>
#include <string>

namespace app {

class Sha256 {
 public:
  Sha256();
  ~Sha256();
  Sha256(Sha256&&) noexcept;
  Sha256& operator=(Sha256&&) noexcept;
  void add(const void* bytes, std::size_t count);
  // 64 small digits of sixteen; nothing can be added afterwards.
  std::string hex();

 private:
  struct State;
  std::unique_ptr<State> state_;
};

// Throws calib::FileError when it cannot be read to its end.
std::string sha256_of(const std::filesystem::path& file);

}  // namespace app
