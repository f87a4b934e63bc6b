// Common sizes of hoops to start teaching from, so that nobody has to type them. The station's own file may add to
// them and put its own figures in their place.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "calib/files.h"

namespace app {

struct CommonSize {
  std::string name;     // "130 x 180", "round 120"
  cv::Size2d field_mm;  // width, height as the machine's field stands; both the diameter when round
  bool field_is_round = false;
  cv::Size2d opening_mm;  // of the inner ring, about; zero where nothing is known of it
  std::string source;     // where the field comes from: "common practice", "our machine's manual"
  std::string also;       // other names that it is sold under, such as "5 x 7 in"; may be empty
};

class Catalogue {
 public:
  // What is built in, with what the station's file adds or changes, where there is one. Throws calib::FileError.
  static Catalogue of_station(const std::filesystem::path& station_file);
  // The file beside the station's that a person may write.
  static std::filesystem::path own_file(const std::filesystem::path& station_file);
  // The built-in sizes as the text of such a file.
  static std::string_view built_in_text();

  // A size of a later text takes the place of one with its name. `file` is the name that messages carry.
  void add(std::string_view text, const std::string& file);
  const std::vector<CommonSize>& sizes() const { return sizes_; }
  // By its name or its other one, without regard to case and spaces. Throws calib::FileError that names those there
  // are.
  const CommonSize& find(const std::string& name) const;
  // The one whose ring's opening is nearest to this one, within 4 mm; null when there is none.
  const CommonSize* by_opening(cv::Size2d opening_mm) const;

 private:
  std::vector<CommonSize> sizes_;
};

// "130 x 180 mm", "round, 120 mm".
std::string field_text(cv::Size2d field_mm, bool is_round);

// One sentence where a taught opening does not go with a field: smaller than it, or larger by so much that another hoop
// was meant. Empty where all is well.
std::string doubt_of_field(cv::Size2d field_mm, bool is_round, cv::Size2d opening_mm);

}  // namespace app
