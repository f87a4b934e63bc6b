// Text in lines, as it is drawn.
#include <string>

#include "app/screen/text.h"
#include "app/screen/window.h"
#include "tests/catch.h"

TEST_CASE("text is broken between words and measured as it is drawn", "[screen][text]") {
  const auto window = app::Window::in_memory({640, 400});
  app::Text text(window->renderer());
  const app::TextStyle style{app::Weight::regular, 20};
  const std::string_view sentence = "Lay the outer ring in its place, and check that the right hoop is chosen.";
  std::string together;
  for (std::string_view line : text.wrap(style, sentence, 300.0F)) {
    CHECK(text.width(style, line) <= 300.0F);
    if (!together.empty()) together += ' ';
    together += line;
  }
  CHECK(together == sentence);
  CHECK(text.wrap(style, "Unbreakablelongwordwithoutend no", 50.0F).size() == 2);
  CHECK(text.wrap(style, "", 50.0F).empty());
  CHECK(text.width(style, "±0.06°") > text.width(style, "0.06"));
  CHECK_NOTHROW(text.width(style, "\xff\xc3"));  // bytes that are no text
}
