#include "app/setup/board_words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/format.h"
#include "app/words/words.h"
#include "calib/camera_place.h"

namespace app {
namespace {

// From here on a sheet that stands up is worth a word; and the plane is never known better than to this.
constexpr double kUnflatMm = 0.5;
// The marks' sides lie further out or in by ink and tone curve; more than this is another print scale.
constexpr double kOtherScaleMm = 0.25;

// Never rounded to nothing.
double shown(double u) { return std::max(u, 0.005); }

double unflat_mm(const calib::SurveyedPicture& picture) {
  return std::max(std::abs(picture.highest_mm), std::abs(picture.lowest_mm));
}

std::string camera_line(const calib::BoardSurvey& survey) {
  const calib::CameraPlace place = calib::camera_place(survey.camera_from_board);
  return format(tr("camera: %s mm high above (%s, %s) mm, tilted by %s and %s deg, turned by %s deg"),
                number(place.height_mm, 1), number(place.x_mm, 1), number(place.y_mm, 1), number(place.tilt_x_deg, 2),
                number(place.tilt_y_deg, 2), number(place.roll_deg, 2));
}

std::string flatness_line(const calib::BoardSurvey& survey) {
  double most = 0.0, u = 0.0;
  for (const calib::SurveyedPicture& picture : survey.pictures) {
    if (picture.use != calib::PictureUse::used) continue;
    most = std::max(most, unflat_mm(picture));
    u = std::max(u, picture.u_height_mm);
  }
  return format(tr("flatness: the sheet lay within %s mm of the plane of the marks, known to %s mm (k = 2)"),
                number(most, 2), number(shown(u), 2));
}

}  // namespace

std::string id_list(const std::vector<int>& ids) {
  if (ids.empty()) return {};
  std::string out = std::to_string(ids.front());
  for (std::size_t i = 1; i + 1 < ids.size(); ++i) out += ", " + std::to_string(ids[i]);
  return ids.size() > 1 ? format(tr("%s and %d"), out, ids.back()) : out;
}

std::string fault_of(const calib::SurveyedMark& mark, const std::vector<calib::SurveyedPicture>& pictures) {
  const int id = mark.mark.id;
  switch (mark.fault) {
    case calib::MarkFault::none:
      return {};
    case calib::MarkFault::twice:
      return format(tr("board mark %d: is on the board twice; take one of the two away"), id);
    case calib::MarkFault::moved: {
      std::string where;
      for (const int picture : mark.moved_in)
        where += (where.empty() ? "" : ", ") + pictures[static_cast<std::size_t>(picture)].name;
      return format(tr("board mark %d: lay %s mm elsewhere in %s than in the other pictures; press it down and survey "
                       "again"),
                    id, number(mark.moved_mm, 2), where);
    }
    case calib::MarkFault::bent:
      return format(tr("board mark %d: is bent, a corner is seen %s mm off its square; press it flat or print it anew"),
                    id, number(mark.bend_mm, 2));
    case calib::MarkFault::off_size:
      return format(mark.height_mm > 0.0 ? tr("board mark %d: looks as if it lay %s mm higher than the others; lay it "
                                              "onto the board, or print it at their scale")
                                         : tr("board mark %d: looks as if it lay %s mm lower than the others; lay it "
                                              "onto the board, or print it at their scale"),
                    id, number(std::abs(mark.height_mm), 0));
  }
  return {};
}

std::string fault_of(const calib::SurveyedPicture& picture) {
  switch (picture.use) {
    case calib::PictureUse::no_sheet:
      return format(tr("%s: shows too little of the calibration sheet; it was not used"), picture.name);
    case calib::PictureUse::no_marks:
      return format(tr("%s: shows no board mark; it was not used"), picture.name);
    case calib::PictureUse::disagrees:
      return format(
          tr("%s: its marks lie differently than in the other pictures, or its sheet did not lie on the board; "
             "it was not used"),
          picture.name);
    case calib::PictureUse::used:
      break;
  }
  if (unflat_mm(picture) > kUnflatMm && unflat_mm(picture) > picture.u_height_mm)
    return format(tr("%s: the sheet did not lie flat, by %s mm; lay it flat and take it again"), picture.name,
                  number(unflat_mm(picture), 1));
  return {};
}

std::string mark_line(const vision::BoardMark& mark) {
  const std::string x = number(mark.x_mm, 2), y = number(mark.y_mm, 2), angle = number(mark.angle_deg, 3);
  if (!(mark.u_mm > 0.0)) return format(tr("board mark %d: x %s mm, y %s mm, angle %s deg"), mark.id, x, y, angle);
  return format(tr("board mark %d: x %s mm, y %s mm, angle %s deg, sure to %s mm and %s deg"), mark.id, x, y, angle,
                number(shown(mark.u_mm), 2), number(shown(mark.u_angle_deg), 2));
}

std::vector<std::string> survey_lines(const calib::BoardSurvey& survey) {
  std::vector<std::string> lines;
  const auto used = std::count_if(survey.pictures.begin(), survey.pictures.end(),
                                  [](const auto& picture) { return picture.use == calib::PictureUse::used; });
  for (const calib::SurveyedMark& mark : survey.marks) {
    const std::string fault = fault_of(mark, survey.pictures);
    if (!fault.empty())
      lines.push_back(format(tr("left out, %s"), fault));
    else if (mark.pictures == 1 && used > 1)
      lines.push_back(format(tr("%s; seen in one picture only"), mark_line(mark.mark)));
    else
      lines.push_back(mark_line(mark.mark));
  }
  for (const calib::SurveyedPicture& picture : survey.pictures)
    if (std::string fault = fault_of(picture); !fault.empty()) lines.push_back(std::move(fault));
  if (survey.cameras > 1)
    lines.push_back(
        format(tr("the camera was moved between the pictures, it had %d places; the last one counts"), survey.cameras));
  lines.push_back(camera_line(survey));
  lines.push_back(flatness_line(survey));
  if (std::abs(survey.swell_mm) > kOtherScaleMm)
    lines.push_back(
        format(survey.swell_mm > 0.0
                   ? tr("the marks look %s %% larger than the sheet's scale says; print sheet and marks alike")
                   : tr("the marks look %s %% smaller than the sheet's scale says; print sheet and marks alike"),
               number(200.0 * std::abs(survey.swell_mm) / calib::kBoardMarkSizeMm, 1)));
  lines.push_back(
      format(tr("%d pictures used, corners fit to %s px (rms)"), static_cast<int>(used), number(survey.rms_px, 3)));
  return lines;
}

std::string too_few_marks(const calib::BoardSurvey& survey) {
  std::vector<int> sound;
  std::string faults;
  for (const calib::SurveyedMark& mark : survey.marks) {
    if (mark.in_use())
      sound.push_back(mark.mark.id);
    else
      faults += "; " + fault_of(mark, survey.pictures);
  }
  for (const calib::SurveyedPicture& picture : survey.pictures)
    if (picture.use != calib::PictureUse::used) faults += "; " + fault_of(picture);
  if (sound.empty())
    return tr("no board mark is of use and four are needed; stick more of the numbers 400 to 449 near the board's "
              "rim") +
           faults;
  return format(tr("only board mark %s is of use and four are needed; stick more of the numbers 400 to 449 near the "
                   "board's rim",
                   "only board marks %s are of use and four are needed; stick more of the numbers 400 to 449 near the "
                   "board's rim",
                   static_cast<long>(sound.size())),
                id_list(sound)) +
         faults;
}

}  // namespace app
