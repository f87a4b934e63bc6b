// The records view: the chosen operator's own figures first, others' only by a touch made for that, the evidence of a
// hint one touch away, and corrections that can be taken back.
// Example failures: another operator's pieces on the first page; a piece that was set aside still counts; a page with
// keys over one another; the circle of the tolerance at another scale than the points.
#include <filesystem>

#include "app/records/correction.h"
#include "app/views/records/dart_board.h"
#include "app/views/records/piece_words.h"
#include "app/words/words.h"
#include "tests/app/records_person.h"
#include "tests/catch.h"
#include "tests/temporary_folder.h"

namespace {

using app::RecordsPage;
using app::RecordsSeen;

bool only_of(const RecordsSeen& seen, const std::string& name) {
  for (const app::PieceRow& row : seen.pieces)
    if (seen.name(row.operator_name) != name) return false;
  return !seen.pieces.empty();
}

bool overlap(const SDL_FRect& a, const SDL_FRect& b) {
  return a.x < b.x + b.w - 0.5F && b.x < a.x + a.w - 0.5F && a.y < b.y + b.h - 0.5F && b.y < a.y + a.h - 0.5F;
}

void check_fits(RecordsPerson& person, const std::string& what) {
  const cv::Size size = person.person().size();
  INFO(what << " at " << size.width << " x " << size.height);
  const float least = app::Scale(size.width, size.height).mm(app::kTouch_mm) - 0.5F;
  const auto& buttons = person.view().buttons();
  for (const app::Button& b : buttons) {
    INFO("button " << b.id << " " << b.label << " " << b.area.w << " x " << b.area.h);
    CHECK(b.area.w >= least);
    CHECK(b.area.h >= least);
    CHECK(b.area.x + b.area.w <= static_cast<float>(size.width) + 0.5F);
    CHECK(b.area.y + b.area.h <= static_cast<float>(size.height) + 0.5F);
    for (const app::Button& other : buttons)
      if (other.id != b.id) CHECK_FALSE(overlap(b.area, other.area));
  }
  for (const std::string& cut : person.person().text().take_unfit()) FAIL_CHECK("cut: " << cut);
}

}  // namespace

TEST_CASE("own pieces come first, everyone's and others' by touch only", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  CHECK(person.seen().ask.operator_name == "Operator A");
  CHECK(only_of(person.seen(), "Operator A"));
  REQUIRE(person.touch({"What is shown", "Whose pieces", "Everyone"}));
  CHECK_FALSE(person.seen().ask.operator_name);
  CHECK_FALSE(only_of(person.seen(), "Operator A"));
  CHECK(person.seen().count == 34);
  REQUIRE(person.touch({"What is shown", "Whose pieces", "Operator B"}));
  CHECK(only_of(person.seen(), "Operator B"));
  // Whoever comes again sees the own first.
  REQUIRE(person.open());
  CHECK(person.seen().ask.operator_name == "Operator A");
}

TEST_CASE("with nobody chosen the shop is shown", "[views][recordsview]") {
  app::DemoShop shop("en");
  shop.desk().choose_operator("");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  CHECK_FALSE(person.seen().ask.operator_name);
  CHECK(person.seen().count == 34);
}

TEST_CASE("hidden operators are not listed", "[views][recordsview]") {
  app::DemoShop shop("en");
  app::Naming hide;
  hide.kind = app::Naming::Kind::hide;
  hide.name = "Operator B";
  shop.desk().log().keep(hide);
  REQUIRE(shop.desk().log().flush(5.0));
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.touch({"What is shown", "Whose pieces"}));
  CHECK(person.person().find("Operator A") != nullptr);
  CHECK(person.person().find("Operator B") == nullptr);
}

TEST_CASE("a hint's evidence and its pieces are one touch away each", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.touch({"Hints"}));
  REQUIRE_FALSE(person.seen().hints.empty());
  const app::Hint hint = person.seen().hints.front();
  CHECK(hint.name == "demo 110 x 110");  // the invented operator's trouble
  CHECK(hint.habit.kind == app::Habit::Kind::low);
  REQUIRE(person.touch({"", ""}));
  REQUIRE(person.seen().opened);
  CHECK(person.seen().opened->row.seq == hint.evidence.back().seq);
  CHECK(person.seen().opened->record.hoop == "demo 110 x 110");
  REQUIRE(person.key(SDLK_ESCAPE));
  REQUIRE(person.key(SDLK_ESCAPE));
  CHECK(person.seen().ask.page == RecordsPage::hints);
  CHECK(shop.desk().view() == app::ViewId::records);
  person.person().key(SDLK_ESCAPE);
  CHECK(shop.desk().view() == app::ViewId::work);
}

TEST_CASE("everyone's pieces are opened without a name, one person's with it", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.touch({"Pieces", ""}));
  REQUIRE(person.seen().opened);
  for (const bool named : {false, true}) {
    bool found = false;
    for (const app::Fact& fact :
         app::piece_facts(*person.seen().opened, person.seen().names, named, app::Units::mm, std::time(nullptr)))
      found = found || fact.caption == "Operator";
    CHECK(found == named);
  }
}

TEST_CASE("whoever's badge is laid sees the own figures first", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.touch({"Pieces"}));
  shop.desk().choose_operator("Operator B");
  REQUIRE(person.settle());
  CHECK(person.seen().ask.page == RecordsPage::board);
  CHECK(person.seen().ask.operator_name == "Operator B");
}

TEST_CASE("a piece is set aside, given to another, and that is taken back", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  const std::size_t before = person.seen().count;
  REQUIRE(person.touch({"Pieces", ""}));
  REQUIRE(person.seen().opened);
  const std::int64_t seq = person.seen().opened->row.seq;
  REQUIRE(person.touch({"Does not count"}));
  CHECK(person.person().told() == "The piece counts no more, in any figure.");
  CHECK(person.seen().opened->row.set_aside);
  REQUIRE(person.touch({"Back", "Where"}));
  CHECK(person.seen().count == before - 1);
  REQUIRE(person.touch({"Pieces", ""}));
  CHECK(person.seen().opened->row.seq == seq);  // still listed
  REQUIRE(person.touch({"Does count"}));
  CHECK_FALSE(person.seen().opened->row.set_aside);
  REQUIRE(person.touch({"Undo"}));
  CHECK(person.seen().opened->row.set_aside);
  CHECK_FALSE(person.person().touch("Undo"));
  REQUIRE(person.touch({"Does count", "Other operator", "Operator C"}));
  // The list is Operator A's: the piece has left it, but stays open.
  REQUIRE(person.seen().opened);
  CHECK(person.seen().name(person.seen().opened->row.operator_name) == "Operator C");
  CHECK(person.seen().opened->record.operator_name == "Operator A");  // as it was kept
  REQUIRE(person.touch({"Undo"}));
  CHECK(person.seen().name(person.seen().opened->row.operator_name) == "Operator A");
  REQUIRE(person.touch({"Other job", "Demo caps, front"}));
  CHECK(person.seen().name(person.seen().opened->row.job) == "Demo caps, front");
}

TEST_CASE("the list of pieces begins with the newest and can be moved to its end", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.touch({"What is shown", "Whose pieces", "Everyone", "Pieces"}));
  REQUIRE(person.seen().pieces.size() == person.seen().count);
  CHECK(person.view().list().first() == 0);
  CHECK(person.view().list().end() >= 6);
  REQUIRE(person.key(SDLK_END));
  CHECK(person.view().list().end() == static_cast<int>(person.seen().count));
  REQUIRE(person.touch({""}));
  CHECK(person.seen().opened->row.seq < person.seen().pieces.back().seq);
  // Back at the list, it is where it was.
  REQUIRE(person.touch({"Back"}));
  CHECK(person.view().list().end() == static_cast<int>(person.seen().count));
}

TEST_CASE("the log's pieces are followed while they are looked at", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  const std::size_t before = person.seen().count;
  app::PieceRecord one = shop.desk().log().newest(1).at(0);
  one.id.clear();
  one.operator_name = "Operator A";
  shop.desk().log().keep(one);
  REQUIRE(shop.desk().log().flush(5.0));
  const auto give_up = std::chrono::steady_clock::now() + std::chrono::seconds(5);
  while (person.seen().count == before && std::chrono::steady_clock::now() < give_up) {
    std::this_thread::sleep_for(std::chrono::milliseconds(20));
    person.settle();
  }
  CHECK(person.seen().count == before + 1);
}

TEST_CASE("hoop, cloth, job and span choose among the pieces", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.touch({"What is shown", "How far back", "the last 13 weeks"}));
  const std::size_t all = person.seen().count;
  CHECK(all > 250);
  REQUIRE(person.touch({"What is shown", "Hoop", "demo 110 x 110"}));
  const std::size_t small = person.seen().count;
  CHECK(small > 50);
  CHECK(small < all);
  REQUIRE(person.touch({"What is shown", "Cloth", "towel"}));
  CHECK(person.seen().count == 0);  // no towel was hooped on it
  REQUIRE(person.touch({"What is shown", "Hoop", "All hoops"}));
  CHECK(person.seen().count > 50);
  REQUIRE(person.touch({"What is shown", "Cloth", "All cloths"}));
  CHECK(person.seen().count == all);
  // Whose figures hold on all pages, the span is each page's own.
  REQUIRE(person.touch({"Weeks"}));
  CHECK(person.seen().trend.rows[0].bins.size() >= 10);
  CHECK(person.seen().trend.verdict.kind == app::TrendVerdict::Kind::better);
}

TEST_CASE("an empty log, and one piece", "[views][recordsview]") {
  app::DemoShop shop("en");
  const TemporaryFolder folder;
  app::Desk desk({shop.desk().work().station(), shop.desk().hoops().front(), shop.desk().hoops(),
                  folder.path / "station.toml", nullptr});
  RecordsPerson person(desk);
  REQUIRE(person.open());
  for (const char* page : {"Weeks", "Hints", "Pieces", "Where"}) {
    REQUIRE(person.touch({page}));
    CHECK(person.seen().count == 0);
    check_fits(person, page);
  }
  app::PieceRecord one = shop.desk().log().newest(1).at(0);
  desk.log().keep(one);
  REQUIRE(desk.log().flush(5.0));
  REQUIRE(person.open());
  for (const char* page : {"Weeks", "Hints", "Pieces", "Where"}) {
    REQUIRE(person.touch({page}));
    CHECK(person.seen().count == 1);
    check_fits(person, page);
  }
  REQUIRE(person.touch({"Pieces", ""}));
  check_fits(person, "one piece");
}

TEST_CASE("a database that cannot be read is said, and so is the log's trouble", "[views][recordsview]") {
  app::DemoShop shop("en");
  const TemporaryFolder folder;
  const std::filesystem::path station = folder.path / "station.toml";
  std::filesystem::create_directory(app::log_file(station));  // no file can be there
  app::Desk desk({shop.desk().work().station(), shop.desk().hoops().front(), shop.desk().hoops(), station, nullptr});
  RecordsPerson person(desk);
  REQUIRE(person.open());
  CHECK_FALSE(person.seen().fault.empty());
  app::PieceRecord one = shop.desk().log().newest(1).at(0);
  desk.log().keep(one);
  desk.log().flush(1.0);
  CHECK_FALSE(desk.log().trouble().empty());
  REQUIRE(person.open());
  check_fits(person, "trouble");
}

TEST_CASE("keys lead through the pages as touches do", "[views][recordsview]") {
  app::DemoShop shop("en");
  RecordsPerson person(shop.desk());
  REQUIRE(person.open());
  REQUIRE(person.key(SDLK_2));
  CHECK(person.seen().ask.page == RecordsPage::weeks);
  REQUIRE(person.key(SDLK_3));
  CHECK(person.seen().ask.page == RecordsPage::hints);
  REQUIRE(person.key(SDLK_4));
  CHECK(person.seen().ask.page == RecordsPage::pieces);
  REQUIRE(person.key(SDLK_s));
  REQUIRE(person.key(SDLK_1));
  REQUIRE(person.key(SDLK_2));
  CHECK_FALSE(person.seen().ask.operator_name);
}

TEST_CASE("every page of the records fits every screen", "[views][recordsview]") {
  app::DemoShop shop("en");
  // The largest ones are as wide to their height as these.
  for (const cv::Size& size : {cv::Size(1024, 600), cv::Size(800, 1280)}) {
    RecordsPerson person(shop.desk(), size);
    const auto check_page = [&](std::initializer_list<std::string> labels, const std::string& what) {
      REQUIRE(person.open());
      REQUIRE(person.touch(labels));
      check_fits(person, what);
    };
    check_page({}, "board");
    check_page({"Weeks"}, "weeks");
    check_page({"Hints"}, "hints");
    check_page({"Hints", ""}, "evidence");
    check_page({"Pieces"}, "pieces");
    check_page({"Hints", "", ""}, "piece");
    check_page({"Hints", "", "", "Other operator"}, "other operator");
    check_page({"What is shown"}, "shown");
    check_page({"What is shown", "Whose pieces"}, "whose");
    check_page({"What is shown", "Whose pieces", "Everyone"}, "everyone");
    check_page({"What it tells"}, "about");
  }
}

// By hand: a piece two thirds of the tolerance off has its middle at two thirds of the circle's radius.
TEST_CASE("the dart board's circle and points have one scale", "[views][recordsview]") {
  std::unique_ptr<app::Window> window = app::Window::in_memory({1200, 1200});
  app::Canvas canvas(window->renderer());
  app::Text text(window->renderer());
  app::PieceRow row;
  row.offset_x_mm = -2.0F;
  row.tolerance_mm = 3.0F;
  row.tolerance_deg = 1.0F;
  const std::vector<app::PieceRow> pieces{row};
  const SDL_FRect area{0.0F, 0.0F, 2400.0F, 2400.0F};  // what is drawn in memory is twice as fine
  const app::Scale scale(2400, 2400);
  canvas.clear(app::theme::kGround);
  app::draw_dart_board(canvas, text, scale, area, pieces, nullptr, app::Units::mm);
  const cv::Mat picture = window->picture();
  const auto is_near = [](const cv::Vec3b& pixel, app::Colour colour) {
    return std::abs(pixel[0] - colour.b) + std::abs(pixel[1] - colour.g) + std::abs(pixel[2] - colour.r) < 40;
  };
  REQUIRE(picture.type() == CV_8UC3);
  // Along the row through the middle, to the right: the white circle; to the left: the green disc.
  std::vector<int> white, green;
  for (int x = 600; x < 1200; ++x)
    if (is_near(picture.at<cv::Vec3b>(600 - 3, x), app::theme::kText)) white.push_back(x);
  for (int x = 0; x < 600; ++x)
    if (is_near(picture.at<cv::Vec3b>(600 - 3, x), app::theme::kWithin)) green.push_back(x);
  REQUIRE_FALSE(white.empty());
  REQUIRE_FALSE(green.empty());
  const double radius = 0.5 * (white.front() + white.back() + 1) - 600.0;
  const double point = 600.0 - 0.5 * (green.front() + green.back() + 1);
  CHECK_THAT(point / radius, WithinAbs(2.0 / 3.0, 0.01));
}
