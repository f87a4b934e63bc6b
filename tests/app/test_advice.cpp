#include <algorithm>
#include <set>
#include <string>

#include "app/advice.h"
#include "tests/catch.h"

// Guarantees: every status has a name, a headline and a sentence of its own that fit the screen. Example failure: a
// status added to the enum without a sentence shows the fallback.
TEST_CASE("every status has its own headline and advice", "[advice]") {
  std::set<std::string> names, sentences, headlines;
  for (int i = 0; i < vision::kStatusCount; ++i) {
    const auto status = static_cast<vision::Status>(i);
    const std::string sentence(app::advice(status)), headline(app::headline(status));
    INFO(vision::name(status));
    names.emplace(vision::name(status));
    sentences.insert(sentence);
    headlines.insert(headline);
    CHECK(sentence.size() <= 90);
    CHECK(sentence.ends_with("."));
    CHECK(headline.size() <= 18);
    CHECK(std::all_of(sentence.begin(), sentence.end(), [](char c) { return c >= ' ' && c <= '~'; }));
  }
  const auto none = static_cast<vision::Status>(vision::kStatusCount);
  CHECK(vision::name(none) == "unknown");
  CHECK(sentences.count(std::string(app::advice(none))) == 0);
  CHECK(headlines.count(std::string(app::headline(none))) == 0);
  CHECK(names.size() == vision::kStatusCount);
  CHECK(sentences.size() == vision::kStatusCount);
  CHECK(headlines.size() == vision::kStatusCount);
}
