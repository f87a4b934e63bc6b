#include "app/words/catalogues.h"

#include <libintl.h>

#include <cstdlib>
#include <filesystem>
#include <map>
#include <mutex>
#include <system_error>

#include "app/words/system_language.h"
#include "app/words/words.h"

#ifdef __SANITIZE_ADDRESS__
// glibc's newlocale() loses the list that it makes of LOCPATH; fontconfig, which librsvg's text brings, keeps its
// caches until the program ends.
extern "C" const char* __lsan_default_suppressions() { return "leak:argz_add_sep\nleak:libfontconfig.so\n"; }
extern "C" const char* __lsan_default_options() { return "print_suppressions=0"; }
#endif

namespace app {
namespace {

namespace fs = std::filesystem;

struct Folders {
  fs::path words;    // LANGUAGE/LC_MESSAGES/hoopgauge.mo
  fs::path locales;  // LANGUAGE/LC_MESSAGES/SYS_LC_MESSAGES
};

bool holds_words(const fs::path& folder) {
  std::error_code ignored;
  return fs::exists(folder / "de" / "LC_MESSAGES" / "hoopgauge.mo", ignored);
}

Folders find_folders() {
  if (const char* named = std::getenv("HOOPGAUGE_LOCALE_DIR"); named != nullptr && *named != '\0')
    return {named, named};
  std::error_code ignored;
  const fs::path prefix = fs::read_symlink("/proc/self/exe", ignored).parent_path().parent_path();
  if (holds_words(prefix / "share" / "locale")) return {prefix / "share" / "locale", prefix / "lib/hoopgauge/locale"};
  return {HOOPGAUGE_BUILT_LOCALE_DIR, HOOPGAUGE_BUILT_LOCALE_DIR};
}

// LOCPATH is how glibc is told of a folder of locales, and there is no other way.
std::map<std::string, locale_t> load() {
  const Folders folders = find_folders();
  ::bindtextdomain(kWordsDomain, folders.words.c_str());
  ::bind_textdomain_codeset(kWordsDomain, "UTF-8");
  const char* path = std::getenv("LOCPATH");
  const std::string before = path == nullptr ? "" : path;
  ::setenv("LOCPATH", folders.locales.c_str(), 1);
  std::map<std::string, locale_t> all;
  for (const Language& language : languages())
    if (language.code != "en")
      if (const locale_t made = ::newlocale(LC_MESSAGES_MASK, language.code.c_str(), nullptr))
        all[language.code] = made;
  if (path == nullptr)
    ::unsetenv("LOCPATH");
  else
    ::setenv("LOCPATH", before.c_str(), 1);
  return all;
}

}  // namespace

locale_t catalogue(const std::string& code) {
  // Never destroyed: threads may speak until the very end.
  static const auto& all = *new std::map<std::string, locale_t>(load());
  system_language();  // LANGUAGE would come first
  const auto found = all.find(code);
  return found == all.end() ? nullptr : found->second;
}

}  // namespace app
