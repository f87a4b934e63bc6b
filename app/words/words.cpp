#include "app/words/words.h"

#include <libintl.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <charconv>
#include <cstdlib>
#include <utility>

#include "app/words/catalogues.h"
#include "app/words/system_language.h"

namespace app {
namespace {

// Read by every thread that says something.
struct Spoken {
  std::atomic<locale_t> locale{};                  // none: English
  std::atomic<const Language*> language{nullptr};  // one of languages(); none: English
};

Spoken& spoken() {
  static Spoken one;
  return one;
}

thread_local bool in_english = false;

locale_t locale_now() { return in_english ? nullptr : spoken().locale.load(); }

// Lends the thread the language's locale, which says no more than under which name translations are found.
class LentLocale {
 public:
  explicit LentLocale(locale_t locale) : before_(::uselocale(locale)) {}
  ~LentLocale() { ::uselocale(before_); }
  LentLocale(const LentLocale&) = delete;
  LentLocale& operator=(const LentLocale&) = delete;

 private:
  locale_t before_;
};

}  // namespace

const char* tr(const char* english) {
  const locale_t locale = locale_now();
  if (locale == nullptr || *english == '\0') return english;  // the empty text is the catalogue's header
  const LentLocale lent(locale);
  return ::dgettext(kWordsDomain, english);
}

const char* tr(const char* one, const char* many, long n) {
  const locale_t locale = locale_now();
  if (locale == nullptr) return n == 1 ? one : many;
  const LentLocale lent(locale);
  return ::dngettext(kWordsDomain, one, many, static_cast<unsigned long>(std::abs(n)));
}

const std::vector<Language>& languages() {
  static const std::vector<Language> all{{"en", "English"}, {"de", "Deutsch"}, {"es", "Español"}};
  return all;
}

void set_language(const std::string& code) {
  const std::string wanted = code.empty() ? system_language() : code;
  const auto& all = languages();
  const auto found = std::find_if(all.begin(), all.end(), [&](const Language& one) { return one.code == wanted; });
  spoken().language = found == all.end() ? nullptr : &*found;
  spoken().locale = catalogue(wanted);
}

InEnglish::InEnglish() : before_(std::exchange(in_english, true)) {}
InEnglish::~InEnglish() { in_english = before_; }

std::string language() {
  const Language* now = spoken().language;
  return now == nullptr ? "en" : now->code;
}

std::string number(double value, int decimals) {
  std::array<char, 400> digits;  // the longest double has 309 before the point
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed,
                                 std::clamp(decimals, 0, 17))
                       .ptr;
  std::string text(digits.data(), end);
  if (text.front() == '-' && text.find_first_not_of("-0.") == std::string::npos) text.erase(0, 1);  // no minus zero
  if (language() != "en" && !in_english) std::replace(text.begin(), text.end(), '.', ',');
  return text;
}

}  // namespace app
