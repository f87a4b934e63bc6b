// The words on the screen in the operator's language (GNU gettext, domain "hoopgauge"). English is what the source
// says.
#pragma once

#include <string>
#include <vector>

namespace app {

// The translation of an English text of the screen, else the text itself. A text that holds printf directives goes
// through format() afterwards. The pointer stays valid while the program runs.
const char* tr(const char* english);
inline std::string tr(const std::string& english) { return tr(english.c_str()); }
// Marks a text for translation where it stands in a table; tr() is called where it is shown.
constexpr const char* noop(const char* english) { return english; }
// The same for a count: the form that the language wants for n.
const char* tr(const char* one, const char* many, long n);

struct Language {
  std::string code;  // ISO 639-1
  std::string name;  // in itself
};
// English first.
const std::vector<Language>& languages();
// From here on; an empty code is the system's. A code that is not among languages() is English.
void set_language(const std::string& code);
// What is spoken now, never empty.
std::string language();
// As long as this lives its thread speaks English, whatever the screen speaks: for files and reports.
class InEnglish {
 public:
  InEnglish();
  ~InEnglish();
  InEnglish(const InEnglish&) = delete;
  InEnglish& operator=(const InEnglish&) = delete;

 private:
  bool before_;
};
// The decimal sign of the language: "4.5" or "4,5". For the screen only.
std::string number(double value, int decimals);

}  // namespace app
