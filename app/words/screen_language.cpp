#include "app/words/screen_language.h"

#include "app/settings.h"
#include "app/words/words.h"
#include "calib/files.h"

namespace app {
namespace {

// Settings that cannot be used are told by the station; a screen speaks all the same.
std::string language_of(const std::filesystem::path& station_file) {
  try {
    return load_settings(settings_file(station_file)).language;
  } catch (const calib::FileError&) {
    return {};
  }
}

}  // namespace

ScreenLanguage::ScreenLanguage(const std::filesystem::path& station_file) : before_(language()) {
  set_language(language_of(station_file));
}

ScreenLanguage::~ScreenLanguage() { set_language(before_); }

}  // namespace app
