#include "app/setup/lens_words.h"

#include <array>
#include <cstdio>

#include "app/format.h"

namespace app {
namespace {

std::string upper_first(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') words[0] = static_cast<char>(words[0] - 'a' + 'A');
  return words;
}

std::string listed(const std::vector<std::string>& words, std::size_t most) {
  std::string out;
  for (std::size_t i = 0; i < words.size() && i < most; ++i) out += (i ? ", " : "") + words[i];
  if (words.size() > most) out += " and " + std::to_string(words.size() - most) + " more";
  return out;
}

constexpr std::array<const char*, calib::kLensParameters> kParameterNames{
    "focal length fx", "focal length fy", "axis cx", "axis cy", "k1", "k2", "p1", "p2", "k3"};

std::string parameter_line(const calib::LensFit& fit, std::size_t i) {
  return format(i < 4 ? "%s: %.2f px, standard uncertainty %.2f px" : "%s: %.6f, standard uncertainty %.6f",
                kParameterNames[i], calib::parameter(fit.lens, i), calib::standard_uncertainty(fit.lens, i));
}

std::string model_line(const calib::LensFit& fit) {
  std::string line = "distortion: " + std::string(calib::name(fit.model));
  if (fit.scores.empty()) return line;
  line += "; corners of pictures that were held back are foretold to";
  for (const calib::LensModelScore& score : fit.scores)
    if (score.fitted) line += format(" %.3f px (%s)", score.rms_px, std::string(calib::name(score.model)).c_str());
  return line;
}

}  // namespace

std::string part_name(const calib::LensGuide& guide, int part) {
  const int column = guide.column(part), columns = guide.options().columns;
  const int row = guide.row(part), rows = guide.options().rows;
  std::string name = row == 0 ? "top" : row == rows - 1 ? "bottom" : "";
  const int from_middle = 2 * column - columns + 1;  // in half columns
  if (from_middle != 0) {
    const bool furthest = column == 0 || column == columns - 1;
    name += std::string(name.empty() ? "" : " ") + (furthest && columns > 3 ? "far " : "") +
            (from_middle < 0 ? "left" : "right");
  }
  return name.empty() ? "middle" : name;
}

std::string next_wish(const calib::LensGuide& guide) {
  const calib::LensNeeds needs = guide.needs();
  if (needs.none()) return "All that is needed is there.";
  std::string wish;
  if (!needs.parts.empty())
    wish = "bring the sheet to the " + part_name(guide, needs.parts.front()) + " of the picture";
  if (!needs.tilts.empty()) {
    const std::string edge(calib::name(needs.tilts.front()));
    wish += wish.empty() ? "tilt the sheet so that its edge on the " + edge + " is further away"
                         : ", its edge on the " + edge + " further away";
  } else if (wish.empty() && needs.other_distance) {
    wish = "hold the sheet clearly nearer to the camera, as near as it stays sharp";
  } else if (wish.empty()) {
    wish = "hold the sheet elsewhere, tilted another way";
  }
  return upper_first(wish) + ".";
}

LensWords words_for(calib::LensSight sight, const calib::LensGuide& guide) {
  const bool first = guide.taken().empty();
  switch (sight) {
    case calib::LensSight::taken:
      return {"Taken", next_wish(guide)};
    case calib::LensSight::no_sheet:
      return {"Show the calibration sheet",
              first ? std::string(kLockFocus) + " Then hold the sheet, stuck on something stiff and flat, before it."
                    : "Hold the sheet before the camera. " + next_wish(guide)};
    case calib::LensSight::few_corners:
      return {"Show more of the sheet", "More of the pattern must be in the picture, without hands on it."};
    case calib::LensSight::blurred:
      return {"Not sharp", "Hold the sheet still and nearer to the height of the board, in more light."};
    case calib::LensSight::moving:
      return {"Hold it still", "Hold the sheet still for a moment; the picture is taken by itself."};
    case calib::LensSight::same:
      return {"Move the sheet", next_wish(guide)};
  }
  return {};
}

std::vector<std::string> details_of(const calib::LensGuide& guide) {
  const calib::LensNeeds needs = guide.needs();
  std::vector<std::string> lines;
  lines.push_back(std::to_string(guide.taken().size()) + " pictures, at least " +
                  std::to_string(guide.options().pictures));
  std::vector<std::string> parts, tilts;
  for (const int part : needs.parts) parts.push_back(part_name(guide, part));
  for (const calib::SheetTilt tilt : needs.tilts) tilts.emplace_back(calib::name(tilt));
  if (!parts.empty()) lines.push_back("missing places: " + listed(parts, 4));
  if (!tilts.empty()) lines.push_back("missing tilts, edge further away: " + listed(tilts, 4));
  if (needs.other_distance && !guide.taken().empty()) lines.emplace_back("missing: another distance");
  lines.emplace_back("The focus stays locked");
  return lines;
}

std::vector<std::string> result_lines(const calib::LensFit& fit) {
  std::vector<std::string> lines;
  lines.push_back(format("corners fit to %.3f px root mean square: %zu corners in %zu pictures", fit.rms_px,
                         fit.corners, fit.pictures));
  for (const std::size_t i : calib::parameters_of(fit.model)) lines.push_back(parameter_line(fit, i));
  lines.push_back(model_line(fit));
  for (const calib::LensPictureFit& picture : fit.each)
    if (!picture.used) lines.push_back("left out: " + picture.name + ": " + picture.why);
  return lines;
}

}  // namespace app
