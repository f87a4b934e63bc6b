// station.toml: the lens, the surveyed board marks, the print scale.
#include <algorithm>
#include <cmath>
#include <sstream>

#include "calib/camera_place.h"
#include "calib/file_text.h"
#include "calib/share_settings.h"
#include "calib/toml_reader.h"

namespace calib {
namespace {

constexpr int kFirstBoardMark = 400, kLastBoardMark = 449;
constexpr std::size_t kFewestBoardMarks = 4;
constexpr std::size_t kLensParameters = 9;

// Symmetric, and no combination of the parameters with a negative variance. Checked on the correlations, because the
// variances span ten decades.
std::string fault_of_covariance(const cv::Matx<double, 9, 9>& covariance) {
  cv::Matx<double, 9, 9> correlation;
  for (int i = 0; i < 9; ++i) {
    if (!(covariance(i, i) >= 0.0)) return "has a negative variance on its diagonal";
    for (int j = 0; j < 9; ++j) {
      const double scale = std::sqrt(covariance(i, i)) * std::sqrt(covariance(j, j));
      correlation(i, j) = scale > 0.0 ? covariance(i, j) / scale : (covariance(i, j) == 0.0 ? 0.0 : 2.0);
      if (!(std::abs(correlation(i, j)) <= 1.0 + 1e-9)) return "has a covariance larger than its two variances allow";
      if (!(std::abs(covariance(i, j) - covariance(j, i)) <= 1e-9 * scale)) return "is not symmetric";
    }
  }
  cv::Mat eigenvalues;
  cv::eigen(cv::Mat(correlation), eigenvalues);
  // Room for what ten written digits of a nearly singular matrix lose.
  if (!(eigenvalues.at<double>(8) >= -1e-6)) return "is not positive semi-definite";
  return {};
}

void read_covariance(const Section& camera, vision::Lens& lens) {
  if (!camera.has("covariance")) return;
  const std::vector<double> numbers =
      camera.numbers("covariance", kLensParameters * kLensParameters, {-1e12, 1e12},
                     "the 9 x 9 matrix of fx, fy, cx, cy, k1, k2, p1, p2, k3 row by row, or leave the key out");
  lens.covariance.emplace(numbers.data());
  if (const std::string fault = fault_of_covariance(*lens.covariance); !fault.empty())
    camera.fail_at(camera.line_of("covariance"),
                   "'covariance' " + fault + "; write the matrix that the calibration gave, or leave the key out");
}

vision::Lens read_lens(const Section& camera) {
  camera.allow_only({"width", "height", "fx", "fy", "cx", "cy", "distortion", "covariance"});
  vision::Lens lens;
  lens.width_px = camera.integer("width", 64, 20000, "width = 2304");
  lens.height_px = camera.integer("height", 64, 20000, "height = 1296");
  lens.fx = camera.number("fx", {10.0, 1e6}, "fx = 3120.5");
  lens.fy = camera.number("fy", {10.0, 1e6}, "fy = 3121.0");
  lens.cx = camera.number("cx", {0.0, static_cast<double>(lens.width_px)}, "cx = 1150.2, the lens's axis in px");
  lens.cy = camera.number("cy", {0.0, static_cast<double>(lens.height_px)}, "cy = 652.7, the lens's axis in px");
  if (!(lens.fx < 2.0 * lens.fy && lens.fy < 2.0 * lens.fx))
    camera.fail_at(camera.line_of("fy"), "'fx' and 'fy' differ by more than a factor of two; write both in px");
  const std::vector<double> distortion =
      camera.numbers("distortion", 5, {-50.0, 50.0}, "distortion = [k1, k2, p1, p2, k3], five numbers");
  std::copy(distortion.begin(), distortion.end(), lens.distortion.begin());
  read_covariance(camera, lens);
  return lens;
}

vision::BoardMark read_mark(const Section& section) {
  section.allow_only({"id", "x_mm", "y_mm", "angle_deg", "size_mm", "u_mm", "u_angle_deg"});
  vision::BoardMark mark;
  mark.id = section.integer("id", kFirstBoardMark, kLastBoardMark, "id = 400; board marks are tags 400 to 449");
  mark.x_mm = section.number("x_mm", {-2000.0, 2000.0}, "x_mm = -180.0");
  mark.y_mm = section.number("y_mm", {-2000.0, 2000.0}, "y_mm = 140.0");
  mark.angle_deg = section.number("angle_deg", {-360.0, 360.0}, "angle_deg = 0.0");
  mark.size_mm = section.number("size_mm", {5.0, 200.0}, "size_mm = 30.0, the side of the black square");
  if (section.has("u_mm")) mark.u_mm = section.number("u_mm", {0.0, 100.0}, "u_mm = 0.05, or leave the key out");
  if (section.has("u_angle_deg"))
    mark.u_angle_deg = section.number("u_angle_deg", {0.0, 90.0}, "u_angle_deg = 0.03, or leave the key out");
  return mark;
}

void check_against(const vision::BoardMark& mark, const Section& section, const vision::BoardMark& other,
                   const Section& other_section) {
  if (mark.id == other.id)
    section.fail_at(section.line_of("id"), "board mark " + std::to_string(mark.id) + " is there twice, first in line " +
                                               std::to_string(other_section.line_of("id")) +
                                               "; leave one out or mend its id");
  const double apart_mm = std::hypot(mark.x_mm - other.x_mm, mark.y_mm - other.y_mm);
  if (!(apart_mm >= 0.5 * (mark.size_mm + other.size_mm)))
    section.fail_at(section.line_of("x_mm"), "board mark " + std::to_string(mark.id) + " lies on board mark " +
                                                 std::to_string(other.id) + "; write the place of its centre");
}

std::vector<vision::BoardMark> read_marks(const Section& top, StationNeeds needs) {
  const std::vector<Section> sections = top.tables("board_mark");
  std::vector<vision::BoardMark> marks;
  for (const Section& section : sections) {
    marks.push_back(read_mark(section));
    for (std::size_t i = 0; i + 1 < marks.size(); ++i) check_against(marks.back(), section, marks[i], sections[i]);
  }
  if (needs == StationNeeds::board && sections.empty())
    top.fail("the board is not surveyed yet: there is no [[board_mark]]; run hoopgauge board, which writes them");
  if (needs == StationNeeds::board && marks.size() < kFewestBoardMarks)
    sections.back().fail("there are " + std::to_string(marks.size()) +
                         " board marks; four or more are needed, each as a " +
                         "[[board_mark]] with id, x_mm, y_mm, angle_deg and size_mm");
  return marks;
}

void write_row(std::ostringstream& out, const double* numbers, int count) {
  for (int i = 0; i < count; ++i) out << (i ? ", " : "") << toml_number(numbers[i]);
}

void write_lens(std::ostringstream& out, const vision::Lens& lens) {
  out << "[camera]\nwidth = " << lens.width_px << "\nheight = " << lens.height_px;
  out << "\nfx = " << toml_number(lens.fx) << "\nfy = " << toml_number(lens.fy);
  out << "\ncx = " << toml_number(lens.cx) << "\ncy = " << toml_number(lens.cy);
  out << "\n# k1, k2, p1, p2, k3: Brown-Conrady, OpenCV order\ndistortion = [";
  write_row(out, lens.distortion.data(), 5);
  out << "]\n";
  if (!lens.covariance) return;
  out << "# of fx, fy, cx, cy, k1, k2, p1, p2, k3\ncovariance = [\n";
  for (int row = 0; row < 9; ++row) {
    out << "  ";
    write_row(out, lens.covariance->val + 9 * row, 9);
    out << ",\n";
  }
  out << "]\n";
}

}  // namespace

vision::Station station_from_text(std::string_view text, const std::string& file, StationNeeds needs) {
  const toml::table root = parse_toml(text, file);
  const Section top(file, root, "a station file");
  top.allow_only({"print_scale", "camera", "camera_place", "board_mark", "share"});
  vision::Station station;
  station.lens = read_lens(top.table("camera", "[camera] with width, height, fx, fy, cx, cy and distortion"));
  if (top.has("camera_place"))
    station.surveyed_camera =
        read_camera_place(top.table("camera_place", "[camera_place] as hoopgauge board writes it"));
  station.board_marks = read_marks(top, needs);
  if (top.has("share")) read_share(top.table("share", "[share] with connection and station"));
  if (top.has("print_scale"))
    station.print_scale =
        top.number("print_scale", {0.8, 1.2}, "print_scale = 0.97 where the 100 mm bar measures 97.0 mm");
  return station;
}

std::string text_of(const vision::Station& station) {
  std::ostringstream out;
  if (station.print_scale != 1.0)
    out << "# the sheets' 100 mm bar as measured, over 100\nprint_scale = " << toml_number(station.print_scale)
        << "\n\n";
  write_lens(out, station.lens);
  if (station.surveyed_camera) out << camera_place_text(*station.surveyed_camera);
  for (const vision::BoardMark& mark : station.board_marks) {
    out << "\n[[board_mark]]\nid = " << mark.id << "\nx_mm = " << toml_number(mark.x_mm)
        << "\ny_mm = " << toml_number(mark.y_mm) << "\nangle_deg = " << toml_number(mark.angle_deg)
        << "\nsize_mm = " << toml_number(mark.size_mm) << "\n";
    if (mark.u_mm > 0.0) out << "u_mm = " << toml_number(mark.u_mm) << "\n";
    if (mark.u_angle_deg > 0.0) out << "u_angle_deg = " << toml_number(mark.u_angle_deg) << "\n";
  }
  return std::move(out).str();
}

}  // namespace calib
