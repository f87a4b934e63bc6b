// Guarantees: the analysis of variance gives NIST's certified values to every digit that the data keep as doubles.
// Example failure: sums of squares without a shift give two digits or none for the sets with 13 leading digits.
//
// `reachable` was found with exact fractions on the values as doubles: what the rounding of 1000000000000.4 to a
// double leaves of the certified value. The last digit of it is left to rounding.
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <map>
#include <sstream>
#include <string>

#include "calib/anova.h"
#include "tests/catch.h"
#include "tests/reference/shared_folder.h"

namespace {

struct Certified {
  double between_ss = 0.0, within_ss = 0.0, f = 0.0, residual_sd = 0.0, r_squared = 0.0;
  std::map<std::string, std::vector<std::string>> groups;  // values as they stand in the file
};

std::vector<std::string> words(const std::string& line) {
  std::istringstream in(line);
  std::vector<std::string> out;
  for (std::string word; in >> word;) out.push_back(word);
  return out;
}

Certified read(const std::filesystem::path& file) {
  INFO(file.string());
  std::ifstream in(file);
  REQUIRE(in.good());
  Certified set;
  bool data = false;
  for (std::string line; std::getline(in, line);) {
    const std::vector<std::string> w = words(line);
    if (data && w.size() == 2) set.groups[w[0]].push_back(w[1]);
    if (w.size() < 3) continue;
    const auto from_end = [&w](std::size_t k) { return std::stod(w[w.size() - k]); };
    if (w[0] == "Between") set.between_ss = from_end(3), set.f = from_end(1);
    if (w[0] == "Within") set.within_ss = from_end(2);
    if (w[0] == "Certified" && w[1] == "R-Squared") set.r_squared = from_end(1);
    if (w[0] == "Standard" && w[1] == "Deviation") set.residual_sd = from_end(1);
    if (w[0] == "Data:" && w[1] != "1") data = w[w.size() - 2] != "Factor";
  }
  if (set.residual_sd == 0.0 && set.within_ss > 0.0) set.residual_sd = std::numeric_limits<double>::quiet_NaN();
  return set;
}

double matching_digits(double value, double certified) {
  if (value == certified) return 15.0;
  return std::min(15.0, -std::log10(std::abs(value - certified) / std::abs(certified)));
}

calib::OneWayAnova analysed(const Certified& set, bool without_leading_digits) {
  std::vector<std::vector<double>> groups;
  for (const auto& [name, texts] : set.groups) {
    groups.emplace_back();
    for (const std::string& text : texts) {
      // From the last digit before the point on; the ones before it are the same in all values of these sets.
      const std::size_t point = text.find('.');
      groups.back().push_back(std::stod(without_leading_digits ? text.substr(point - 1) : text));
    }
  }
  return calib::one_way_anova(groups);
}

double fewest_digits(const calib::OneWayAnova& anova, const Certified& set) {
  return std::min({matching_digits(anova.between.ss, set.between_ss), matching_digits(anova.within.ss, set.within_ss),
                   matching_digits(anova.test.f, set.f), matching_digits(anova.r_squared, set.r_squared)});
}

struct Set {
  const char* name;
  double reachable;
  std::size_t groups, values;
  bool kept_here;
};

// Sets named SmLs are of lower (01 to 03), average (04 to 06) and higher difficulty (07 to 09).
constexpr Set kSets[] = {
    {"SiRstv", 13.0, 5, 25, true},    {"AtmWtAg", 10.1, 2, 48, true},    {"SmLs01", 15.0, 9, 189, true},
    {"SmLs02", 15.0, 9, 1809, false}, {"SmLs03", 15.0, 9, 18009, false}, {"SmLs04", 10.0, 9, 189, true},
    {"SmLs05", 9.9, 9, 1809, false},  {"SmLs06", 9.9, 9, 18009, false},  {"SmLs07", 4.0, 9, 189, true},
    {"SmLs08", 3.9, 9, 1809, false},  {"SmLs09", 3.9, 9, 18009, false},
};

}  // namespace

TEST_CASE("one-way analysis of variance gives NIST's certified values", "[statistics][nist]") {
  const std::filesystem::path here = std::string(HOOPGAUGE_SOURCE_DIR) + "/tests/reference/data/nist_strd";
  const auto shared = reference::shared_folder("refdata/nist_strd/anova");
  for (const Set& one : kSets) {
    if (!one.kept_here && !shared) continue;
    const Certified set = read((one.kept_here ? here : *shared) / (std::string(one.name) + ".dat"));
    std::size_t values = 0;
    for (const auto& group : set.groups) values += group.second.size();
    INFO(one.name);
    REQUIRE(set.groups.size() == one.groups);
    REQUIRE(values == one.values);

    const calib::OneWayAnova anova = analysed(set, false);
    CHECK(anova.between.dof == static_cast<double>(one.groups - 1));
    CHECK(anova.within.dof == static_cast<double>(one.values - one.groups));
    INFO("digits " << fewest_digits(anova, set));
    CHECK(fewest_digits(anova, set) >= std::min(one.reachable, 14.0));
    CHECK(matching_digits(anova.residual_sd, set.residual_sd) >= std::min(one.reachable, 14.0));

    // The same scatter, the leading digits left out of the text: nothing is lost by doubles any more. SiRstv's and
    // AtmWtAg's readings carry their digits behind the point.
    if (std::string(one.name).rfind("SmLs", 0) != 0) continue;
    CHECK(fewest_digits(analysed(set, true), set) >= 13.5);
  }
}
