#include "app/words/words.h"

#include "app/format.h"

namespace app {

const char* tr(const char* english) { return english; }

const char* tr(const char* one, const char* many, long n) { return n == 1 ? one : many; }

const std::vector<Language>& languages() {
  static const std::vector<Language> all{{"en", "English"}};
  return all;
}

void set_language(const std::string&) {}

std::string number(double value, int decimals) { return format("%.*f", decimals, value); }

}  // namespace app
