#include "app/words/system_language.h"

#include <algorithm>
#include <cstdlib>
#include <optional>
#include <sstream>

#include "app/words/words.h"

namespace app {
namespace {

std::string variable(const char* name) {
  const char* value = std::getenv(name);
  return value == nullptr ? "" : value;
}

// LANGUAGE, also after it was taken out.
std::string& wished() {
  static std::string remembered;
  if (const char* value = std::getenv("LANGUAGE")) {
    remembered = value;
    ::unsetenv("LANGUAGE");
  }
  return remembered;
}

// "de" of "de_AT.UTF-8@euro"; nothing for a language that the screen does not have.
std::optional<std::string> spoken_here(const std::string& locale) {
  const std::string code = locale.substr(0, locale.find_first_of("_.@"));
  const auto& all = languages();
  const bool has = std::any_of(all.begin(), all.end(), [&](const Language& one) { return one.code == code; });
  return has ? std::optional(code) : std::nullopt;
}

}  // namespace

std::string system_language() {
  const std::string list = wished();
  std::string locale = variable("LC_ALL");
  if (locale.empty()) locale = variable("LC_MESSAGES");
  if (locale.empty()) locale = variable("LANG");
  if (locale.empty() || locale == "C" || locale == "POSIX") return "en";
  std::istringstream wishes(list);
  for (std::string wish; std::getline(wishes, wish, ':');)
    if (const auto code = spoken_here(wish)) return *code;
  return spoken_here(locale).value_or("en");
}

}  // namespace app
