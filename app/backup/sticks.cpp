#include "app/backup/sticks.h"

#include <unistd.h>

#include <algorithm>
#include <fstream>
#include <optional>
#include <sstream>
#include <string_view>
#include <system_error>

namespace app {
namespace {

namespace fs = std::filesystem;

// A space is \040 there, and so on.
std::string unescaped(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto is_octal = [&](std::size_t at) { return text[at] >= '0' && text[at] <= '7'; };
    if (text[i] == '\\' && i + 3 < text.size() && is_octal(i + 1) && is_octal(i + 2) && is_octal(i + 3)) {
      out += static_cast<char>((text[i + 1] - '0') * 64 + (text[i + 2] - '0') * 8 + (text[i + 3] - '0'));
      i += 3;
    } else {
      out += text[i];
    }
  }
  return out;
}

struct Mount {
  fs::path folder;
  std::string source;
  bool may_be_written = false;
};

bool has_option(const std::string& options, const std::string& wanted) {
  std::istringstream in(options);
  for (std::string one; std::getline(in, one, ',');)
    if (one == wanted) return true;
  return false;
}

// proc_pid_mountinfo(5): "36 35 98:0 /mnt1 /mnt2 rw,noatime master:1 - ext3 /dev/root rw,errors=continue".
std::optional<Mount> mount_in(const std::string& line) {
  std::istringstream in(line);
  std::string number, parent, device, root, folder, options, word;
  if (!(in >> number >> parent >> device >> root >> folder >> options)) return std::nullopt;
  while (in >> word && word != "-") {
  }
  std::string kind, source, own_options;
  if (!(in >> kind >> source >> own_options)) return std::nullopt;
  return Mount{unescaped(folder), unescaped(source), has_option(options, "rw") && has_option(own_options, "rw")};
}

bool is_one(const fs::path& file) {
  char found = '0';
  std::ifstream(file) >> found;
  return found == '1';
}

// A partition's folder lies in its disk's. Hard disks on USB call themselves not removable.
bool can_be_unplugged(const fs::path& root, const std::string& device) {
  std::error_code error;
  const fs::path folder = fs::canonical(root / "sys/class/block" / device, error);
  if (error) return false;
  return is_one(folder / "removable") || is_one(folder.parent_path() / "removable") ||
         folder.string().find("/usb") != std::string::npos;
}

bool is_of_system(const fs::path& folder) {
  const std::string name = folder.string();
  return name == "/" || name == "/boot" || name.starts_with("/boot/");
}

}  // namespace

std::vector<Stick> sticks(const fs::path& root) {
  std::vector<Stick> out;
  std::ifstream in(root / "proc/self/mountinfo");
  std::vector<std::string> of_system;
  std::vector<Stick> found;
  for (std::string line; std::getline(in, line);) {
    const std::optional<Mount> mount = mount_in(line);
    if (!mount || !mount->source.starts_with("/dev/")) continue;
    const std::string device = fs::path(mount->source).filename().string();
    if (is_of_system(mount->folder)) of_system.push_back(device);
    if (mount->may_be_written && can_be_unplugged(root, device) &&
        ::access((root / mount->folder.relative_path()).c_str(), W_OK) == 0)
      found.push_back({mount->folder, device});
  }
  // A station that starts from a stick does not keep its backups there; of several places of one stick the first will
  // do.
  for (const Stick& one : found) {
    const bool is_known =
        std::any_of(out.begin(), out.end(), [&](const Stick& other) { return other.device == one.device; });
    if (!is_known && std::find(of_system.begin(), of_system.end(), one.device) == of_system.end()) out.push_back(one);
  }
  return out;
}

}  // namespace app
