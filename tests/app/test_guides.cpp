// The guides of cloths and places. Their figures are those of the trade's own page (common practice, or from memory).
#include <algorithm>

#include "app/guides/cloth_guide.h"
#include "app/guides/place_guide.h"
#include "app/words/guide_words.h"
#include "tests/catch.h"
#include "tests/error_of.h"
#include "tests/temporary_folder.h"

namespace {

std::string steps(const std::vector<app::GuideStep>& all) {
  std::string out;
  for (const app::GuideStep& one : all) out += one.text + "\n";
  return out;
}

}  // namespace

TEST_CASE("the cloth guide proposes what the trade usually does, and says where it has it from", "[guides]") {
  const app::ClothGuide guide = app::ClothGuide::built_in();
  const app::ClothType* knit = guide.find("Polo");
  REQUIRE(knit != nullptr);
  CHECK(knit->name == "knit");
  CHECK(knit->stabilizers == std::vector<std::string>{"cut-away"});
  CHECK(knit->avoid == std::vector<std::string>{"tear-away"});
  CHECK(knit->stabilizer_source == app::kCommonPractice);
  CHECK(knit->ways == std::vector<std::string>{"framed", "tube"});
  CHECK_THAT(knit->stretch_limit_percent.value(), WithinAbs(1.0, 0.0));
  CHECK(knit->stretch_source == app::kFromMemory);
  CHECK(guide.find("apron")->stabilizers.front() == "tear-away");
  CHECK(guide.find("apron")->topping == app::kNoTopping);
  CHECK_FALSE(guide.find("apron")->stretch_limit_percent.has_value());
  for (const char* napped : {"towel", "fleece", "velvet"}) {
    CHECK(guide.find(napped)->napped);
    CHECK(guide.find(napped)->topping == "water-soluble");
    CHECK(guide.find(napped)->ways.front() == "floated");
  }
  CHECK(guide.find("sheer")->stabilizers == std::vector<std::string>{"water-soluble", "fine cut-away"});
  CHECK(guide.find("vinyl")->stabilizer_source == app::kFromMemory);
  CHECK(guide.find("paper") == nullptr);
  for (const app::ClothType& cloth : guide.cloths()) {
    INFO(cloth.name);
    for (const std::string* source : {&cloth.stabilizer_source, &cloth.topping_source, &cloth.way_source})
      CHECK((*source == app::kCommonPractice || *source == app::kFromMemory));
    CHECK(cloth.stretch_limit_percent.has_value() != cloth.stretch_source.empty());
  }
}

TEST_CASE("finishing goes by stabilizer and topping, from the basting to the press", "[guides]") {
  const app::ClothGuide guide = app::ClothGuide::built_in();
  CHECK(steps(guide.finishing("tear-away", "water-soluble")) ==
        "Remove the basting from the back.\nTear the tear-away gently, holding the stitches.\n"
        "Lift the topping off, dab the rest with water.\nPress from the back, face down on a towel.\n");
  CHECK(steps(guide.finishing("cut-away", "none")) ==
        "Remove the basting from the back.\nLift the cut-away off the cloth first, then trim it.\n"
        "Press from the back, face down on a towel.\n");
  CHECK(guide.finishing("", "").size() == 2);
  CHECK(guide.finishing("something of our own", "").size() == 2);
  for (const app::GuideStep& one : guide.finishing("sticky", "water-soluble")) CHECK_FALSE(one.source.empty());
  for (const app::ClothType& cloth : guide.cloths())
    for (const std::string& way : cloth.ways) CHECK_FALSE(guide.hooping(way).empty());
}

TEST_CASE("a person's own guide adds to the built-in one and goes before it", "[guides]") {
  const TemporaryFolder folder;
  const auto station = folder.path / "station.toml";
  CHECK(app::ClothGuide::of_station(station).cloths().size() == app::ClothGuide::built_in().cloths().size());
  folder.put("cloths.toml",
             "[[cloth]]\nname = \"Knit\"\nstabilizers = [\"mesh\"]\nstabilizer_source = \"our shop\"\n"
             "topping = \"none\"\ntopping_source = \"our shop\"\nways = [\"framed\"]\nway_source = \"our shop\"\n"
             "[[stabilizer]]\nname = \"mesh\"\nfinishing = [\"Trim it.\"]\nsource = \"our shop\"\n");
  const app::ClothGuide guide = app::ClothGuide::of_station(station);
  CHECK(guide.cloths().size() == app::ClothGuide::built_in().cloths().size());
  CHECK(guide.find("knit")->stabilizers.front() == "mesh");
  CHECK(guide.find("knit")->stabilizer_source == "our shop");
  CHECK(steps(guide.finishing("mesh", "none")).find("Trim it.") != std::string::npos);

  folder.put("places.toml",
             "[[place]]\ngarments = [\"tee, adult\", \"bag\"]\nname = \"left chest\"\ndown_mm = [190, 190]\n"
             "down_words = \"{} down from the seam\"\nsource = \"our shop\"\n");
  const app::PlaceGuide places = app::PlaceGuide::of_station(station);
  CHECK_THAT(places.find("tee, adult", "left chest")->down_mm->low_mm, WithinAbs(190.0, 0.0));
  CHECK_THAT(places.find("polo, adult", "left chest")->down_mm->low_mm, WithinAbs(180.0, 0.0));
  CHECK(places.find_garment("Bag") != nullptr);
  CHECK(places.places_of("tee, adult").size() == 2);
}

TEST_CASE("a fault in a person's guide is named with file, line and mend, and changes nothing", "[guides]") {
  app::ClothGuide guide = app::ClothGuide::built_in();
  const auto said = [&](const std::string& text) { return error_of([&] { guide.add(text, "cloths.toml"); }); };
  const std::string rest =
      "stabilizer_source = \"s\"\ntopping = \"none\"\ntopping_source = \"s\"\nways = [\"framed\"]\nway_source = "
      "\"s\"\n";
  CHECK(holds(said("[[cloth]]\nname = \"felt\"\n"), "cloths.toml:1: [[cloth]] no. 1 has no 'stabilizers'"));
  CHECK(holds(said("[[cloth]]\nname = \"felt\"\nstabilizers = []\n" + rest), "cloths.toml:3: 'stabilizers' is empty"));
  CHECK(holds(said("[[cloth]]\nname = \"felt\"\nstabilizers = [\"a\", \"a\"]\n" + rest), "holds 'a' twice"));
  CHECK(holds(said("[[cloth]]\nname = \"felt\"\nstabilizers = [\"a\"]\navoid = [\"A\"]\n" + rest),
              "'avoid' holds 'A', which 'stabilizers' proposes"));
  CHECK(holds(said("[[cloth]]\nname = \"felt\"\nstabiliser = \"a\"\n"), "'stabiliser' is not a key"));
  CHECK(holds(said("[[stabilizer]]\nname = \"x\"\nsource = \"s\"\n[[stabilizer]]\nname = \"X\"\nsource = \"s\"\n"),
              "cloths.toml:5: 'X' is there twice"));
  CHECK(guide.find("felt") == nullptr);

  app::PlaceGuide places = app::PlaceGuide::built_in();
  const auto told = [&](const std::string& lines) {
    return error_of([&] {
      places.add("[[place]]\ngarments = [\"bag\"]\nname = \"front\"\nsource = \"s\"\n" + lines, "places.toml");
    });
  };
  CHECK(holds(told("down_mm = [9, 8]\ndown_words = \"{} down\"\n"), "places.toml:5: 'down_mm' goes from the larger"));
  CHECK(holds(told("down_mm = [8, 9]\ndown_words = \"down\"\n"), "places.toml:6: 'down_words' has no {}"));
  CHECK(holds(told("down_mm = [8, 9]\n"), "has no 'down_words'"));
  CHECK(holds(told("down_words = \"{} down\"\n"), "'down_words' is there without 'down_mm'"));
  CHECK(holds(told("to = \"middle\"\n"), "'to' is 'middle'; write one of centre, top, bottom"));
  CHECK(places.find("bag", "front") == nullptr);
}

TEST_CASE("the place guide has the trade's figures", "[guides]") {
  const app::PlaceGuide guide = app::PlaceGuide::built_in();
  struct Figure {
    const char *garment, *place;
    double low, high;
  };
  for (const Figure& f : {Figure{"polo, adult", "left chest", 180.0, 230.0},
                          {"tee, youth", "left chest", 130.0, 165.0},
                          {"sweatshirt", "full front", 75.0, 100.0},
                          {"bath towel", "above the border", 50.0, 50.0},
                          {"hand towel", "above the border", 40.0, 40.0},
                          {"napkin", "corner", 60.0, 75.0},
                          {"apron", "bib", 75.0, 100.0}}) {
    INFO(f.garment << ", " << f.place);
    const app::Place* place = guide.find(f.garment, f.place);
    REQUIRE(place != nullptr);
    CHECK_THAT(place->down_mm->low_mm, WithinAbs(f.low, 0.0));
    CHECK_THAT(place->down_mm->high_mm, WithinAbs(f.high, 0.0));
    CHECK(place->source == app::kFromMemory);
    REQUIRE(guide.find_garment(f.garment) != nullptr);
    CHECK(app::ClothGuide::built_in().find(guide.find_garment(f.garment)->cloth) != nullptr);
  }
  CHECK_THAT(guide.find("polo, youth", "left chest")->across_mm->high_mm, WithinAbs(100.0, 0.0));
}

// Guarantees: the sticker is laid at the design's centre. Example failure: "top of the design 80 mm below the rib" put
// the centre there, half a design too high.
TEST_CASE("a place that is measured to the design's edge has its centre half a design further", "[guides]") {
  const app::PlaceGuide guide = app::PlaceGuide::built_in();
  const app::Place& front = *guide.find("sweatshirt", "full front");
  const app::Place& towel = *guide.find("bath towel", "above the border");
  const app::Place& chest = *guide.find("polo, adult", "left chest");
  const cv::Size2d design(200.0, 60.0);
  CHECK_THAT(app::down_to_centre_mm(front, 80.0, design).value(), WithinAbs(110.0, 1e-12));
  CHECK_THAT(app::down_to_centre_mm(towel, 50.0, design).value(), WithinAbs(80.0, 1e-12));
  CHECK_THAT(app::down_to_centre_mm(chest, 200.0, design).value(), WithinAbs(200.0, 1e-12));
  CHECK_FALSE(app::down_to_centre_mm(front, 80.0, std::nullopt).has_value());
  CHECK(app::with_length(front.down_words, "80 mm") == "80 mm down from the neck rib");
}

// Guarantees: the guides speak the screen's language. Example failure: a cloth that was added stands on the German
// screen in English.
TEST_CASE("every word of the built-in guides is in the catalogues", "[guides][words]") {
  const auto listed = [](const std::string& text) {
    INFO(text);
    CHECK((text.empty() || std::any_of(app::kGuideWords.begin(), app::kGuideWords.end(),
                                       [&](const char* word) { return text == word; })));
  };
  const auto all_listed = [&](const std::vector<std::string>& texts) {
    for (const std::string& one : texts) listed(one);
  };
  const app::ClothGuide cloths = app::ClothGuide::built_in();
  for (const app::ClothType& cloth : cloths.cloths()) {
    all_listed({cloth.name, cloth.stabilizer_note, cloth.stabilizer_source, cloth.topping, cloth.topping_note,
                cloth.topping_source, cloth.way_note, cloth.way_source, cloth.stretch_source});
    all_listed(cloth.also);
    all_listed(cloth.stabilizers);
    all_listed(cloth.ways);
    for (const std::string& way : cloth.ways)
      for (const app::GuideStep& step : cloths.hooping(way)) listed(step.text);
  }
  for (const auto* procedures : {&cloths.stabilizers(), &cloths.toppings(), &cloths.ways()})
    for (const app::Procedure& one : *procedures) {
      listed(one.name);
      listed(one.source);
      all_listed(one.steps);
    }
  for (const app::GuideStep& step : cloths.finishing("", "")) listed(step.text);
  const app::PlaceGuide places = app::PlaceGuide::built_in();
  for (const app::Garment& garment : places.garments()) listed(garment.name);
  for (const app::Place& place : places.places())
    all_listed({place.name, place.down_words, place.across_words, place.source, place.note});
}
