// The language that the person chose for the whole system.
#pragma once

#include <string>

namespace app {

// The first of languages() that LANGUAGE names, else LC_ALL, LC_MESSAGES or LANG, in the order of GNU gettext; English
// where none does, and where the locale is C or POSIX. LANGUAGE is taken out of the environment and remembered, for
// gettext would obey it before any choice that is made at the station.
std::string system_language();

}  // namespace app
