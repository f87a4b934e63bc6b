#include "app/guides/cloth_guide.h"

#include <algorithm>

#include "app/guides/guide_line.h"
#include "app/names.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr calib::Range kStretch_percent{0.1, 20.0};  // below is finer than any reading

std::string line_in(const calib::Section& in, std::string_view key, const std::string& example, bool may_lack = false) {
  return may_lack && !in.has(key) ? "" : guide_line(in, key, example);
}

std::vector<std::string> some_in(const calib::Section& in, std::string_view key, const std::string& example) {
  std::vector<std::string> all = in.texts(key, example);
  if (all.empty()) in.fail_at(in.line_of(key), format("'%s' is empty; write %s", std::string(key), example));
  return all;
}

std::string source_in(const calib::Section& in, std::string_view key) {
  return line_in(in, key, format("%s = \"common practice\"", std::string(key)));
}

ClothType cloth_in(const calib::Section& in) {
  in.allow_only({"name", "also", "stabilizers", "stabilizer_note", "stabilizer_source", "avoid", "topping",
                 "topping_note", "topping_source", "napped", "ways", "way_note", "way_source", "stretch_limit_percent",
                 "stretch_source"});
  ClothType cloth;
  cloth.name = line_in(in, "name", "name = \"knit\"");
  if (in.has("also")) cloth.also = in.texts("also", "also = [\"tee\", \"polo\"]");
  cloth.stabilizers = some_in(in, "stabilizers", "stabilizers = [\"cut-away\"]");
  cloth.stabilizer_note = line_in(in, "stabilizer_note", "stabilizer_note = \"fusible stops the stretch\"", true);
  cloth.stabilizer_source = source_in(in, "stabilizer_source");
  if (in.has("avoid")) cloth.avoid = in.texts("avoid", "avoid = [\"tear-away\"]");
  for (const std::string& one : cloth.avoid)
    if (same_name(one, cloth.stabilizers.front()))
      in.fail_at(in.line_of("avoid"),
                 format("'avoid' holds '%s', which 'stabilizers' proposes; leave it out of one", one));
  cloth.topping = line_in(in, "topping", "topping = \"none\"");
  cloth.topping_note = line_in(in, "topping_note", "topping_note = \"on ribbed faces\"", true);
  cloth.topping_source = source_in(in, "topping_source");
  if (in.has("napped")) cloth.napped = in.flag("napped", "napped = true");
  cloth.ways = some_in(in, "ways", "ways = [\"framed\"]");
  cloth.way_note = line_in(in, "way_note", "way_note = \"no hoop marks\"", true);
  cloth.way_source = source_in(in, "way_source");
  if (in.has("stretch_limit_percent")) {
    cloth.stretch_limit_percent = in.number("stretch_limit_percent", kStretch_percent, "stretch_limit_percent = 1.0");
    cloth.stretch_source = source_in(in, "stretch_source");
  }
  return cloth;
}

Procedure procedure_in(const calib::Section& in, std::string_view key) {
  in.allow_only({"name", key, "source"});
  Procedure procedure;
  procedure.name = line_in(in, "name", "name = \"cut-away\"");
  if (in.has(key)) procedure.steps = in.texts(key, format("%s = [\"Lift it off, then trim it.\"]", std::string(key)));
  procedure.source = source_in(in, "source");
  return procedure;
}
Procedure layer_in(const calib::Section& in) { return procedure_in(in, "finishing"); }
Procedure way_in(const calib::Section& in) { return procedure_in(in, "steps"); }

template <typename Named>
void put(std::vector<Named>& all, Named one) {
  const auto twin = std::find_if(all.begin(), all.end(), [&](const Named& o) { return same_name(o.name, one.name); });
  if (twin != all.end())
    *twin = std::move(one);
  else
    all.push_back(std::move(one));
}

// Of one text: a name that stands there twice is a slip, not a change.
template <typename Named>
std::vector<Named> named_in(const calib::Section& in, std::string_view key, Named (*read)(const calib::Section&)) {
  std::vector<Named> all;
  for (const calib::Section& section : in.tables(key)) {
    Named one = read(section);
    for (const Named& other : all)
      if (same_name(other.name, one.name))
        section.fail_at(section.line_of("name"),
                        format("'%s' is there twice; give one of them another name", one.name));
    all.push_back(std::move(one));
  }
  return all;
}

void take(std::vector<GuideStep>& all, const Procedure& procedure) {
  for (const std::string& text : procedure.steps) all.push_back({text, procedure.source});
}

void take_called(std::vector<GuideStep>& all, const std::vector<Procedure>& procedures, const std::string& name) {
  for (const Procedure& one : procedures)
    if (same_name(one.name, name)) take(all, one);
}

}  // namespace

ClothGuide ClothGuide::built_in() {
  ClothGuide guide;
  guide.add(built_in_text(), "the built-in cloth guide");
  return guide;
}

std::filesystem::path ClothGuide::own_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "cloths.toml";
}

ClothGuide ClothGuide::of_station(const std::filesystem::path& station_file) {
  ClothGuide guide = built_in();
  const std::filesystem::path own = own_file(station_file);
  if (std::filesystem::exists(own)) guide.add(calib::text_of_file(own), own.string());
  return guide;
}

void ClothGuide::add(std::string_view text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section in(file, table, "a cloth guide");
  in.allow_only({"cloth", "stabilizer", "topping", "way", "finishing"});
  // All is read before anything is taken over: a fault leaves the guide as it was.
  const std::vector<ClothType> cloths = named_in<ClothType>(in, "cloth", cloth_in);
  const std::vector<Procedure> stabilizers = named_in<Procedure>(in, "stabilizer", layer_in);
  const std::vector<Procedure> toppings = named_in<Procedure>(in, "topping", layer_in);
  const std::vector<Procedure> ways = named_in<Procedure>(in, "way", way_in);
  if (in.has("finishing")) {
    const calib::Section steps = in.table("finishing", "[finishing]");
    steps.allow_only({"first", "last", "source"});
    const std::string source = source_in(steps, "source");
    if (steps.has("first")) first_ = {"", steps.texts("first", "first = [\"Remove the basting.\"]"), source};
    if (steps.has("last")) last_ = {"", steps.texts("last", "last = [\"Press from the back.\"]"), source};
  }
  for (const ClothType& one : cloths) put(cloths_, one);
  for (const Procedure& one : stabilizers) put(stabilizers_, one);
  for (const Procedure& one : toppings) put(toppings_, one);
  for (const Procedure& one : ways) put(ways_, one);
}

const ClothType* ClothGuide::find(const std::string& name) const {
  for (const ClothType& one : cloths_)
    if (same_name(one.name, name)) return &one;
  for (const ClothType& one : cloths_)
    if (std::any_of(one.also.begin(), one.also.end(), [&](const auto& also) { return same_name(also, name); }))
      return &one;
  return nullptr;
}

std::vector<GuideStep> ClothGuide::finishing(const std::string& stabilizer, const std::string& topping) const {
  std::vector<GuideStep> all;
  take(all, first_);
  take_called(all, stabilizers_, stabilizer);
  take_called(all, toppings_, topping);
  take(all, last_);
  return all;
}

std::vector<GuideStep> ClothGuide::hooping(const std::string& way) const {
  std::vector<GuideStep> all;
  take_called(all, ways_, way);
  return all;
}

}  // namespace app
