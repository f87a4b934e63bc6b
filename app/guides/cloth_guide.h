// The cloth guide: which stabilizer, topping and way of hooping suit a cloth, and what is to be done after stitching.
// Figures and words carry where they come from; they are defaults that a person can change, never rules.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "calib/files.h"

namespace app {

// The usual words; a person's own file may say another, such as "our shop".
inline constexpr const char* kCommonPractice = "common practice";
inline constexpr const char* kFromMemory = "from memory";
inline constexpr const char* kNoTopping = "none";

struct ClothType {
  std::string name;                      // "knit"
  std::vector<std::string> also;         // "polo", "tee": what it is known by as well
  std::vector<std::string> stabilizers;  // the first is proposed; one or more
  std::string stabilizer_note, stabilizer_source;
  std::vector<std::string> avoid;  // stabilizers that do not suit it
  std::string topping;             // kNoTopping, or a topping's name
  std::string topping_note, topping_source;
  bool napped = false;            // stitches sink in without topping
  std::vector<std::string> ways;  // the usual first; one or more
  std::string way_note, way_source;
  std::optional<double> stretch_limit_percent;  // between two stickers, above which it is hooped again
  std::string stretch_source;
};

// What is done, step by step: with a stabilizer or topping after stitching, or in a way of hooping.
struct Procedure {
  std::string name;
  std::vector<std::string> steps;
  std::string source;
};

struct GuideStep {
  std::string text;
  std::string source;
};

class ClothGuide {
 public:
  // What is built in, with what the station's own file adds or changes, where there is one. Throws calib::FileError.
  static ClothGuide of_station(const std::filesystem::path& station_file);
  // Only what is built in.
  static ClothGuide built_in();
  // The file beside the station's that a person may write: cloths.toml.
  static std::filesystem::path own_file(const std::filesystem::path& station_file);
  // What is built in as the text of such a file.
  static std::string_view built_in_text();

  // A cloth or layer of a later text takes the place of one with its name. `file` is the name that messages carry.
  void add(std::string_view text, const std::string& file);

  const std::vector<ClothType>& cloths() const { return cloths_; }
  const std::vector<Procedure>& stabilizers() const { return stabilizers_; }
  const std::vector<Procedure>& toppings() const { return toppings_; }
  const std::vector<Procedure>& ways() const { return ways_; }
  // By name or by what it is known by, without regard to case and spaces; null where there is none.
  const ClothType* find(const std::string& name) const;
  // What is done after stitching, in order: the steps before all, those of the layers (the topping may be empty or
  // kNoTopping; layers the guide does not know have none), the steps at the end.
  std::vector<GuideStep> finishing(const std::string& stabilizer, const std::string& topping) const;
  // How it is hooped in this way; nothing for a way that the guide does not know.
  std::vector<GuideStep> hooping(const std::string& way) const;

 private:
  std::vector<ClothType> cloths_;
  std::vector<Procedure> stabilizers_, toppings_, ways_;
  Procedure first_, last_;  // steps before and after those of the layers; without names
};

}  // namespace app
