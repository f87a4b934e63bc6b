#include "app/records/piece_journal.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <string_view>

#include "app/places.h"
#include "app/records/piece_json.h"

namespace app {
namespace {

// What a line takes at most, but for very long names.
constexpr off_t kRoomForPiece = 1300;

bool write_all(int descriptor, std::string_view text) {
  while (!text.empty()) {
    const ssize_t count = ::write(descriptor, text.data(), text.size());
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return false;
    text.remove_prefix(static_cast<std::size_t>(count));
  }
  return true;
}

std::string content_of(int descriptor) {
  std::string out;
  std::array<char, 65536> buffer{};
  while (true) {
    const ssize_t count = ::pread(descriptor, buffer.data(), buffer.size(), static_cast<off_t>(out.size()));
    if (count < 0 && errno == EINTR) continue;
    if (count <= 0) return out;
    out.append(buffer.data(), static_cast<std::size_t>(count));
  }
}

void sync_folder(const std::filesystem::path& file) {
  const auto folder = file.parent_path().empty() ? "." : file.parent_path();
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

}  // namespace

PieceJournal::~PieceJournal() { close(); }

void PieceJournal::close() {
  if (descriptor_ >= 0) ::close(descriptor_);
  descriptor_ = -1;
  size_ = count_ = 0;
  unread_ = false;
}

std::optional<std::vector<LogEntry>> PieceJournal::open() {
  close();
  const int opened = ::open(file_.c_str(), O_RDWR | O_CREAT | O_APPEND | O_CLOEXEC, 0644);
  if (opened < 0) return std::nullopt;
  // Held as long as it is open: another program must not clear it.
  if (::flock(opened, LOCK_EX | LOCK_NB) != 0) {
    ::close(opened);
    return std::nullopt;
  }
  descriptor_ = opened;
  sync_folder(file_);
  return read();
}

bool PieceJournal::was_taken_away() const {
  struct stat found {};
  return is_open() && ::fstat(descriptor_, &found) == 0 && found.st_nlink == 0;
}

std::vector<LogEntry> PieceJournal::read() {
  std::vector<LogEntry> out;
  const std::string text = content_of(descriptor_);
  std::string_view rest = text;
  while (!rest.empty()) {
    const std::size_t end = rest.find('\n');
    // The last line of a run that was cut short: its piece was never said to be kept.
    if (end == std::string_view::npos) break;
    if (auto piece = entry_from_json(rest.substr(0, end)))
      out.push_back(std::move(*piece));
    else
      unread_ = true;
    rest.remove_prefix(end + 1);
  }
  size_ = text.size() - rest.size();
  count_ = out.size();
  if (!rest.empty()) cut(size_);
  reserve();
  return out;
}

std::size_t PieceJournal::append(const std::vector<LogEntry>& pieces) {
  if (!is_open()) return 0;
  const std::size_t before = size_;
  std::size_t written = 0;
  while (written < pieces.size() && count_ + written < limit_ && write(entry_json(pieces[written]) + "\n")) ++written;
  if (written > 0 && ::fdatasync(descriptor_) != 0) {
    cut(before);
    return 0;
  }
  count_ += written;
  return written;
}

bool PieceJournal::write(const std::string& line) {
  if (write_all(descriptor_, line)) {
    size_ += line.size();
    return true;
  }
  cut(size_);
  return false;
}

bool PieceJournal::clear() {
  if (!is_open()) return false;
  if (unread_) {
    std::error_code error;
    std::filesystem::rename(file_, dated_name(file_.string() + ".unread-"), error);
    return !error && open();
  }
  if (size_ == 0) return true;
  cut(0);
  if (!is_open() || ::fdatasync(descriptor_) != 0) return false;
  count_ = 0;
  reserve();
  return true;
}

// What stands behind it is half a line, or no longer wanted. Where that cannot be taken away the file is closed: when
// it is opened again, half a line is seen as such.
void PieceJournal::cut(std::size_t size) {
  if (::ftruncate(descriptor_, static_cast<off_t>(size)) == 0)
    size_ = size;
  else
    close();
}

// Not every file system can; then a full disk is full for the journal too.
void PieceJournal::reserve() const {
  if (is_open()) ::fallocate(descriptor_, FALLOC_FL_KEEP_SIZE, 0, kRoomForPiece * static_cast<off_t>(limit_));
}

}  // namespace app
