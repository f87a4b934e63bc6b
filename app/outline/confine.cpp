#include "app/outline/confine.h"

#include <fcntl.h>
#include <linux/audit.h>
#include <linux/filter.h>
#include <linux/landlock.h>
#include <linux/seccomp.h>
#include <sys/prctl.h>
#include <sys/syscall.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <vector>

namespace app {
namespace {

constexpr std::uint64_t kRead = LANDLOCK_ACCESS_FS_READ_FILE | LANDLOCK_ACCESS_FS_READ_DIR;
constexpr std::uint64_t kAllOfFirstVersion = (LANDLOCK_ACCESS_FS_MAKE_SYM << 1) - 1;

// Fonts, their settings and caches, and the libraries that are loaded when they are needed.
std::vector<std::string> readable_folders() {
  std::vector<std::string> all{"/usr", "/lib", "/lib64", "/etc", "/var/cache/fontconfig", "/proc/self"};
  const auto below = [&](const char* name, std::initializer_list<const char*> folders) {
    const char* value = std::getenv(name);
    if (value == nullptr || *value != '/') return;
    for (const char* folder : folders) all.push_back(std::string(value) + folder);
  };
  below("HOME", {"/.fonts", "/.local/share/fonts", "/.config/fontconfig", "/.cache/fontconfig"});
  below("XDG_DATA_HOME", {"/fonts"});
  below("XDG_CACHE_HOME", {"/fontconfig"});
  below("XDG_CONFIG_HOME", {"/fontconfig"});
  return all;
}

bool wall_off_files() {
  landlock_ruleset_attr rules{};
  rules.handled_access_fs = kAllOfFirstVersion;
  const int ruleset = static_cast<int>(::syscall(SYS_landlock_create_ruleset, &rules, sizeof rules, 0));
  if (ruleset < 0) return false;
  for (const std::string& folder : readable_folders()) {
    landlock_path_beneath_attr beneath{};
    beneath.allowed_access = kRead;
    beneath.parent_fd = ::open(folder.c_str(), O_PATH | O_CLOEXEC);
    if (beneath.parent_fd < 0) continue;
    ::syscall(SYS_landlock_add_rule, ruleset, LANDLOCK_RULE_PATH_BENEATH, &beneath, 0);
    ::close(beneath.parent_fd);
  }
  const bool done = ::syscall(SYS_landlock_restrict_self, ruleset, 0) == 0;
  ::close(ruleset);
  return done;
}

#if defined(__x86_64__)
constexpr std::uint32_t kArchitecture = AUDIT_ARCH_X86_64;
#elif defined(__aarch64__)
constexpr std::uint32_t kArchitecture = AUDIT_ARCH_AARCH64;
#else
constexpr std::uint32_t kArchitecture = 0;
#endif

bool wall_off_system() {
  if (kArchitecture == 0) return false;
  constexpr std::array kForbidden{__NR_socket, __NR_connect, __NR_execve, __NR_execveat, __NR_ptrace, __NR_kill};
  std::vector<sock_filter> program{
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, arch)),
      BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, kArchitecture, 1, 0),
      BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_KILL_PROCESS),
      BPF_STMT(BPF_LD | BPF_W | BPF_ABS, offsetof(seccomp_data, nr)),
  };
  for (const int call : kForbidden) {
    program.push_back(BPF_JUMP(BPF_JMP | BPF_JEQ | BPF_K, static_cast<std::uint32_t>(call), 0, 1));
    program.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ERRNO | (EPERM & SECCOMP_RET_DATA)));
  }
  program.push_back(BPF_STMT(BPF_RET | BPF_K, SECCOMP_RET_ALLOW));
  const sock_fprog whole{static_cast<unsigned short>(program.size()), program.data()};
  return ::prctl(PR_SET_SECCOMP, SECCOMP_MODE_FILTER, &whole) == 0;
}

}  // namespace

Confinement confine_this_process() {
  Confinement walls;
  if (::prctl(PR_SET_NO_NEW_PRIVS, 1, 0, 0, 0) != 0) return walls;
  walls.files = wall_off_files();
  walls.system = wall_off_system();
  return walls;
}

}  // namespace app
