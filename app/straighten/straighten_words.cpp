#include "app/straighten/straighten_words.h"

#include <array>
#include <cmath>

#include "app/format.h"
#include "app/units.h"
#include "app/words/words.h"

namespace app {
namespace {

struct Lines {
  const char *headline, *sentence;
};

constexpr Lines kNoBoard{noop("The board is not seen"),
                         noop("Uncover the board marks. Without them no length and no angle can be told.")};
constexpr Lines kNoHoop{noop("The hoop is not seen"),
                        noop("Lay the hoop in its place before the cloth covers it, and take the hands away.")};

constexpr std::array<Lines, vision::kLineStatusCount> kLine{{
    {noop("The line is found"), noop("Another line is taken by touching it in the picture.")},
    {noop("No cloth in sight"), noop("Too little of the cloth inside the hoop is open to the camera.")},
    {noop("No line is seen"),
     noop("Nothing straight stands out inside the hoop. Touch the fold in the picture, or turn the lamp.")},
    {noop("The line is too short"),
     noop("It reaches over too little of the hoop. Take the hands away, or lay more of it "
          "inside the hoop.")},
    {noop("The line is not straight"), noop("Smooth the cloth along its fold or seam, then it can be read.")},
    {noop("The line is not sharp"),
     noop("It looks like a shadow or a wrinkle. Press the fold flat, or use softer light.")},
    {noop("Which line is it?"), noop("Several lines are as clear. Touch the one that is meant.")},
}};

constexpr std::array<Lines, vision::kWeaveStatusCount> kWeave{{
    {noop("The weave is found"), noop("Stripes in one direction.")},
    {noop("No cloth in sight"), noop("Too little of the cloth inside the hoop is open to the camera.")},
    {noop("No pattern is seen"), noop("Nothing repeats clearly inside the hoop. Go by a fold or seam instead.")},
    {noop("The pattern is not straight"), noop("The cloth is pulled askew. Smooth it, then it can be read.")},
}};

StraightenWords told(const Lines& lines) { return {tr(lines.headline), tr(lines.sentence), false}; }

std::string weave_sentence(const vision::WeaveReading& weave) {
  if (!weave.cross) return tr("Stripes in one direction.");
  return weave.quarter_turn_alike ? tr("Squares: which way is up cannot be told from them.")
                                  : tr("Checks: the direction nearer to the hoop's side counts.");
}

}  // namespace

StraightenWords words_of(const LineSeen& seen) {
  if (!seen.board) return told(kNoBoard);
  if (!seen.hoop) return told(kNoHoop);
  StraightenWords words;
  if (seen.kind == LookKind::weave) {
    words = told(kWeave[static_cast<std::size_t>(seen.weave.status)]);
    words.found = seen.weave.status == vision::WeaveStatus::ok;
    if (words.found) words.sentence = weave_sentence(seen.weave);
  } else {
    words = told(kLine[static_cast<std::size_t>(seen.line.status)]);
    words.found = seen.line.status == vision::LineStatus::ok;
  }
  if (words.found && seen.kept) {
    words.sentence = format(tr("%s The hoop is covered: its place is that of before."), words.sentence.c_str());
  }
  return words;
}

std::string advice(double shown_turn, int turn_decimals, std::optional<double> shown_slide, int slide_decimals,
                   bool sideways, Units units) {
  const Instruction turn = turn_instruction(shown_turn, turn_decimals);
  std::string said;
  if (shown_slide) {
    const Instruction slide = sideways ? slide_right_instruction(*shown_slide, slide_decimals, units)
                                       : slide_away_instruction(*shown_slide, slide_decimals, units);
    if (shown_turn == 0.0 && *shown_slide == 0.0) return tr("Straight, and on its line");
    if (*shown_slide == 0.0)
      said = turn.sentence;
    else if (shown_turn == 0.0)
      said = slide.sentence;
    else
      said = format(tr("%s, %s"), turn.sentence.c_str(), slide.sentence.c_str());
  } else {
    if (shown_turn == 0.0) return tr("Straight");
    said = turn.sentence;
  }
  if (!said.empty() && said[0] >= 'a' && said[0] <= 'z') said[0] = static_cast<char>(said[0] - 'a' + 'A');
  return said;
}

std::string turn_off_words(double turn_off_deg) {
  if (std::abs(turn_off_deg) < 0.005) return tr("Straight");
  const std::string digits = number(std::abs(turn_off_deg), 2);
  return format(turn_off_deg > 0.0 ? tr("%s° counter-clockwise") : tr("%s° clockwise"), digits.c_str());
}

std::string distance_words(double distance_mm, AlongSide along, Units units) {
  const std::string length = length_text(std::abs(distance_mm), LengthKind::fine, units);
  if (std::abs(distance_mm) < 0.005) return tr("through the centre");
  const bool beyond = distance_mm > 0.0;
  if (along == AlongSide::north)
    return format(beyond ? tr("%s above the centre") : tr("%s below the centre"), length.c_str());
  return format(beyond ? tr("%s right of the centre") : tr("%s left of the centre"), length.c_str());
}

std::string angle_uncertainty(double u_deg) { return format(tr("±%s°"), number(u_deg, 2).c_str()); }

std::string length_uncertainty(double u_mm, Units units) {
  return format(tr("±%s"), length_text(u_mm, LengthKind::fine, units).c_str());
}

std::string aim_words(const StraightenAim& aim, Units units) {
  const std::string length = length_text(std::abs(aim.distance_mm), LengthKind::field, units);
  if (aim.along == AlongSide::north) {
    if (aim.distance_mm == 0.0) return tr("Left to right, through the centre");
    return format(aim.distance_mm > 0.0 ? tr("Left to right, %s above") : tr("Left to right, %s below"),
                  length.c_str());
  }
  if (aim.distance_mm == 0.0) return tr("Up and down, through the centre");
  return format(aim.distance_mm > 0.0 ? tr("Up and down, %s to the right") : tr("Up and down, %s to the left"),
                length.c_str());
}

std::string ruler_angle_words(const RulerReading& r) {
  if (!(r.distance_mm > 0.5)) return "";
  // Against the line across the board, whichever end was touched first.
  double off = std::remainder(r.angle_deg, 180.0);
  const std::string digits = number(std::abs(off), 2);
  if (std::abs(off) < 0.005) return tr("straight across the board");
  return format(off > 0.0 ? tr("%s° counter-clockwise of across") : tr("%s° clockwise of across"), digits.c_str());
}

}  // namespace app
