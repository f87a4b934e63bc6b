#include <SDL_ttf.h>
#include <unistd.h>

#include <algorithm>
#include <clocale>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <optional>
#include <set>
#include <string>
#include <thread>
#include <vector>

#include "app/format.h"
#include "app/screen/text.h"
#include "app/settings.h"
#include "app/words/calib_words.h"
#include "app/words/screen_language.h"
#include "app/words/system_language.h"
#include "app/words/words.h"
#include "calib/lens_fit.h"
#include "calib/teach_height.h"
#include "calib/teach_ring.h"
#include "tests/app/run_program.h"
#include "tests/catch.h"

namespace {

namespace fs = std::filesystem;

const fs::path kWords = fs::path(HOOPGAUGE_SOURCE_DIR) / "app" / "words";

// English again whatever a test does.
struct English {
  ~English() { app::set_language("en"); }
};

// An environment variable for as long as this lives.
class Variable {
 public:
  Variable(const char* name, const char* value) : name_(name) {
    if (const char* before = std::getenv(name)) before_ = before;
    value != nullptr ? ::setenv(name, value, 1) : ::unsetenv(name);
  }
  ~Variable() { before_ ? ::setenv(name_, before_->c_str(), 1) : ::unsetenv(name_); }
  Variable(const Variable&) = delete;
  Variable& operator=(const Variable&) = delete;

 private:
  const char* name_;
  std::optional<std::string> before_;
};

std::string content(const fs::path& file) {
  std::ifstream in(file);
  return {std::istreambuf_iterator<char>(in), {}};
}

std::vector<char32_t> code_points(const std::string& utf8) {
  std::vector<char32_t> out;
  for (std::size_t i = 0; i < utf8.size();) {
    const auto first = static_cast<unsigned char>(utf8[i++]);
    int more = first < 0x80 ? 0 : first < 0xe0 ? 1 : first < 0xf0 ? 2 : 3;
    char32_t code = more == 0 ? first : first & (0x3f >> more);
    for (; more > 0 && i < utf8.size(); --more) code = code << 6 | (static_cast<unsigned char>(utf8[i++]) & 0x3fU);
    out.push_back(code);
  }
  return out;
}

std::string system_language_of(const char* language, const char* all, const char* messages, const char* lang) {
  const Variable a("LANGUAGE", language), b("LC_ALL", all), c("LC_MESSAGES", messages), d("LANG", lang);
  return app::system_language();
}

}  // namespace

// Guarantees: the language changes while the program runs, to and fro, whatever locales the machine has. Example
// failure: glibc remembers the German words and gives them for Spanish.
TEST_CASE("the language changes at run time", "[words]") {
  const English after;
  const std::string english = "No job is chosen.";
  CHECK(app::tr(english) == english);
  std::set<std::string> seen;
  for (int round = 0; round < 2; ++round) {
    for (const app::Language& language : app::languages()) {
      app::set_language(language.code);
      seen.insert(app::tr(english));
      CHECK(seen.size() == (round == 0 ? seen.size() : app::languages().size()));
    }
  }
  CHECK(seen.size() == app::languages().size());
  CHECK(seen.count(english) == 1);
  app::set_language("xx");  // a language that is not there is English
  CHECK(app::tr(english) == english);
  CHECK(std::string(app::tr("in no catalogue")) == "in no catalogue");
  app::set_language("de");
  CHECK(std::string(app::tr("in no catalogue")) == "in no catalogue");
  CHECK(std::string(app::tr("")).empty());
}

// Guarantees: a number's sign on the screen is the language's, and nobody else's numbers change. Example failure: JSON
// with decimal commas once the screen speaks German.
TEST_CASE("only the screen's numbers have the language's decimal sign", "[words]") {
  const English after;
  app::set_language("en");
  CHECK(app::number(4.5, 1) == "4.5");
  for (const char* code : {"de", "es"}) {
    app::set_language(code);
    CHECK(app::number(4.5, 1) == "4,5");
    CHECK(app::number(-12.345, 2) == "-12,35");
    CHECK(app::number(1234.0, 0) == "1234");
    CHECK(app::number(-0.04, 1) == "0,0");
    CHECK(app::format("%.1f", 4.5) == "4.5");
    CHECK(std::string(std::setlocale(LC_NUMERIC, nullptr)) == "C");
    CHECK(std::string(std::setlocale(LC_MESSAGES, nullptr)) == "C");
  }
}

// Guarantees: reports stay English while the screen speaks another language, on their own thread only.
TEST_CASE("a report is English whatever the screen speaks", "[words]") {
  const English after;
  app::set_language("de");
  {
    const app::InEnglish report;
    CHECK(std::string(app::tr("No job is chosen.")) == "No job is chosen.");
    CHECK(app::number(0.5, 1) == "0.5");
    CHECK(std::string(app::tr("%d mark", "%d marks", 2)) == "%d marks");
    std::string elsewhere;
    std::thread([&] { elsewhere = app::tr("No job is chosen."); }).join();
    CHECK(elsewhere != "No job is chosen.");
  }
  CHECK(std::string(app::tr("No job is chosen.")) != "No job is chosen.");
  CHECK(std::string(app::tr("%d mark", "%d marks", 1)) != std::string(app::tr("%d mark", "%d marks", 2)));
}

// Guarantees: a set-up screen speaks the language of the station's settings, and the command line English afterwards.
TEST_CASE("a screen's language ends with the screen", "[words]") {
  const English after;
  const fs::path folder = fs::temp_directory_path() / ("hoopgauge-language-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  app::Settings settings;
  settings.language = "es";
  app::save_settings(settings, app::settings_file(folder / "station.toml"));
  {
    const Variable all("LC_ALL", "C");
    const app::ScreenLanguage screen(folder / "station.toml");
    CHECK(app::language() == "es");
  }
  CHECK(app::language() == "en");
  fs::remove_all(folder);
}

// Guarantees: what calib says in whole sentences can be translated. Example failure: a new fault is English on a German
// screen.
TEST_CASE("the catalogues have what calib says", "[words]") {
  std::vector<std::string> said;
  for (int i = 0; i <= static_cast<int>(calib::TeachFault::notches_missing); ++i)
    said.push_back(calib::sentence(static_cast<calib::TeachFault>(i)));
  for (int i = 0; i <= static_cast<int>(calib::HeightFault::disagree); ++i)
    said.push_back(calib::sentence(static_cast<calib::HeightFault>(i)));
  for (int i = 1; i <= static_cast<int>(calib::LensFault::not_a_lens); ++i)
    said.push_back(calib::advice(static_cast<calib::LensFault>(i)));
  for (int i = 0; i <= static_cast<int>(calib::RingShape::other); ++i)
    said.push_back(calib::name(static_cast<calib::RingShape>(i)));
  for (const std::string& one : said) {
    INFO(one);
    CHECK(!one.empty());
    CHECK(std::count(app::kCalibWords.begin(), app::kCalibWords.end(), one) == 1);
  }
}

// Guarantees: counts take the form that the language has for them.
TEST_CASE("a count has its form", "[words]") {
  const English after;
  for (const char* code : {"en", "de", "es", "xx"}) {
    app::set_language(code);
    CHECK(std::string(app::tr("%d in no catalogue", "%d in no catalogues", 1)) == "%d in no catalogue");
    CHECK(std::string(app::tr("%d in no catalogue", "%d in no catalogues", 0)) == "%d in no catalogues");
    CHECK(std::string(app::tr("%d in no catalogue", "%d in no catalogues", 2)) == "%d in no catalogues");
  }
}

// Guarantees: the order that GNU gettext's manual gives ("Locale Environment Variables", "The LANGUAGE variable").
// Example failure: LANG beats LC_ALL, or LANGUAGE is obeyed in the C locale.
TEST_CASE("the system's language is found as gettext finds it", "[words]") {
  CHECK(system_language_of("", nullptr, nullptr, nullptr) == "en");
  CHECK(system_language_of("", nullptr, nullptr, "de_AT.UTF-8") == "de");
  CHECK(system_language_of("", nullptr, "es_MX", "de_DE.UTF-8") == "es");
  CHECK(system_language_of("", "de_CH@euro", "es_MX", "en_GB") == "de");
  CHECK(system_language_of("", "fr_FR.UTF-8", nullptr, "de_DE") == "en");
  CHECK(system_language_of("fr:es:de", nullptr, nullptr, "de_DE") == "es");
  CHECK(system_language_of("fr", nullptr, nullptr, "de_DE") == "de");
  CHECK(system_language_of("de", nullptr, nullptr, "C.UTF-8") == "de");
  CHECK(system_language_of("de", "C", nullptr, "es_ES.UTF-8") == "en");
  CHECK(system_language_of("de", nullptr, nullptr, "POSIX") == "en");
  CHECK(system_language_of("", nullptr, nullptr, "den") == "en");
}

// Guarantees: a LANGUAGE in the environment does not overrule what was chosen at the station.
TEST_CASE("the station's choice beats the environment", "[words]") {
  const English after;
  const Variable language("LANGUAGE", "es"), lang("LANG", "C.UTF-8"), all("LC_ALL", nullptr);
  app::set_language("de");
  const std::string german = app::tr("No job is chosen.");
  app::set_language("");
  const std::string spanish = app::tr("No job is chosen.");
  CHECK(german != spanish);
  CHECK(german != "No job is chosen.");
  CHECK(spanish != "No job is chosen.");
  app::set_language("de");
  CHECK(app::tr("No job is chosen.") == german);
}

// Guarantees: both translations have every text of the source, none that left it, none unsure, and the same printf
// directives. Example failure: a new button is English among German ones.
TEST_CASE("the translations are complete", "[words][complete]") {
  const fs::path folder = fs::temp_directory_path() / ("hoopgauge-words-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  const std::string pot = (folder / "source.pot").string();
  const auto run = [&](const std::string& line) {
    const auto [code, said] = run_line("LC_ALL=C.UTF-8 LANGUAGE= " + line);
    INFO(line << "\n" << said);
    CHECK(code == 0);
    return said;
  };
  run("'" + (kWords / "refresh").string() + "' '" + pot + "'");
  for (const char* code : {"de", "es"}) {
    const std::string po = (kWords / "po" / (std::string(code) + ".po")).string();
    run("msgfmt --check -o /dev/null '" + po + "'");
    run("msgcmp '" + po + "' '" + pot + "'");                                            // none missing, empty or fuzzy
    CHECK(run("msgcomm --less-than=2 --omit-header '" + po + "' '" + pot + "'") == "");  // none besides
    CHECK(run("msgattrib --only-obsolete '" + po + "'") == "");
  }
  fs::remove_all(folder);
}

// Guarantees: the screen's face has every character of every text. Example failure: a box for the inverted question
// mark.
TEST_CASE("the face has the characters of the translations", "[words]") {
  REQUIRE(TTF_Init() == 0);
  for (const app::Weight weight : {app::Weight::regular, app::Weight::bold}) {
    const auto file = app::find_font(weight);
    REQUIRE(file);
    TTF_Font* font = TTF_OpenFont(file->c_str(), 20);
    REQUIRE(font != nullptr);
    std::set<char32_t> wanted;
    for (const char32_t code : code_points("äöüÄÖÜß ñÑáéíóúü¿¡ °±×–")) wanted.insert(code);
    for (const app::Language& language : app::languages())
      for (const char32_t code : code_points(language.name)) wanted.insert(code);
    for (const char* po : {"de.po", "es.po"})
      for (const char32_t code : code_points(content(kWords / "po" / po)))
        if (code != U'\n') wanted.insert(code);
    CHECK(wanted.size() > 80);
    for (const char32_t code : wanted) {
      INFO("U+" << std::hex << static_cast<unsigned>(code));
      CHECK(TTF_GlyphIsProvided32(font, code) != 0);
    }
    TTF_CloseFont(font);
  }
  TTF_Quit();
}
