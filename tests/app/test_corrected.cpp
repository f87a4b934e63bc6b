// Pieces as they count today: corrected, set aside, under names as they are called now.
//
// Guarantees: a correction changes what is shown and counted, never the row; the last one counts. Example failures: two
// corrections of one field apply in the order of their arrival; a piece that was set aside stays in the figures.
#include <SQLiteCpp/SQLiteCpp.h>

#include <opencv2/imgcodecs.hpp>

#include "app/records/corrected.h"
#include "app/records/picture_table.h"
#include "app/records/piece_json.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "tests/app/sample_piece.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

using Kind = app::Naming::Kind;

app::PieceRecord called(const std::string& id, int number = 1) {
  app::PieceRecord one = sample::piece(number, "Ada");
  one.id = id;
  return one;
}

app::Correction correction(const std::string& id, const std::string& time, const std::string& field,
                           const std::string& value) {
  return {id, "p", time, "Ben", field, value, ""};
}

}  // namespace

TEST_CASE("the last correction of a field counts", "[records][corrections]") {
  std::vector<app::Correction> said{correction("z", "2026-02-01", "job", "Polo"),
                                    correction("c", "2026-02-01", "set_aside", "1"),
                                    correction("d", "2026-02-01", "garment_number", "12"),
                                    correction("e", "2026-02-01", "jog_up_mm", "-2.5"),
                                    correction("f", "2026-02-01", "tolerance_mm", "no number"),
                                    correction("g", "2026-02-01", "offset_x_mm", "0"),
                                    correction("b", "2026-02-02", "job", "Cap")};
  app::PieceRecord now = called("p");
  CHECK(app::correct(now, said, {}));
  CHECK(now.job == "Cap");
  CHECK(now.garment_number == 12);
  CHECK_THAT(now.entered.jog_up_mm, WithinAbs(-2.5, 0.0));
  CHECK_THAT(now.tolerance_mm, WithinAbs(2.5, 0.0));
  CHECK_THAT(now.piece.reading.offset_x_mm, WithinAbs(-1.0 / 3.0, 0.0));  // a reading cannot be corrected
  // A mistaken one is undone by another.
  said.push_back(correction("h", "2026-02-03", "set_aside", "0"));
  CHECK_FALSE(app::correct(now, said, {}));
}

TEST_CASE("a piece's operator is called as that name is called now", "[records][corrections]") {
  const app::NameHistory history({{"1", "2026-02-05", Kind::rename, "Ada", "Ada L."},
                                  {"2", "2026-02-06", Kind::rename, "Ben", "Benno"},
                                  {"3", "2026-01-01", Kind::rename, "Ada", "someone of before"}});
  const auto operator_after = [&](const std::vector<app::Correction>& said) {
    app::PieceRecord piece = called("p");
    app::correct(piece, said, history);
    return piece.operator_name;
  };
  CHECK(operator_after({}) == "Ada L.");
  CHECK(operator_after({correction("c", "2026-02-01", "operator", "Ben")}) == "Benno");
  // Another Ben, who came after that one was renamed.
  CHECK(operator_after({correction("c", "2026-02-07", "operator", "Ben")}) == "Ben");
}

TEST_CASE("a correction that cannot be kept says what to write", "[records][corrections]") {
  const auto refusal = [](const std::string& field, const std::string& value) {
    return app::fault_of_correction(correction("c", "2026", field, value));
  };
  CHECK(refusal("job", "Polo").empty());
  CHECK(refusal("jog_up_mm", "-2.5").empty());
  CHECK(refusal("operator", "").empty());  // nobody
  CHECK(holds(refusal("offset_x_mm", "0"), "'offset_x_mm' cannot be corrected; these can: operator, job, garment,"));
  CHECK(refusal("set_aside", "yes") == "set_aside must be 0 or 1");
  CHECK(holds(refusal("garment_number", "1.5"), "must be a whole number from 0, not '1.5'"));
  CHECK(holds(refusal("tolerance_mm", "2,5"), "must be a number with a point above 0, not '2,5'"));
  CHECK_FALSE(refusal("tolerance_mm", "nan").empty());
  CHECK_FALSE(refusal("tolerance_mm", "0").empty());
  CHECK_FALSE(refusal("jog_up_mm", "1e9").empty());
  CHECK_FALSE(refusal("job", std::string(201, 'x')).empty());
}

TEST_CASE("the log shows pieces as they count now, wherever corrections and names wait", "[records][corrections]") {
  const TemporaryFolder folder;
  app::PieceLog log(folder.path / "pieces.sqlite");
  log.keep(called("p", 1));
  log.keep(called("q", 2));
  CHECK(log.newest(5).at(1).job == sample::piece(1).job);
  log.keep(app::Correction{"", "p", "", "Ben", "job", "Cap", ""});
  log.keep(app::Naming{"", "", Kind::rename, "Ada", "Ada L."});
  log.keep(app::Naming{"", "", Kind::hide, "Ada L.", ""});
  for (const bool merged : {false, true}) {
    CAPTURE(merged);
    if (merged) REQUIRE(log.merge(10.0));
    const auto all = log.newest(5);
    REQUIRE(all.size() == 2);
    CHECK(all[1].job == "Cap");
    CHECK(all[0].job == sample::piece(2).job);
    CHECK(all[0].operator_name == "Ada L.");
    CHECK(log.names().hidden("Ada L."));
  }
  SQLite::Database database = app::open_to_read(log.file());
  CHECK(database.execAndGet("SELECT operator || job FROM piece WHERE id = 'p'").getString() ==
        "Ada" + sample::piece(1).job);  // the row stays
}

TEST_CASE("a piece is found by a beginning of its id that no other has", "[records][corrections]") {
  const TemporaryFolder folder;
  SQLite::Database database = app::open_to_write(folder.path / "pieces.sqlite", 100);
  app::insert(database, {called("01a2b3c4-1"), called("01a2b3c4-12"), called("01a2ffff-1")});
  const auto refused = [&](const std::string& id) { return error_of([&] { app::piece_called(database, id); }); };
  CHECK(app::piece_called(database, "01a2f").id == "01a2ffff-1");
  CHECK(app::piece_called(database, "01a2b3c4-12").id == "01a2b3c4-12");
  CHECK(app::piece_called(database, "01a2b3c4-1").id == "01a2b3c4-1");  // all of it, though it begins another
  CHECK(holds(refused("01a2"), "several pieces begin with '01a2', such as 01a2b3c4-1, 01a2b3c4-12"));
  CHECK(holds(refused("01a"), "write at least 4 characters"));
  CHECK(holds(refused("ffff"), "there is no piece 'ffff'"));
  CHECK(holds(refused("%___"), "there is no piece"));
}

TEST_CASE("pictures of pieces are few and small, and go into the database alone", "[records][pictures]") {
  const TemporaryFolder folder;
  const auto file = folder.path / "pieces.sqlite";
  cv::Mat noise(1296, 2304, CV_8UC1);
  cv::randu(noise, 0, 256);
  const std::vector<unsigned char> jpeg = app::small_jpeg(noise);
  REQUIRE_FALSE(jpeg.empty());
  CHECK(jpeg.size() <= app::kLargestPicture_bytes);
  CHECK(cv::imdecode(jpeg, cv::IMREAD_UNCHANGED).size() == cv::Size(480, 270));
  CHECK(app::small_jpeg({}).empty());
  {
    app::PieceLog log(file);
    log.keep(called("p"));
    log.keep(app::PiecePicture{"p", "2026-01-01T00:00:00Z", jpeg});
    REQUIRE(log.merge(10.0));
    CHECK(log.picture_of("p")->jpeg == jpeg);
    CHECK_FALSE(log.picture_of("q"));
  }
  SQLite::Database database = app::open_to_write(file, 100);
  std::vector<app::PiecePicture> more;
  for (int i = 10; i < 20; ++i) more.push_back({"x" + std::to_string(i), "2026-02-" + std::to_string(i), {1, 2, 3}});
  app::insert_pictures(database, more, 4);
  CHECK(database.execAndGet("SELECT group_concat(piece) FROM (SELECT piece FROM picture ORDER BY time_utc)")
            .getString() == "x16,x17,x18,x19");
}
