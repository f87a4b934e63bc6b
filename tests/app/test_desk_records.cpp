// What a person does at the station to the records: renames, hides, takes out for good; pictures of pieces.
//
// Guarantees: the crew and the records say the same name; a name is taken out only when that was confirmed. Example
// failure: renamed in the list of operators, and the figures know two people.
#include <algorithm>
#include <atomic>
#include <chrono>
#include <opencv2/imgcodecs.hpp>
#include <thread>

#include "app/desk/beside.h"
#include "tests/app/view_person.h"
#include "tests/app/work_bench.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::ViewId;

// As the shell asks, again and again, until the work beside the screen has ended.
std::string outcome_of(app::Desk& desk) {
  for (int i = 0; i < 10000 && desk.beside().running(); ++i) {
    desk.message(1.0);
    std::this_thread::sleep_for(std::chrono::milliseconds(1));
  }
  return desk.beside().last().words;
}

std::vector<std::string> operators_in(const app::PieceLog& log) {
  std::vector<std::string> out;
  for (const app::PieceRecord& one : log.newest(100000)) out.push_back(one.operator_name);
  return out;
}

long count_of(const std::vector<std::string>& all, const std::string& name) {
  return std::count(all.begin(), all.end(), name);
}

app::PieceRecord piece_of(const std::string& name) {
  app::PieceRecord one;
  one.operator_name = name;
  one.time_utc = "2026-01-01T08:00:00Z";
  return one;
}

bool begins(const std::string& text, const std::string& start) { return text.starts_with(start); }

}  // namespace

TEST_CASE("who is renamed is so in the records too", "[views][records]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  desk.log().keep(piece_of("Operator C"));
  const long before = count_of(operators_in(desk.log()), "Operator C");
  REQUIRE(before > 0);
  ViewPerson person(desk);
  person.open(ViewId::operators);
  REQUIRE(person.touch("Operator C"));
  REQUIRE(person.touch("Rename"));
  person.type(" Smith");
  person.key(SDLK_RETURN);
  CHECK(count_of(operators_in(desk.log()), "Operator C") == 0);
  CHECK(count_of(operators_in(desk.log()), "Operator C Smith") == before);
}

TEST_CASE("an operator is hidden, and shown again", "[views][records]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  ViewPerson person(desk);
  person.open(ViewId::operators);
  REQUIRE(person.touch("Nobody"));
  CHECK_FALSE(person.touch("In the records"));
  REQUIRE(person.touch("Operator C"));
  REQUIRE(person.touch("In the records"));
  REQUIRE(person.touch("Hide"));
  CHECK(desk.log().names().hidden("Operator C"));
  CHECK_FALSE(desk.log().names().hidden("Operator A"));
  REQUIRE(person.touch("Show"));
  CHECK_FALSE(desk.log().names().hidden("Operator C"));
}

TEST_CASE("an operator is taken out for good only when that was confirmed", "[views][records]") {
  app::DemoShop shop;
  app::Desk& desk = shop.desk();
  desk.log().keep(piece_of("Operator C"));
  const long before = count_of(operators_in(desk.log()), "Operator C");
  ViewPerson person(desk);
  person.open(ViewId::operators);
  REQUIRE(person.touch("Operator C"));
  REQUIRE(person.touch("In the records"));
  REQUIRE(person.touch("Anonymise"));
  REQUIRE(person.touch("Back"));
  CHECK(desk.crew().find("Operator C") != nullptr);
  CHECK(count_of(operators_in(desk.log()), "Operator C") == before);
  REQUIRE(person.touch("Anonymise"));
  REQUIRE(person.touch("Anonymise"));
  CHECK(desk.settings().operator_name.empty());  // no new record takes the name
  const std::string words = outcome_of(desk);
  CHECK_FALSE(desk.beside().last().bad);
  CHECK(words.find("'s now.") != std::string::npos);
  CHECK(words.find("Operator C") == std::string::npos);
  CHECK(desk.crew().find("Operator C") == nullptr);
  const auto all = operators_in(desk.log());
  CHECK(count_of(all, "Operator C") == 0);
  CHECK(count_of(all, words.substr(words.find("Operator "), 13)) == before);
}

TEST_CASE("a small picture of the piece is kept where it is wanted", "[records][pictures]") {
  for (const bool wanted : {false, true}) {
    CAPTURE(wanted);
    WorkBench bench({1024, 600});
    app::Settings settings = bench.desk.settings();
    settings.piece_pictures = wanted;
    bench.desk.set(settings);
    bench.held(0.5, 0.25, 0.1);
    bench.desk.take();
    bench.desk.start_over();
    bench.held(0.5, 0.25, 0.1);
    bench.desk.open(ViewId::inspect);  // finishes the piece in hand
    REQUIRE(bench.desk.log().newest(5).size() == 1);
    REQUIRE(bench.desk.log().merge(10.0));
    const auto picture = bench.desk.log().picture_of(bench.desk.log().newest(1).at(0).id);
    REQUIRE(picture.has_value() == wanted);
    if (wanted) CHECK(cv::imdecode(picture->jpeg, cv::IMREAD_UNCHANGED).size() == cv::Size(480, 270));
  }
}

// Guarantees: the screen's thread never waits for it, and the program's end does not cut it short without a word.
TEST_CASE("work beside the screen is done once, tells what it does, and ends with the program", "[beside]") {
  app::Beside beside;
  std::atomic<bool> go{false};
  bool went_well = false;
  REQUIRE(beside.start(
      [&](const app::Beside::Tell& tell) {
        tell("copying");
        while (!go) std::this_thread::sleep_for(std::chrono::milliseconds(1));
        return std::string("done");
      },
      [&](bool well) { went_well = well; }));
  while (beside.doing().empty()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  CHECK(beside.doing() == "copying");
  CHECK_FALSE(beside.start([](const app::Beside::Tell&) { return std::string(); }));
  CHECK_FALSE(beside.outcome());
  go = true;
  std::optional<app::Beside::Outcome> outcome;
  while (!(outcome = beside.outcome())) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  CHECK(outcome->words == "done");
  CHECK_FALSE(outcome->bad);
  CHECK(went_well);
  CHECK_FALSE(beside.outcome());
  REQUIRE(beside.start([](const app::Beside::Tell&) -> std::string { throw std::runtime_error("the stick is full"); },
                       [&](bool well) { went_well = well; }));
  while (!(outcome = beside.outcome())) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  CHECK(begins(outcome->words, "the stick is full"));
  CHECK(outcome->bad);
  CHECK_FALSE(went_well);
  {
    app::Beside ended;
    REQUIRE(ended.start([](const app::Beside::Tell& tell) -> std::string {
      while (true) tell("for ever");
    }));
  }
}
