#include "app/backup/sha256.h"

#include <glib.h>

#include <array>
#include <cstdio>

#include "calib/files.h"

namespace app {

struct Sha256::State {
  GChecksum* sum = g_checksum_new(G_CHECKSUM_SHA256);
  State() = default;
  ~State() { g_checksum_free(sum); }
  State(const State&) = delete;
  State& operator=(const State&) = delete;
};

Sha256::Sha256() : state_(std::make_unique<State>()) {}
Sha256::~Sha256() = default;
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;

void Sha256::add(const void* bytes, std::size_t count) {
  g_checksum_update(state_->sum, static_cast<const guchar*>(bytes), static_cast<gssize>(count));
}

std::string Sha256::hex() { return g_checksum_get_string(state_->sum); }

std::string sha256_of(const std::filesystem::path& file) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> in(std::fopen(file.c_str(), "rbe"), std::fclose);
  if (!in) throw calib::FileError(file.string() + ": cannot be read; check the file and its permissions");
  Sha256 sum;
  std::array<char, 65536> buffer{};
  while (const std::size_t count = std::fread(buffer.data(), 1, buffer.size(), in.get())) sum.add(buffer.data(), count);
  if (std::ferror(in.get()) != 0) throw calib::FileError(file.string() + ": cannot be read to its end");
  return sum.hex();
}

}  // namespace app
