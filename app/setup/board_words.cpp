#include "app/setup/board_words.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

#include "app/format.h"
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
  return format("camera: %.1f mm high above (%.1f, %.1f) mm, tilted by %.2f and %.2f deg, turned by %.2f deg",
                place.height_mm, place.x_mm, place.y_mm, place.tilt_x_deg, place.tilt_y_deg, place.roll_deg);
}

std::string flatness_line(const calib::BoardSurvey& survey) {
  double most = 0.0, u = 0.0;
  for (const calib::SurveyedPicture& picture : survey.pictures) {
    if (picture.use != calib::PictureUse::used) continue;
    most = std::max(most, unflat_mm(picture));
    u = std::max(u, picture.u_height_mm);
  }
  return format("flatness: the sheet lay within %.2f mm of the plane of the marks, known to %.2f mm (k = 2)", most,
                shown(u));
}

}  // namespace

std::string id_list(const std::vector<int>& ids) {
  std::string out;
  for (std::size_t i = 0; i < ids.size(); ++i)
    out += (i == 0 ? "" : i + 1 == ids.size() ? " and " : ", ") + std::to_string(ids[i]);
  return out;
}

std::string fault_of(const calib::SurveyedMark& mark, const std::vector<calib::SurveyedPicture>& pictures) {
  const std::string name = "board mark " + std::to_string(mark.mark.id);
  switch (mark.fault) {
    case calib::MarkFault::none:
      return {};
    case calib::MarkFault::twice:
      return name + ": is on the board twice; take one of the two away";
    case calib::MarkFault::moved: {
      std::string where;
      for (const int picture : mark.moved_in)
        where += (where.empty() ? "" : ", ") + pictures[static_cast<std::size_t>(picture)].name;
      return name + format(": lay %.2f mm elsewhere in ", mark.moved_mm) + where +
             " than in the other pictures; press it down and survey again";
    }
    case calib::MarkFault::bent:
      return name +
             format(": is bent, a corner is seen %.2f mm off its square; press it flat or print it anew", mark.bend_mm);
    case calib::MarkFault::off_size:
      return name + format(
                        ": looks as if it lay %.0f mm %s than the others; lay it onto the board, or print it at "
                        "their scale",
                        std::abs(mark.height_mm), mark.height_mm > 0.0 ? "higher" : "lower");
  }
  return {};
}

std::string fault_of(const calib::SurveyedPicture& picture) {
  switch (picture.use) {
    case calib::PictureUse::no_sheet:
      return picture.name + ": shows too little of the calibration sheet; it was not used";
    case calib::PictureUse::no_marks:
      return picture.name + ": shows no board mark; it was not used";
    case calib::PictureUse::disagrees:
      return picture.name +
             ": its marks lie differently than in the other pictures, or its sheet did not lie on the "
             "board; it was not used";
    case calib::PictureUse::used:
      break;
  }
  if (unflat_mm(picture) > kUnflatMm && unflat_mm(picture) > picture.u_height_mm)
    return picture.name +
           format(": the sheet did not lie flat, by %.1f mm; lay it flat and take it again", unflat_mm(picture));
  return {};
}

std::string mark_line(const vision::BoardMark& mark) {
  std::string line =
      format("board mark %d: x %.2f mm, y %.2f mm, angle %.3f deg", mark.id, mark.x_mm, mark.y_mm, mark.angle_deg);
  if (mark.u_mm > 0.0) line += format(", sure to %.2f mm and %.2f deg", shown(mark.u_mm), shown(mark.u_angle_deg));
  return line;
}

std::vector<std::string> survey_lines(const calib::BoardSurvey& survey) {
  std::vector<std::string> lines;
  const auto used = std::count_if(survey.pictures.begin(), survey.pictures.end(),
                                  [](const auto& picture) { return picture.use == calib::PictureUse::used; });
  for (const calib::SurveyedMark& mark : survey.marks) {
    const std::string fault = fault_of(mark, survey.pictures);
    if (!fault.empty())
      lines.push_back("left out, " + fault);
    else
      lines.push_back(mark_line(mark.mark) +
                      (mark.pictures == 1 && used > 1 ? "; seen in one picture only" : std::string()));
  }
  for (const calib::SurveyedPicture& picture : survey.pictures)
    if (std::string fault = fault_of(picture); !fault.empty()) lines.push_back(std::move(fault));
  if (survey.cameras > 1)
    lines.push_back(
        format("the camera was moved between the pictures, it had %d places; the last one counts", survey.cameras));
  lines.push_back(camera_line(survey));
  lines.push_back(flatness_line(survey));
  if (std::abs(survey.swell_mm) > kOtherScaleMm)
    lines.push_back(format("the marks look %.1f %% %s than the sheet's scale says; print sheet and marks alike",
                           200.0 * std::abs(survey.swell_mm) / calib::kBoardMarkSizeMm,
                           survey.swell_mm > 0.0 ? "larger" : "smaller"));
  lines.push_back(format("%d pictures used, corners fit to %.3f px (rms)", static_cast<int>(used), survey.rms_px));
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
  return (sound.empty() ? std::string("no board mark is")
                        : "only board mark" + std::string(sound.size() > 1 ? "s " : " ") + id_list(sound) +
                              (sound.size() > 1 ? " are" : " is")) +
         " of use and four are needed; stick more of the numbers 400 to 449 near the board's rim" + faults;
}

}  // namespace app
