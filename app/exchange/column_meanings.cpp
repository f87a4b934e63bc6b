#include "app/exchange/flat_piece.h"

namespace app {
namespace {

std::vector<ColumnMeaning> all() {
  return {
      {"id", "", "unique; a piece that the log has already is not taken in again"},
      {"time_utc", "RFC 3339", "when the hoop was lifted off the board"},
      {"operator", "", "who hooped; empty: nobody was chosen"},
      {"job", "", "empty: none"},
      {"hoop", "", "the taught hoop's name"},
      {"tolerance_mm", "mm", "the job's, of the offset's length"},
      {"tolerance_deg", "deg", "the job's, of the rotation"},
      {"source", "", "what delivered the frames"},
      {"live", "0 or 1", "1: a camera's frames, 0: rendered or from files"},
      {"number", "", "of the station's session, counts from 1"},
      {"sticker", "", "the sticker's number; -1: not known"},
      {"offset_x_mm", "mm", "sticker's cross in the hoop, to its east notch (right)"},
      {"offset_y_mm", "mm", "likewise, to its north notch (up)"},
      {"rotation_deg", "deg", "sticker's turn in the hoop, counter-clockwise"},
      {"u_offset_mm", "mm", "expanded uncertainty (k = 2) of x and of y"},
      {"u_rotation_deg", "deg", "expanded uncertainty (k = 2)"},
      {"hoop_x_mm", "mm", "the hoop's centre on the board, to the operator's right"},
      {"hoop_y_mm", "mm", "likewise, away from the operator"},
      {"hoop_angle_deg", "deg", "the hoop's turn on the board, counter-clockwise"},
      {"readings", "", "frames in the average"},
      {"tries", "", "readings held; the last one counts"},
      {"taken", "0 or 1", "1: the operator took the reading"},
      {"notice", "", "what the station said last, none or such as cloth_slipped"},
      {"started_s", "s", "of the frames' clock, when the piece began"},
      {"lifted_s", "s", "likewise, when it was lifted"},
      {"set_hoop_s", "s", "time until the hoop was set"},
      {"lay_cloth_s", "s", "time of laying the cloth"},
      {"press_s", "s", "time of pressing the ring"},
      {"enter_s", "s", "time of entering at the machine"},
      {"lift_s", "s", "time of lifting"},
      {"station", "", "its name, where a shop has several"},
      {"garment", "", "the job's"},
      {"cloth", "", "the job's"},
      {"garment_number", "", "of the job, counts from 1; 0: without a job"},
      {"board", "", "what the check of the board said; empty: all was well"},
      {"machine", "", "at which it was entered; empty: none was chosen"},
      {"entered_rotation", "machine's", "as entered, in the machine's own sense and range"},
      {"jog_right_mm", "mm", "as the machine's screen shows it"},
      {"jog_up_mm", "mm", "likewise"},
      {"left_over_mm", "mm", "wanted less entered, at the design's corner that is off most"},
      {"left_over_deg", "deg", "likewise, of the rotation"},
      {"fit_gap_mm", "mm", "to the field's edge less the clearance; below 0 it sticks out"},
      {"stretch_percent", "%", "along the line between two stickers"},
      {"u_stretch_percent", "%", "expanded uncertainty (k = 2)"},
      {"set_aside", "0 or 1", "1: it does not count in any figure"},
      {"inspection_id", "", "of the inspection that counts; empty: not inspected"},
      {"inspection_time_utc", "RFC 3339", ""},
      {"inspection_operator", "", "who inspected"},
      {"inspection_found_by", "", "sticker, basting, ruler or eye"},
      {"inspection_outcome", "", "good, mend or reject"},
      {"inspection_offset_x_mm", "mm", "the stitched centre, right of where it was meant"},
      {"inspection_offset_y_mm", "mm", "likewise, to the design's top"},
      {"inspection_rotation_deg", "deg", "the stitched design's turn, counter-clockwise"},
      {"inspection_u_offset_mm", "mm", "expanded uncertainty (k = 2) of x and of y"},
      {"inspection_u_rotation_deg", "deg", "expanded uncertainty (k = 2)"},
      {"inspection_note", "", "in the person's words"},
  };
}

}  // namespace

const std::vector<ColumnMeaning>& column_meanings() {
  static const std::vector<ColumnMeaning> columns = all();
  return columns;
}

}  // namespace app
