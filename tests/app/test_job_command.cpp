// `hoopgauge job`, run as a program is.
#include <filesystem>
#include <sstream>

#include "app/commands/job.h"
#include "app/commands/length_words.h"
#include "app/crew/crew.h"
#include "app/jobs/job_store.h"
#include "tests/app/run_program.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

struct Told {
  int code = 0;
  std::string out, err;
};

template <typename Run>
Told told(Run run) {
  std::ostringstream out, err;
  const int code = run(out, err);
  return {code, out.str(), err.str()};
}

app::Job towel() {
  app::Job job;
  job.name = "Demo towel";
  job.garment = "bath towel";
  job.cloth = "towel";
  job.place = {"above the border", 50.0, 0.0};
  job.design_mm = cv::Size2d(120.0, 60.0);
  return job;
}

}  // namespace

TEST_CASE("lengths are typed in mm or inches", "[job-command]") {
  CHECK_THAT(app::length_mm_from("205").value(), WithinAbs(205.0, 0.0));
  CHECK_THAT(app::length_mm_from("20.5mm").value(), WithinAbs(20.5, 0.0));
  CHECK_THAT(app::length_mm_from("8in").value(), WithinAbs(203.2, 1e-12));
  CHECK_THAT(app::length_mm_from("-1.5").value(), WithinAbs(-1.5, 0.0));
  for (const char* no : {"", "mm", "8 in", "8inch", "1,5", "nan", "inf", "1e999", "0x10", "5.0.1"})
    CHECK_FALSE(app::length_mm_from(no).has_value());
  CHECK_THAT(app::size_mm_from("3.5x2in")->width, WithinAbs(88.9, 1e-12));
  CHECK_THAT(app::size_mm_from("80x60")->height, WithinAbs(60.0, 0.0));
  for (const char* no : {"80", "80x", "x60", "80*60", "80x60x2"}) CHECK_FALSE(app::size_mm_from(no).has_value());
}

// Guarantees: no job is lost by making another one of its name. Example failure: `job new` wrote over an order that was
// half done.
TEST_CASE("a new job never takes the place of another one unasked", "[job-command]") {
  const TemporaryFolder folder;
  const auto station = folder.path / "station.toml";
  const auto make = [&](const app::Job& job, bool replace) {
    return told([&](auto& out, auto& err) { return app::run_job_new(station, job, replace, out, err); });
  };
  const Told first = make(towel(), false);
  CHECK(first.code == 0);
  CHECK(holds(first.out, "demo-towel.toml: written"));
  CHECK(holds(first.out, "proposed: Stabilizer: sticky (common practice)."));
  CHECK(holds(first.out, "look at:  No hoop is taught yet"));
  app::Job other = towel();
  other.name = "DEMO  towel";
  other.pieces = 7;
  const Told again = make(other, false);
  CHECK(again.code == 2);
  CHECK(holds(again.err, "there is a job 'Demo towel' already in"));
  CHECK(holds(again.err, "or add --replace"));
  const app::JobStore store(app::job_folder(station));
  CHECK(store.find("Demo towel")->job.pieces == 0);
  CHECK(make(other, true).code == 0);
  CHECK(store.find("Demo towel")->job.pieces == 7);
  CHECK(store.list().jobs.size() == 1);

  app::Crew(app::crew_file(station)).add({"Ada", 502});
  other.ticket = 502;
  CHECK(holds(make(other, true).err, "ticket 502 is the badge of 'Ada'"));
  other.ticket.reset();
  other.design_file = "leaf.svg";
  CHECK(holds(make(other, true).err, "leaf.svg"));
  CHECK(store.find("Demo towel")->job.design_file.empty());
}

TEST_CASE("jobs are listed, shown, checked and printed by name or file", "[job-command]") {
  const TemporaryFolder folder;
  const auto station = folder.path / "station.toml";
  const app::JobStore store(app::job_folder(station));
  CHECK(holds(told([&](auto& out, auto& err) { return app::run_job_list(station, out, err); }).out,
              "No job is there yet"));
  const auto file = store.save(towel());
  const Told list = told([&](auto& out, auto& err) { return app::run_job_list(station, out, err); });
  CHECK(list.out == "Demo towel | bath towel | above the border | demo-towel.toml\n");
  CHECK(list.code == 0);
  for (const std::string& named : {std::string("demo towel"), file.string()}) {
    const Told show = told([&](auto& out, auto& err) { return app::run_job_show(station, named, out, err); });
    CHECK(show.code == 0);
    CHECK(holds(show.out, "Design: 120 x 60 mm (4.72 x 2.36 in)"));
    CHECK(holds(show.out, "So its centre: 80 mm up from the border or hem."));
  }
  const Told none = told([&](auto& out, auto& err) { return app::run_job_show(station, "cap", out, err); });
  CHECK(none.code == 2);
  CHECK(holds(none.err, "there is no job 'cap'; there are 'Demo towel'"));

  const auto check = [&](const std::vector<std::string>& jobs) {
    return told([&](auto& out, auto& err) { return app::run_job_check(station, jobs, out, err); });
  };
  CHECK(check({}).code == 1);
  CHECK(holds(check({"demo towel"}).out, "  No hoop is taught yet"));
  app::Job plain;
  plain.name = "Plain";
  store.save(plain);
  CHECK(check({"plain"}).out == "Plain: nothing found\n");
  CHECK(check({"plain"}).code == 0);
  folder.put("jobs/bad.toml", "name = \"x\"\ncloht = \"knit\"\n");
  CHECK(holds(check({}).err, "bad.toml:2: 'cloht' is not a key of a job file; write 'cloth'"));

  app::JobPrintOptions print;
  print.job = "Demo towel";
  print.out_file = folder.path / "ticket.pdf";
  const auto printed = [&] {
    return told([&](auto& out, auto& err) { return app::run_job_print(station, print, out, err); });
  };
  CHECK(printed().code == 0);
  CHECK(std::filesystem::file_size(folder.path / "ticket.pdf") > 1000);
  CHECK(holds(printed().err, "is there already; name another file with --out, or add --replace"));
  print.replace = true;
  CHECK(printed().code == 0);
  print.out_file = folder.path / "ticket.png";
  CHECK(holds(printed().err, "end the file's name with .pdf"));
}

TEST_CASE("the command line says all of a job, and refuses what it cannot use", "[job-command]") {
  const TemporaryFolder folder;
  const std::string station = " --station " + (folder.path / "station.toml").string();
  const auto made =
      run("job new 'Demo polo' --garment 'polo, adult' --cloth knit --place 'left chest' --down 8in --across 125 "
          "--design 3.5x2.5in --hoop '130 x 180' --machine M --ticket 507 --sticker 14=-50,0 --sticker 15=2in,0,90 "
          "--tolerance 2.5 --tolerance-deg 0.5 --stretch-limit 1.5 --pieces 40 --note 'Thin cloth' --topping none" +
          station);
  INFO(made.second);
  CHECK(made.first == 0);
  const auto stored = app::JobStore(folder.path / "jobs").find("Demo polo");
  REQUIRE(stored);
  const app::Job& job = stored->job;
  CHECK_THAT(job.place.down_mm.value(), WithinAbs(203.2, 1e-9));
  CHECK_THAT(job.place.across_mm.value(), WithinAbs(125.0, 1e-9));
  CHECK_THAT(job.design_mm->width, WithinAbs(88.9, 1e-9));
  REQUIRE(job.placed_stickers.size() == 2);
  CHECK_THAT(job.placed_stickers[1].at_mm.x, WithinAbs(50.8, 1e-9));
  CHECK_THAT(job.placed_stickers[1].turn_deg, WithinAbs(90.0, 1e-9));
  CHECK(job.ticket == 507);
  CHECK_THAT(job.stretch_limit_percent.value(), WithinAbs(1.5, 0.0));
  CHECK(job.topping == "none");
  const auto refused = [&](const std::string& options) {
    const auto [code, text] = run("job new X " + options + station);
    CHECK(code == 2);
    return text;
  };
  CHECK(holds(refused("--down 8inch"), "--down: '8inch' does not do: write it as 205, 205mm or 8in"));
  CHECK(holds(refused("--down 9000"), "--down: '9000' must be 0 to 2000 mm"));
  CHECK(holds(refused("--design 80"), "write it as 80x60 or 3.5x2.5in"));
  CHECK(holds(refused("--sticker 14=50"), "write it as 14=-50,0 or 14=-50,0,90"));
  CHECK(holds(refused("--ticket 5"), "--ticket"));
  CHECK(holds(refused("--stickers 1-3 --sticker 4=0,0"), "both 'stickers' and [[sticker]] are there"));
  CHECK(std::filesystem::exists(folder.path / "jobs" / "x.toml") == false);
}
