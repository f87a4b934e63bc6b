// The place guide: where designs usually sit on garments, in words that people measure by.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "calib/files.h"

namespace app {

struct LengthRange {
  double low_mm = 0.0, high_mm = 0.0;  // both belong to it; equal for one figure
  double middle_mm() const { return (low_mm + high_mm) / 2.0; }
  bool holds(double mm) const { return mm >= low_mm && mm <= high_mm; }
};

// How a garment is drawn.
enum class GarmentShape { other, shirt, polo, sweatshirt, towel, napkin, apron };

struct Garment {
  std::string name;   // "polo, adult"
  std::string cloth;  // of the cloth guide: what it usually is of; may be empty
  GarmentShape shape = GarmentShape::other;
  double width_mm = 500.0;  // about, for the drawing alone
};

struct Place {
  // What of the design a place is measured to.
  enum class To { centre, top, bottom };
  std::vector<std::string> garments;
  std::string name;  // "left chest"
  // The words hold "{}" where the length stands: "{} down from the shoulder seam at the neck".
  std::optional<LengthRange> down_mm;
  std::string down_words;
  std::optional<LengthRange> across_mm;
  std::string across_words;
  To to = To::centre;
  std::string source;  // kCommonPractice, kFromMemory or a person's own
  std::string note;    // one line; may be empty
};

class PlaceGuide {
 public:
  // As ClothGuide; the person's own file is places.toml. A place of a later text takes the place of those with its name
  // for its garments. Throw calib::FileError.
  static PlaceGuide of_station(const std::filesystem::path& station_file);
  static PlaceGuide built_in();
  static std::filesystem::path own_file(const std::filesystem::path& station_file);
  static std::string_view built_in_text();
  void add(std::string_view text, const std::string& file);

  const std::vector<Garment>& garments() const { return garments_; }
  const std::vector<Place>& places() const { return places_; }
  std::vector<const Place*> places_of(const std::string& garment) const;
  // Null where there is none; without regard to case and spaces.
  const Garment* find_garment(const std::string& name) const;
  const Place* find(const std::string& garment, const std::string& place) const;

 private:
  std::vector<Garment> garments_;
  std::vector<Place> places_;
};

// From the place's first reference to the design's centre, where `down_mm` reaches to what the place measures to.
// Nothing where the design's height is needed and not known.
std::optional<double> down_to_centre_mm(const Place& place, double down_mm, const std::optional<cv::Size2d>& design_mm);

// The words with the length in their "{}".
std::string with_length(const std::string& words, const std::string& length);

}  // namespace app
