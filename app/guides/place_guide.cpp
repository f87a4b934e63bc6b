#include "app/guides/place_guide.h"

#include <algorithm>
#include <array>

#include "app/guides/guide_line.h"
#include "app/names.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr calib::Range kDown_mm{0.0, 2000.0};        // a bath sheet, and more than any garment
constexpr calib::Range kAcross_mm{-1000.0, 1000.0};  // likewise, to both sides
constexpr calib::Range kWidth_mm{50.0, 3000.0};
constexpr std::array<const char*, 7> kShapes{"other", "shirt", "polo", "sweatshirt", "towel", "napkin", "apron"};
constexpr std::array<const char*, 3> kTo{"centre", "top", "bottom"};

// Which of the words it is; the first where the key is not there.
template <typename Words>
std::size_t word_in(const calib::Section& in, const std::string& key, const Words& words) {
  if (!in.has(key)) return 0;
  const std::string word = in.text(key, format("%s = \"%s\"", key, words[1]));
  const auto found = std::find(words.begin(), words.end(), word);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  std::string all;
  for (const char* one : words) all.append(all.empty() ? "" : ", ").append(one);
  in.fail_at(in.line_of(key), format("'%s' is '%s'; write one of %s", key, word, all));
}

Garment garment_in(const calib::Section& in) {
  in.allow_only({"name", "cloth", "shape", "width_mm"});
  Garment garment;
  garment.name = guide_line(in, "name", "name = \"polo, adult\"");
  if (in.has("cloth")) garment.cloth = guide_line(in, "cloth", "cloth = \"knit\"");
  garment.shape = static_cast<GarmentShape>(word_in(in, "shape", kShapes));
  if (in.has("width_mm")) garment.width_mm = in.number("width_mm", kWidth_mm, "width_mm = 540.0");
  return garment;
}

// A range with its words: both or neither.
std::optional<LengthRange> range_in(const calib::Section& in, const std::string& what, calib::Range range,
                                    std::string& words) {
  const std::string key = what + "_mm", words_key = what + "_words";
  if (!in.has(key)) {
    if (in.has(words_key))
      in.fail_at(in.line_of(words_key),
                 format("'%s' is there without '%s'; add %s = [75.0, 100.0]", words_key, key, key));
    return std::nullopt;
  }
  const auto ends = in.numbers(key, 2, range, key + " = [75.0, 100.0]");
  if (ends[0] > ends[1])
    in.fail_at(in.line_of(key), format("'%s' goes from the larger to the smaller; write the smaller first", key));
  const std::string example = words_key + " = \"{} down from the neck rib\"";
  words = guide_line(in, words_key, example);
  if (words.find("{}") == std::string::npos)
    in.fail_at(in.line_of(words_key), format("'%s' has no {} where the length stands; write %s", words_key, example));
  return LengthRange{ends[0], ends[1]};
}

Place place_in(const calib::Section& in) {
  in.allow_only({"garments", "name", "down_mm", "down_words", "across_mm", "across_words", "to", "source", "note"});
  Place place;
  place.garments = in.texts("garments", "garments = [\"polo, adult\"]");
  if (place.garments.empty()) in.fail_at(in.line_of("garments"), "'garments' is empty; name a garment or more");
  place.name = guide_line(in, "name", "name = \"left chest\"");
  place.down_mm = range_in(in, "down", kDown_mm, place.down_words);
  place.across_mm = range_in(in, "across", kAcross_mm, place.across_words);
  place.to = static_cast<Place::To>(word_in(in, "to", kTo));
  place.source = guide_line(in, "source", "source = \"common practice\"");
  if (in.has("note")) place.note = guide_line(in, "note", "note = \"Not across the placket.\"");
  return place;
}

bool is_for(const Place& place, const std::string& garment) {
  return std::any_of(place.garments.begin(), place.garments.end(),
                     [&](const std::string& one) { return same_name(one, garment); });
}

}  // namespace

PlaceGuide PlaceGuide::built_in() {
  PlaceGuide guide;
  guide.add(built_in_text(), "the built-in place guide");
  return guide;
}

std::filesystem::path PlaceGuide::own_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "places.toml";
}

PlaceGuide PlaceGuide::of_station(const std::filesystem::path& station_file) {
  PlaceGuide guide = built_in();
  const std::filesystem::path own = own_file(station_file);
  if (std::filesystem::exists(own)) guide.add(calib::text_of_file(own), own.string());
  return guide;
}

void PlaceGuide::add(std::string_view text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section in(file, table, "a place guide");
  in.allow_only({"garment", "place"});
  std::vector<Garment> garments;
  for (const calib::Section& section : in.tables("garment")) garments.push_back(garment_in(section));
  std::vector<Place> places;
  for (const calib::Section& section : in.tables("place")) {
    Place place = place_in(section);
    for (const std::string& garment : place.garments)
      for (const Place& other : places)
        if (same_name(other.name, place.name) && is_for(other, garment))
          section.fail_at(section.line_of("name"),
                          format("'%s' is there twice for '%s'; leave one out", place.name, garment));
    places.push_back(std::move(place));
  }
  for (Garment& one : garments) {
    const auto twin = std::find_if(garments_.begin(), garments_.end(),
                                   [&](const Garment& other) { return same_name(other.name, one.name); });
    if (twin != garments_.end())
      *twin = std::move(one);
    else
      garments_.push_back(std::move(one));
  }
  for (Place& one : places) {
    for (Place& other : places_)
      if (same_name(other.name, one.name))
        std::erase_if(other.garments, [&](const std::string& garment) { return is_for(one, garment); });
    std::erase_if(places_, [](const Place& other) { return other.garments.empty(); });
    places_.push_back(std::move(one));
  }
  // A place may name a garment of its own.
  for (const Place& one : places_)
    for (const std::string& garment : one.garments)
      if (find_garment(garment) == nullptr) garments_.push_back({garment, "", GarmentShape::other, 500.0});
}

std::vector<const Place*> PlaceGuide::places_of(const std::string& garment) const {
  std::vector<const Place*> out;
  for (const Place& one : places_)
    if (is_for(one, garment)) out.push_back(&one);
  return out;
}

const Garment* PlaceGuide::find_garment(const std::string& name) const {
  for (const Garment& one : garments_)
    if (same_name(one.name, name)) return &one;
  return nullptr;
}

const Place* PlaceGuide::find(const std::string& garment, const std::string& place) const {
  for (const Place& one : places_)
    if (same_name(one.name, place) && is_for(one, garment)) return &one;
  return nullptr;
}

std::optional<double> down_to_centre_mm(const Place& place, double down_mm,
                                        const std::optional<cv::Size2d>& design_mm) {
  if (place.to == Place::To::centre) return down_mm;
  if (!design_mm) return std::nullopt;
  // Measured to the edge that is nearer to the reference: the centre lies half a height beyond.
  return down_mm + design_mm->height / 2.0;
}

std::string with_length(const std::string& words, const std::string& length) {
  const std::size_t at = words.find("{}");
  return at == std::string::npos ? words + ' ' + length : words.substr(0, at) + length + words.substr(at + 2);
}

}  // namespace app
