#include "tests/bench/soak/tormentor.h"

#include <sys/resource.h>

#include <csignal>
#include <utility>

namespace soak {
namespace {

using namespace std::chrono_literals;

// No file grows beyond this while the disk is full.
constexpr rlim_t kFull = 4096;

void limit_files(rlim_t bytes) {
  rlimit limit{};
  ::getrlimit(RLIMIT_FSIZE, &limit);
  limit.rlim_cur = bytes;
  ::setrlimit(RLIMIT_FSIZE, &limit);
}

}  // namespace

Tormentor::Tormentor(ReplaySource& source, app::Window& window, std::filesystem::path log_file, cv::Rect mark,
                     FaultBook& book, std::uint64_t seed, long pieces_between)
    : source_(source),
      window_(window),
      log_file_(std::move(log_file)),
      mark_(mark),
      book_(book),
      random_(seed),
      pieces_between_(pieces_between),
      next_piece_(2) {
  std::signal(SIGXFSZ, SIG_IGN);  // a write beyond the limit fails instead
}

Tormentor::~Tormentor() {
  if (now_) end();
}

void Tormentor::turn(long piece) {
  if (now_ && std::chrono::steady_clock::now() >= ends_) end();
  if (now_ || piece < next_piece_) return;
  // At a random moment of the piece, not always at its beginning.
  if (random_() % 60 == 0) begin(piece);
}

void Tormentor::begin(long piece) {
  constexpr Trouble kKinds[]{Trouble::mark_covered, Trouble::screen_lost, Trouble::log_locked, Trouble::disk_full};
  now_ = kKinds[random_() % std::size(kKinds)];
  next_piece_ = piece + pieces_between_ + static_cast<long>(random_() % static_cast<std::uint64_t>(pieces_between_));
  // Longer than a piece takes here, so that a record falls into it.
  ends_ = std::chrono::steady_clock::now() + 8s + std::chrono::milliseconds(random_() % 8000);
  book_.injected(*now_, piece);
  switch (*now_) {
    case Trouble::mark_covered:
      return source_.cover(mark_);
    case Trouble::log_locked:
      lock_ = std::make_unique<SQLite::Database>(log_file_, SQLite::OPEN_READWRITE, 5000);
      lock_->exec("BEGIN EXCLUSIVE");
      return;
    case Trouble::disk_full:
      return limit_files(kFull);
    default: {
      app::WindowEvents events;
      events.textures_lost = events.redraw = true;
      window_.put(events);
      return end();
    }
  }
}

void Tormentor::end() {
  switch (*now_) {
    case Trouble::mark_covered:
      source_.cover({});
      break;
    case Trouble::log_locked:
      lock_.reset();
      break;
    case Trouble::disk_full:
      limit_files(RLIM_INFINITY);
      break;
    default:
      break;
  }
  now_.reset();
}

}  // namespace soak
