// What is proposed for a job, and what is said against it. The figures of the guides are the trade's own (common
// practice, or from memory).
#include <algorithm>

#include "app/jobs/hoop_proposal.h"
#include "app/jobs/job_advice.h"
#include "app/jobs/preparation.h"
#include "tests/catch.h"

namespace {

vision::Hoop rectangle(const std::string& name, double width, double height) {
  vision::Hoop hoop;
  hoop.name = name;
  hoop.field_mm = {width, height};
  return hoop;
}

vision::Hoop round_hoop(const std::string& name, double diameter) {
  vision::Hoop hoop = rectangle(name, diameter, diameter);
  hoop.field_is_round = true;
  return hoop;
}

// In no order of size.
const std::vector<vision::Hoop> kHoops{rectangle("200 x 300", 200, 300), rectangle("130 x 180", 130, 180),
                                       round_hoop("round 120", 120), rectangle("100 x 100", 100, 100)};

struct Shop {
  app::ClothGuide cloths = app::ClothGuide::built_in();
  app::PlaceGuide places = app::PlaceGuide::built_in();
  app::JobAdvice of(const app::Job& job, app::Units units = app::Units::mm,
                    const std::vector<vision::Hoop>& hoops = kHoops) const {
    const auto design = job.design_mm ? std::optional(app::rectangle_design(*job.design_mm)) : std::nullopt;
    return app::job_advice(job, design, {cloths, places, hoops, {}}, units);
  }
};

bool said(const std::vector<std::string>& all, const std::string& part) {
  return std::any_of(all.begin(), all.end(), [&](const auto& one) { return one.find(part) != std::string::npos; });
}

app::Job job_of(const std::string& cloth) {
  app::Job job;
  job.name = "Job";
  job.cloth = cloth;
  return job;
}

}  // namespace

// Guarantees: the smallest field that holds the design with 2 mm all round. By hand: 96 x 96 has exactly 2 mm in
// 100 x 100; its half diagonal of 67.9 mm is too long for round 120. Example failure: a design as large as the field is
// sent to it, and the needle strikes the ring.
TEST_CASE("the smallest taught hoop that holds the design with clearance is proposed", "[job-advice]") {
  const auto best = [](double width, double height, bool may_turn) {
    return app::smallest_hoop(app::rectangle_design({width, height}), kHoops, may_turn);
  };
  CHECK(best(96.0, 96.0, false)->hoop == "100 x 100");
  CHECK_THAT(best(96.0, 96.0, false)->gap_mm, WithinAbs(0.0, 1e-9));
  CHECK(best(96.1, 96.0, false)->hoop == "130 x 180");
  CHECK(best(30.0, 30.0, false)->hoop == "100 x 100");
  // 110 x 30: its half diagonal is 57.0 mm, so it lies in a circle of 58 mm; the square is too narrow.
  CHECK(best(110.0, 30.0, false)->hoop == "round 120");
  CHECK(best(112.0, 32.0, false)->hoop == "130 x 180");  // 58.2 mm
  CHECK(best(170.0, 120.0, false)->hoop == "200 x 300");
  REQUIRE(best(170.0, 120.0, true));
  CHECK(best(170.0, 120.0, true)->hoop == "130 x 180");
  CHECK(best(170.0, 120.0, true)->turned);
  CHECK_FALSE(best(50.0, 60.0, true)->turned);
  CHECK_FALSE(best(197.0, 200.0, false));
  CHECK_FALSE(app::smallest_hoop(app::rectangle_design({10.0, 10.0}), {}, true));
}

TEST_CASE("what the job says goes before what the guide proposes", "[job-advice]") {
  const Shop shop;
  app::Job job = job_of("polo");
  app::Preparation made = app::preparation(job, shop.cloths);
  CHECK(made.stabilizer.value == "cut-away");
  CHECK(made.stabilizer.source == app::kCommonPractice);
  CHECK_FALSE(made.stabilizer.of_job);
  CHECK(made.way.value == "framed");
  CHECK_THAT(made.stretch_limit_percent.value(), WithinAbs(1.0, 0.0));
  CHECK(made.stretch_source == app::kFromMemory);
  job.stabilizer = "mesh";
  job.stretch_limit_percent = 2.0;
  made = app::preparation(job, shop.cloths);
  CHECK(made.stabilizer.value == "mesh");
  CHECK(made.stabilizer.of_job);
  CHECK_THAT(made.stretch_limit_percent.value(), WithinAbs(2.0, 0.0));
  CHECK(made.stretch_source.empty());
  CHECK(app::preparation(job_of("paper"), shop.cloths).stabilizer.value.empty());
  CHECK(app::preparation(job_of(""), shop.cloths).topping.value.empty());
}

TEST_CASE("a knit on tear-away and a napped cloth without topping are spoken against", "[job-advice]") {
  const Shop shop;
  app::Job knit = job_of("tee");
  CHECK(shop.of(knit).warnings.empty());
  CHECK(said(shop.of(knit).proposals, "Stabilizer: cut-away (common practice). Note: fusible stops the stretch."));
  CHECK(said(shop.of(knit).proposals, "up to 1.0 % (from memory)"));
  knit.stabilizer = "Tear-away";
  CHECK(said(shop.of(knit).warnings, "The stabilizer Tear-away does not suit tee: take cut-away (common practice)."));
  CHECK_FALSE(said(shop.of(knit).proposals, "Stabilizer"));
  app::Job towel = job_of("towel");
  CHECK(shop.of(towel).warnings.empty());
  towel.topping = "none";
  CHECK(said(shop.of(towel).warnings, "Without topping the stitches sink into towel: lay water-soluble topping on it"));
  app::Job apron = job_of("apron");
  apron.topping = "none";
  CHECK(shop.of(apron).warnings.empty());
  CHECK(said(shop.of(job_of("felt")).warnings, "The cloth guide does not know felt"));
  CHECK(shop.of(job_of("")).warnings.empty());
}

TEST_CASE("a hoop that is not taught, does not fit or leaves no room is spoken of", "[job-advice]") {
  const Shop shop;
  app::Job job = job_of("");
  job.design_mm = cv::Size2d(90.0, 70.0);
  CHECK(said(shop.of(job).proposals, "Hoop: 100 x 100, the smallest taught one that holds the design."));
  job.hoop = "100 x 100";
  CHECK(shop.of(job).warnings.empty());
  job.hoop = "150 x 240";
  CHECK(said(shop.of(job).warnings, "The hoop 150 x 240 is not taught yet."));
  CHECK(said(shop.of(job).proposals, "Hoop: 100 x 100"));
  job.hoop = "100 x 100";
  job.design_mm = cv::Size2d(95.0, 95.0);  // 2.5 mm to the edge, 0.5 beyond the clearance
  CHECK(said(shop.of(job).warnings, "Only 0.5 mm is left round the design in 100 x 100"));
  CHECK(said(shop.of(job, app::Units::inch).warnings, "Only 0.02 in is left"));
  job.design_mm = cv::Size2d(99.0, 95.0);
  CHECK(said(shop.of(job).warnings, "does not fit the field of 100 x 100, with 2 mm to its edge"));
  CHECK(said(shop.of(job).proposals, "Hoop: 130 x 180"));
  job.hoop = "130 x 180";
  job.design_mm = cv::Size2d(170.0, 100.0);
  CHECK(said(shop.of(job).warnings, "fits the field of 130 x 180 only turned by 90°"));
  job.hoop.clear();
  CHECK(said(shop.of(job).proposals, "Hoop: 200 x 300, the smallest"));
  CHECK(said(shop.of(job).proposals, "Hoop: 130 x 180 holds it turned by 90°."));
  job.design_mm = cv::Size2d(500.0, 10.0);
  CHECK(said(shop.of(job).warnings, "No taught hoop holds the design."));
}

TEST_CASE("a place out of the usual, or half said, is spoken of with the usual figures", "[job-advice]") {
  const Shop shop;
  app::Job job = job_of("");
  job.garment = "polo, adult";
  job.place = {"left chest", 205.0, 125.0};
  CHECK(shop.of(job).warnings.empty());
  job.place.down_mm = 150.0;
  CHECK(said(shop.of(job).warnings,
             "150 mm down from the shoulder seam at the neck is not the usual: 180 to 230 mm (from memory)."));
  job.place.across_mm.reset();
  CHECK(
      said(shop.of(job).warnings, "Not said: how far … from the centre line, on the wearer's left. Usual: 100 to 150"));
  CHECK(said(shop.of(job, app::Units::inch).warnings, "5.91 in down"));  // 150 / 25.4
  job.place.name = "left knee";
  CHECK(said(shop.of(job).warnings, "has no place left knee"));
}

TEST_CASE("stickers that would lie over each other are named", "[job-advice]") {
  const Shop shop;
  app::Job job = job_of("");
  job.placed_stickers = {{14, {-22.0, 0.0}, 0.0}, {15, {22.0, 0.0}, 0.0}};  // 44 mm: they touch
  CHECK(shop.of(job).warnings.empty());
  job.placed_stickers[1].at_mm.x = 21.9;
  CHECK(said(shop.of(job).warnings, "Stickers 14 and 15 would lie over each other"));
}

TEST_CASE("where the sticker goes is said in words, to the design's centre", "[job-advice]") {
  const Shop shop;
  app::Job job = job_of("");
  job.garment = "bath towel";
  job.place = {"above the border", 50.0, 0.0};
  const auto words = app::place_sentences(job, shop.places, cv::Size2d(120.0, 60.0), app::Units::mm);
  REQUIRE(words.size() == 3);
  CHECK(words[0] == "The design's lower edge: 50 mm up from the border or hem.");
  CHECK(words[1] == "So its centre: 80 mm up from the border or hem.");
  CHECK(words[2] == "Across: on the middle line.");
  CHECK(app::place_sentences(job, shop.places, std::nullopt, app::Units::inch).front() ==
        "The design's lower edge: 1.97 in up from the border or hem.");
  job.garment = "tea cosy";
  CHECK(app::place_sentences(job, shop.places, std::nullopt, app::Units::mm).empty());
}
