// Jobs on disk.
#include "app/crew/crew.h"
#include "app/jobs/job_file.h"
#include "app/jobs/job_store.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

app::Job polo() {
  app::Job job;
  job.name = "Polo, left chest";
  job.ticket = 500;
  job.hoop = "130 x 180";
  job.stickers = {7, 3};
  job.tolerance = {2.5, 0.7};
  job.design_mm = cv::Size2d(80.25, 60.0);
  job.pieces = 40;
  job.note = "thin cloth: \"two\" layers";
  return job;
}

app::Job plain(const std::string& name, std::optional<int> ticket = {}) {
  app::Job job;
  job.name = name;
  job.ticket = ticket;
  return job;
}

std::string names(const app::JobList& list) {
  std::string out;
  for (const app::StoredJob& one : list.jobs) out += (out.empty() ? "" : ", ") + one.job.name;
  return out;
}

}  // namespace

TEST_CASE("a job comes back as it was saved, under a file name that surprises nobody", "[jobs]") {
  const TemporaryFolder folder;
  const app::JobStore store(app::job_folder(folder.path / "station.toml"));
  CHECK(store.list().jobs.empty());
  const auto file = store.save(polo());
  CHECK(file == folder.path / "jobs" / "polo-left-chest.toml");
  const auto back = store.find("POLO,  left chest");
  REQUIRE(back);
  CHECK(app::text_of(back->job) == app::text_of(polo()));
  CHECK(back->job.stickers == std::vector<int>{7, 3});
  CHECK_THAT(back->job.design_mm->width, WithinAbs(80.25, 0.0));
  CHECK(store.of_ticket(500)->job.name == "Polo, left chest");
  CHECK_FALSE(store.of_ticket(501));

  app::Job changed = polo();
  changed.pieces = 41;
  CHECK(store.save(changed) == file);
  CHECK(store.list().jobs.size() == 1);
  CHECK(store.save(plain("polo left chest")) == folder.path / "jobs" / "polo-left-chest-2.toml");
  CHECK(store.save(plain("ポロ")) == folder.path / "jobs" / "job.toml");
}

TEST_CASE("all that a job says comes back from its file", "[jobs]") {
  app::Job job = polo();
  job.garment = "polo, adult";
  job.cloth = "knit";
  job.stabilizer = "cut-away";
  job.topping = "none";
  job.way = "tube";
  job.place = {"left chest", 1.0 / 3.0, -125.0};
  job.machine = "Machine 1";
  job.stickers.clear();
  job.placed_stickers = {{14, {-50.125, 0.0}, 90.0}, {15, {50.0, 1e-3}, -12.5}};
  job.stretch_limit_percent = 1.5;
  job.design_file = "leaf \\ \"x\".svg";
  const app::Job back = app::job_from_text(app::text_of(job), "job.toml");
  CHECK(back.garment == job.garment);
  CHECK(back.cloth == job.cloth);
  CHECK(back.stabilizer == job.stabilizer);
  CHECK(back.topping == job.topping);
  CHECK(back.way == job.way);
  CHECK(back.place == job.place);
  CHECK(back.machine == job.machine);
  CHECK(back.placed_stickers == job.placed_stickers);
  CHECK(back.stretch_limit_percent == job.stretch_limit_percent);
  CHECK(back.design_file == job.design_file);
  CHECK(app::text_of(back) == app::text_of(job));
}

TEST_CASE("a place may be written in inches, and is kept in millimetres", "[jobs]") {
  const app::Job job =
      app::job_from_text("name = \"Cap\"\n[place]\nname = \"left chest\"\ndown_in = 8\nacross_in = 4.5\n", "cap.toml");
  CHECK_THAT(job.place.down_mm.value(), WithinAbs(203.2, 1e-9));  // 8 x 25.4
  CHECK_THAT(job.place.across_mm.value(), WithinAbs(114.3, 1e-9));
  CHECK(holds(app::text_of(job), "down_mm = 203.2\n"));
}

TEST_CASE("what a job says twice or in half is named with the mend", "[jobs]") {
  const auto said = [](const std::string& lines) {
    return error_of([&] { app::job_from_text("name = \"Cap\"\n" + lines + "\n", "cap.toml"); });
  };
  CHECK(holds(said("stickers = [1]\n[[sticker]]\nnumber = 2\nat_mm = [0, 0]"),
              "cap.toml:3: both 'stickers' and [[sticker]] are there; leave 'stickers' out"));
  CHECK(holds(said("[[sticker]]\nnumber = 2\nat_mm = [0, 0]\n[[sticker]]\nnumber = 2\nat_mm = [60, 0]"),
              "cap.toml:6: sticker 2 is there twice; give each [[sticker]] a number of its own"));
  CHECK(holds(said("[[sticker]]\nnumber = 2"), "cap.toml:2: [[sticker]] no. 1 has no 'at_mm'; add a line such as"));
  CHECK(holds(said("[[sticker]]\nnumber = 2\nat_mm = [0, 501]"), "'at_mm' is 501; write a number from -500 to 500"));
  CHECK(holds(said("[place]\nname = \"left chest\"\ndown_mm = 200\ndown_in = 8"),
              "cap.toml:5: both 'down_mm' and 'down_in' are there; leave one of them out"));
  CHECK(holds(said("[place]\ndown_mm = 200"), "cap.toml:2: [place] has no 'name'"));
  CHECK(holds(said("[place]\nname = \"left chest\"\ndown_in = 80"), "'down_in' is 80; write a number from 0 to 78.7"));
  CHECK(holds(said("[place]\nname = \"left chest\"\nup_mm = 80"), "cap.toml:4: 'up_mm' is not a key of [place]"));
  CHECK(holds(said("cloth = \"\""), "cap.toml:2: 'cloth' is empty; write cloth = \"knit\", or leave the line out"));
  CHECK(holds(said("stretch_limit_percent = 0"), "'stretch_limit_percent' is 0; write a number from 0.1 to 20"));
  CHECK(holds(said("place = \"chest\""), "'place' is a text; write a line [place]"));
}

TEST_CASE("jobs are listed as people count, and damaged files do not hide them", "[jobs]") {
  const TemporaryFolder folder;
  const app::JobStore store(folder.path);
  store.save(plain("Order 12"));
  store.save(plain("order 9"));
  folder.put("a.toml", "name = \"Cap\"\npieces = many\n");
  folder.put("b.toml", "pieces = 3\n");
  folder.put("order-9b.toml", "name = \"ORDER 9\"\n");
  folder.put("readme.txt", "no job");
  const app::JobList list = store.list();
  CHECK(names(list) == "order 9, Order 12");
  REQUIRE(list.damaged.size() == 3);
  CHECK(holds(list.damaged[0].message, "a.toml:2: is not TOML here"));
  CHECK(holds(list.damaged[1].message, "b.toml:1: a job file has no 'name'; add a line such as"));
  CHECK(holds(list.damaged[2].message, "order-9b.toml: is called 'ORDER 9' as order-9.toml is"));
}

TEST_CASE("a job's key that is misspelt, of the wrong kind or out of range is named with its line", "[jobs]") {
  const auto said = [](const std::string& line) {
    return error_of([&] { app::job_from_text("name = \"Cap\"\n" + line + "\n", "cap.toml"); });
  };
  CHECK(said("tickets = 500") == "cap.toml:2: 'tickets' is not a key of a job file; write 'ticket'");
  CHECK(holds(said("ticket = 479"), "cap.toml:2: 'ticket' is 479; write a whole number from 480 to 586"));
  CHECK(holds(said("stickers = [1, 100]"), "cap.toml:2: 'stickers' is 100; write a whole number from 0 to 99"));
  CHECK(holds(said("stickers = [4, 2,\n4]"), "cap.toml:3: 'stickers' holds 4 twice"));
  CHECK(holds(said("tolerance_mm = nan"), "'tolerance_mm' is nan; write a number from 0.1 to 20"));
  CHECK(holds(said("tolerance_deg = 0.0"), "'tolerance_deg' is 0"));
  CHECK(holds(said("design_mm = [80.0]"), "'design_mm' has 1 numbers; write 2"));
  CHECK(holds(said("hoop = \"\""), "'hoop' is empty"));
  CHECK(holds(said("pieces = 1e3"), "'pieces' is a number; write a whole number"));
  CHECK(holds(said("note = \"two\\nlines\""), "the note holds a control character"));
  CHECK(said("") == "no error");
}

// Guarantees: a card never chooses the wrong job. Example failure: of two jobs with one ticket the first by name wins.
TEST_CASE("a ticket that two jobs share, or that is a badge, chooses none of them and is named", "[jobs]") {
  const TemporaryFolder folder;
  const app::JobStore store(folder.path / "jobs");
  store.save(plain("Cap", 500));
  store.save(plain("Bag", 502));
  CHECK(error_of([&] { store.save(plain("Shirt", 500)); }) == "ticket 500 is that of 'Cap'; choose another ticket");
  folder.put("jobs/shirt.toml", "name = \"Shirt\"\nticket = 500\n");
  app::JobList list = store.list();
  CHECK(names(list) == "Bag, Cap, Shirt");
  REQUIRE(list.damaged.size() == 2);
  CHECK(holds(list.damaged[0].message, "cap.toml: has ticket 500 as shirt.toml has"));
  CHECK(holds(list.damaged[1].message, "shirt.toml: has ticket 500 as cap.toml has"));
  CHECK_FALSE(store.of_ticket(500));
  CHECK(error_of([&] { store.save(plain("Scarf", 500)); }).starts_with("ticket 500 is that of"));

  app::Crew crew(folder.path / "operators.toml");
  crew.add({"Ada", 502});
  app::drop_badges(list, crew);
  REQUIRE(list.damaged.size() == 3);
  CHECK(holds(list.damaged[2].message, "bag.toml: its ticket 502 is the badge of 'Ada'"));
  CHECK_FALSE(list.jobs[0].job.ticket);
  CHECK(store.find("Bag")->job.ticket == 502);  // in its file as it was
}
