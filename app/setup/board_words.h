// A survey of the board in plain words.
#pragma once

#include <string>
#include <vector>

#include "calib/survey_board.h"
#include "vision/station.h"

namespace app {

// "board mark 403: it lay 2.3 mm elsewhere in shot4.jpg; press it down"; empty for a sound one.
std::string fault_of(const calib::SurveyedMark& mark, const std::vector<calib::SurveyedPicture>& pictures);
// Why a picture was of no use, or that its sheet did not lie flat; empty where there is nothing to say.
std::string fault_of(const calib::SurveyedPicture& picture);

// "board mark 400: x -196.02 mm, y 138.11 mm, angle 3.214 deg, sure to 0.05 mm and 0.03 deg"
std::string mark_line(const vision::BoardMark& mark);

// All that there is to say: marks, faults, pictures, camera, flatness, rms.
std::vector<std::string> survey_lines(const calib::BoardSurvey& survey);

// Why the marks in use are too few for a station, with every fault.
std::string too_few_marks(const calib::BoardSurvey& survey);

// "400, 401 and 403"
std::string id_list(const std::vector<int>& ids);

}  // namespace app
