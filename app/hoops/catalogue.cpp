#include "app/hoops/catalogue.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <cstdio>

#include "app/format.h"
#include "app/words/words.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

// The sizes that the trade calls common; the machine's manual has the last word. The openings are from memory: hoops
// of many kinds are some 10 mm wider and higher inside than the field, others more.
constexpr std::string_view kBuiltIn = R"(# Sizes of hoops to start teaching from. A size here takes the place of the
# built-in one of the same name. Millimetres; the opening is about that of the
# inner ring and may be left out.

[[size]]
name = "100 x 100"
field_mm = [100.0, 100.0]
opening_mm = [110.0, 110.0]
source = "common practice"

[[size]]
name = "130 x 180"
field_mm = [130.0, 180.0]
opening_mm = [140.0, 190.0]
source = "common practice"
also = "5 x 7 in"

[[size]]
name = "150 x 240"
field_mm = [150.0, 240.0]
opening_mm = [160.0, 250.0]
source = "common practice"

[[size]]
name = "200 x 200"
field_mm = [200.0, 200.0]
opening_mm = [210.0, 210.0]
source = "common practice"

[[size]]
name = "200 x 300"
field_mm = [200.0, 300.0]
opening_mm = [210.0, 310.0]
source = "common practice"

[[size]]
name = "round 90"
field_diameter_mm = 90.0
source = "common practice"

[[size]]
name = "round 120"
field_diameter_mm = 120.0
source = "common practice"

[[size]]
name = "round 150"
field_diameter_mm = 150.0
source = "common practice"

[[size]]
name = "round 180"
field_diameter_mm = 180.0
source = "common practice"
)";

constexpr calib::Range kLength_mm{5.0, 2000.0};

std::string squeezed(std::string_view name) {
  std::string out;
  for (const char c : name)
    if (c != ' ') out += static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return out;
}

CommonSize size_from(const calib::Section& section) {
  section.allow_only({"name", "field_mm", "field_diameter_mm", "opening_mm", "source", "also"});
  CommonSize size;
  size.name = section.text("name", "name = \"130 x 180\"");
  if (size.name.empty()) section.fail_at(section.line_of("name"), "'name' is empty; write name = \"130 x 180\"");
  size.field_is_round = section.has("field_diameter_mm");
  if (size.field_is_round && section.has("field_mm"))
    section.fail_at(section.line_of("field_diameter_mm"),
                    "both 'field_mm' and 'field_diameter_mm' are there; leave one out");
  if (size.field_is_round) {
    const double d_mm = section.number("field_diameter_mm", kLength_mm, "field_diameter_mm = 120.0");
    size.field_mm = {d_mm, d_mm};
  } else {
    const auto field =
        section.numbers("field_mm", 2, kLength_mm, "field_mm = [130.0, 180.0], or field_diameter_mm = 120.0");
    size.field_mm = {field[0], field[1]};
  }
  if (section.has("opening_mm")) {
    const auto opening = section.numbers("opening_mm", 2, kLength_mm, "opening_mm = [140.0, 190.0]");
    size.opening_mm = {opening[0], opening[1]};
    if (size.opening_mm.width < size.field_mm.width || size.opening_mm.height < size.field_mm.height)
      section.fail_at(section.line_of("opening_mm"),
                      "'opening_mm' is smaller than the field; leave it out if it is not known");
  }
  size.source = section.text("source", "source = \"the machine's manual\"");
  if (section.has("also")) size.also = section.text("also", "also = \"5 x 7 in\"");
  return size;
}

}  // namespace

std::string_view Catalogue::built_in_text() { return kBuiltIn; }

std::filesystem::path Catalogue::own_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "hoop_sizes.toml";
}

Catalogue Catalogue::of_station(const std::filesystem::path& station_file) {
  Catalogue all;
  all.add(kBuiltIn, "the built-in sizes");
  const std::filesystem::path own = own_file(station_file);
  if (std::filesystem::exists(own)) all.add(calib::text_of_file(own), own.string());
  return all;
}

void Catalogue::add(std::string_view text, const std::string& file) {
  const toml::table root = calib::parse_toml(text, file);
  const calib::Section top(file, root, "a file of hoop sizes");
  top.allow_only({"size"});
  for (const calib::Section& section : top.tables("size")) {
    CommonSize size = size_from(section);
    const auto same = std::find_if(sizes_.begin(), sizes_.end(),
                                   [&](const CommonSize& one) { return squeezed(one.name) == squeezed(size.name); });
    if (same == sizes_.end())
      sizes_.push_back(std::move(size));
    else
      *same = std::move(size);
  }
}

const CommonSize& Catalogue::find(const std::string& name) const {
  std::string known;
  for (const CommonSize& size : sizes_) {
    if (squeezed(size.name) == squeezed(name) || (!size.also.empty() && squeezed(size.also) == squeezed(name)))
      return size;
    known += (known.empty() ? "'" : ", '") + size.name + "'";
  }
  throw calib::FileError("there is no size '" + name + "' in the catalogue; there are " + known +
                         ", or give the field with --field");
}

const CommonSize* Catalogue::by_opening(cv::Size2d opening) const {
  const CommonSize* best = nullptr;
  double nearest_mm = 4.0;
  for (const CommonSize& size : sizes_) {
    if (size.opening_mm.empty()) continue;
    const double off_mm =
        std::max(std::abs(size.opening_mm.width - opening.width), std::abs(size.opening_mm.height - opening.height));
    if (off_mm <= nearest_mm) best = &size, nearest_mm = off_mm;
  }
  return best;
}

std::string field_text(cv::Size2d field_mm, bool is_round) {
  // As many decimals as it takes.
  const auto text = [](double mm) {
    int decimals = 0;
    for (double tens = mm; decimals < 3 && std::abs(tens - std::round(tens)) > 1e-6; tens *= 10.0) ++decimals;
    return number(mm, decimals);
  };
  if (is_round && field_mm.width != field_mm.height)
    return format(tr("oval, %s x %s mm"), text(field_mm.width), text(field_mm.height));
  if (is_round) return format(tr("round, %s mm"), text(field_mm.width));
  return format("%s x %s mm", text(field_mm.width), text(field_mm.height));
}

std::string doubt_of_field(cv::Size2d field_mm, bool is_round, cv::Size2d opening_mm) {
  // Half as large again, and 30 mm: no hoop of this field is so much wider (common practice).
  const auto much_larger = [](double opening, double field) { return opening > std::max(1.5 * field, field + 30.0); };
  const bool smaller = field_mm.width > opening_mm.width || field_mm.height > opening_mm.height;
  if (!smaller && !much_larger(opening_mm.width, field_mm.width) && !much_larger(opening_mm.height, field_mm.height))
    return {};
  return format(smaller ? tr("The field, %s, is larger than the ring's opening, %s x %s mm: type the field that the "
                             "machine can sew in this hoop.")
                        : tr("The field, %s, is much smaller than the ring's opening, %s x %s mm: is it another "
                             "hoop's?"),
                field_text(field_mm, is_round), number(opening_mm.width, 0), number(opening_mm.height, 0));
}

}  // namespace app
