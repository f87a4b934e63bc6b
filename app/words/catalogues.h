// Where the translations lie, and the locales under whose names GNU gettext finds them.
#pragma once

#include <locale.h>

#include <string>

namespace app {

inline constexpr const char* kWordsDomain = "hoopgauge";

// A locale whose only content is the name `code`; null for English, and for a language whose files are not there: the
// screen then speaks English. Its folders are $HOOPGAUGE_LOCALE_DIR, else those beside the installed program, else the
// build's. Made once a language and kept; the first call changes the environment for a moment, so it comes before
// there are other threads.
locale_t catalogue(const std::string& code);

}  // namespace app
