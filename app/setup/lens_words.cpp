#include "app/setup/lens_words.h"

#include <array>
#include <cstdio>

#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

std::string listed(const std::vector<std::string>& words, std::size_t most) {
  std::string out;
  for (std::size_t i = 0; i < words.size() && i < most; ++i) out += (i ? ", " : "") + words[i];
  if (words.size() > most) out = format(tr("%s and %d more"), out, static_cast<int>(words.size() - most));
  return out;
}

constexpr std::array<const char*, calib::kLensParameters> kParameterNames{
    noop("focal length fx"), noop("focal length fy"), noop("axis cx"), noop("axis cy"), "k1", "k2", "p1", "p2", "k3"};

std::string parameter_line(const calib::LensFit& fit, std::size_t i) {
  const int decimals = i < 4 ? 2 : 6;
  return format(i < 4 ? tr("%s: %s px, standard uncertainty %s px") : tr("%s: %s, standard uncertainty %s"),
                tr(kParameterNames[i]), number(calib::parameter(fit.lens, i), decimals),
                number(calib::standard_uncertainty(fit.lens, i), decimals));
}

std::string model_line(const calib::LensFit& fit) {
  const std::string model(calib::name(fit.model));
  if (fit.scores.empty()) return format(tr("distortion: %s"), model);
  std::string scores;
  for (const calib::LensModelScore& score : fit.scores)
    if (score.fitted) scores += format(" %s px (%s)", number(score.rms_px, 3), std::string(calib::name(score.model)));
  return format(tr("distortion: %s; corners of pictures that were held back are predicted to%s"), model, scores);
}

}  // namespace

std::string part_name(const calib::LensGuide& guide, int part) {
  constexpr std::array<std::array<const char*, 5>, 3> kNames{
      {{noop("top far left"), noop("top left"), noop("top"), noop("top right"), noop("top far right")},
       {noop("far left"), noop("left"), noop("middle"), noop("right"), noop("far right")},
       {noop("bottom far left"), noop("bottom left"), noop("bottom"), noop("bottom right"), noop("bottom far right")}}};
  const int column = guide.column(part), columns = guide.options().columns;
  const int row = guide.row(part), rows = guide.options().rows;
  const int from_middle = 2 * column - columns + 1;  // in half columns
  const bool furthest = (column == 0 || column == columns - 1) && columns > 3;
  const int place = from_middle == 0 ? 2 : from_middle < 0 ? (furthest ? 0 : 1) : (furthest ? 4 : 3);
  return tr(kNames[row == 0 ? 0 : row == rows - 1 ? 2 : 1][static_cast<std::size_t>(place)]);
}

std::string next_wish(const calib::LensGuide& guide) {
  const calib::LensNeeds needs = guide.needs();
  if (needs.none()) return tr("All that is needed is there.");
  const std::string place = needs.parts.empty() ? "" : part_name(guide, needs.parts.front());
  const std::string edge = needs.tilts.empty() ? "" : tr(std::string(calib::name(needs.tilts.front())));
  if (!place.empty() && !edge.empty())
    return format(tr("Bring the sheet to the %s of the picture, its edge on the %s further away."), place, edge);
  if (!place.empty()) return format(tr("Bring the sheet to the %s of the picture."), place);
  if (!edge.empty()) return format(tr("Tilt the sheet so that its edge on the %s is further away."), edge);
  if (needs.other_distance) return tr("Hold the sheet clearly nearer to the camera, as near as it stays sharp.");
  return tr("Hold the sheet elsewhere, tilted another way.");
}

LensWords words_for(calib::LensSight sight, const calib::LensGuide& guide) {
  const bool first = guide.taken().empty();
  switch (sight) {
    case calib::LensSight::taken:
      return {tr("Taken"), next_wish(guide)};
    case calib::LensSight::no_sheet:
      return {tr("Show the calibration sheet"),
              first ? format("%s %s", tr(kLockFocus),
                             tr("Then hold the sheet, stuck on something stiff and flat, before it."))
                    : format("%s %s", tr("Hold the sheet before the camera."), next_wish(guide))};
    case calib::LensSight::few_corners:
      return {tr("Show more of the sheet"), tr("More of the pattern must be in the picture, without hands on it.")};
    case calib::LensSight::blurred:
      return {tr("Not sharp"), tr("Hold the sheet still and nearer to the height of the board, in more light.")};
    case calib::LensSight::moving:
      return {tr("Hold it still"), tr("Hold the sheet still for a moment; the picture is taken by itself.")};
    case calib::LensSight::same:
      return {tr("Move the sheet"), next_wish(guide)};
  }
  return {};
}

std::vector<std::string> details_of(const calib::LensGuide& guide) {
  const calib::LensNeeds needs = guide.needs();
  std::vector<std::string> lines;
  const auto taken = static_cast<int>(guide.taken().size());
  lines.push_back(format(tr("%d picture, at least %d", "%d pictures, at least %d", taken), taken,
                         static_cast<int>(guide.options().pictures)));
  std::vector<std::string> parts, tilts;
  for (const int part : needs.parts) parts.push_back(part_name(guide, part));
  for (const calib::SheetTilt tilt : needs.tilts) tilts.push_back(tr(std::string(calib::name(tilt))));
  if (!parts.empty()) lines.push_back(format(tr("missing places: %s"), listed(parts, 4)));
  if (!tilts.empty()) lines.push_back(format(tr("missing tilts, edge further away: %s"), listed(tilts, 4)));
  if (needs.other_distance && !guide.taken().empty()) lines.emplace_back(tr("missing: another distance"));
  lines.emplace_back(tr("The focus stays locked"));
  return lines;
}

std::vector<std::string> result_lines(const calib::LensFit& fit) {
  std::vector<std::string> lines;
  lines.push_back(format(tr("corners fit to %s px root mean square: %d corners in %d pictures"), number(fit.rms_px, 3),
                         static_cast<int>(fit.corners), static_cast<int>(fit.pictures)));
  for (const std::size_t i : calib::parameters_of(fit.model)) lines.push_back(parameter_line(fit, i));
  lines.push_back(model_line(fit));
  for (const calib::LensPictureFit& picture : fit.each)
    if (!picture.used) lines.push_back(format(tr("left out: %s: %s"), picture.name, picture.why));
  return lines;
}

}  // namespace app
