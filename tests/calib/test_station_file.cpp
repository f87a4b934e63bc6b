#include <limits>

#include "calib/file_text.h"
#include "tests/calib/samples.h"
#include "tests/catch.h"
#include "tests/error_of.h"

namespace {

using samples::kStation;
using samples::with;

std::string fault_in(const std::string& text) {
  return error_of([&] { calib::station_from_text(text, "s.toml"); });
}

void same(const vision::Station& a, const vision::Station& b) {
  CHECK(a.lens.width_px == b.lens.width_px);
  CHECK(a.lens.height_px == b.lens.height_px);
  CHECK(a.lens.fx == b.lens.fx);
  CHECK(a.lens.fy == b.lens.fy);
  CHECK(a.lens.cx == b.lens.cx);
  CHECK(a.lens.cy == b.lens.cy);
  CHECK(a.lens.distortion == b.lens.distortion);
  CHECK(a.lens.covariance.has_value() == b.lens.covariance.has_value());
  if (a.lens.covariance && b.lens.covariance) CHECK(*a.lens.covariance == *b.lens.covariance);
  CHECK(a.print_scale == b.print_scale);
  REQUIRE(a.board_marks.size() == b.board_marks.size());
  for (std::size_t i = 0; i < a.board_marks.size(); ++i) {
    CHECK(a.board_marks[i].id == b.board_marks[i].id);
    CHECK(a.board_marks[i].x_mm == b.board_marks[i].x_mm);
    CHECK(a.board_marks[i].y_mm == b.board_marks[i].y_mm);
    CHECK(a.board_marks[i].angle_deg == b.board_marks[i].angle_deg);
    CHECK(a.board_marks[i].size_mm == b.board_marks[i].size_mm);
  }
}

std::string identity_covariance() {
  std::string out = "[";
  for (int i = 0; i < 81; ++i) out += i % 10 == 0 ? "1.0, " : "0.0, ";
  return out + "]";
}

}  // namespace

// Guarantees: every value lands in its own field. Example failure: fx and fy, or x_mm and y_mm, exchanged.
TEST_CASE("a station file is read value by value", "[files]") {
  const vision::Station station =
      calib::station_from_text(with(kStation, "print_scale = 1.0", "print_scale = 0.97"), "");
  CHECK(station.lens.width_px == 2304);
  CHECK(station.lens.height_px == 1296);
  CHECK(station.lens.fx == 2246.3);
  CHECK(station.lens.fy == 2248.1);
  CHECK(station.lens.cx == 1160.4);
  CHECK(station.lens.cy == 640.7);
  CHECK(station.lens.distortion == std::array<double, 5>{-0.1182, 0.0871, 0.00064, -0.00047, -0.0213});
  CHECK_FALSE(station.lens.covariance);
  CHECK(station.print_scale == 0.97);
  REQUIRE(station.board_marks.size() == 4);
  CHECK(station.board_marks[0].id == 400);
  CHECK(station.board_marks[0].x_mm == -190.0);
  CHECK(station.board_marks[0].y_mm == 142.0);
  CHECK(station.board_marks[1].angle_deg == 90.0);
  CHECK(station.board_marks[3].size_mm == 25.5);
}

TEST_CASE("print scale is 1 where the station file does not say", "[files]") {
  CHECK(calib::station_from_text(with(kStation, "print_scale = 1.0\n", ""), "").print_scale == 1.0);
}

// Guarantees: saving loses no bit. Example failure: numbers cut to six digits.
TEST_CASE("a station survives text and back bit by bit", "[files][roundtrip]") {
  vision::Station station = calib::station_from_text(kStation, "");
  same(station, calib::station_from_text(calib::text_of(station), "again"));

  station.print_scale = 1.0 / 1.03;
  station.lens.fx = 2000.0 + 1.0 / 3.0;
  station.lens.fy = 2000.0;
  station.lens.distortion = {-1e-17, 1.0 / 7.0, std::numeric_limits<double>::denorm_min(), 0.0, -0.25};
  station.board_marks[2].x_mm = 190.0 + 1e-12;
  station.board_marks[2].angle_deg = -0.0;
  cv::Matx<double, 9, 9> covariance = cv::Matx<double, 9, 9>::zeros();
  for (int i = 0; i < 9; ++i) covariance(i, i) = 1.0 / (3.0 + 1000.0 * i * i * i);
  covariance(0, 1) = covariance(1, 0) = 0.001;
  station.lens.covariance = covariance;
  same(station, calib::station_from_text(calib::text_of(station), "again"));
}

// Guarantees: each fault is told with the file, the line where it stands and what to write. Lines are counted by hand
// in samples.h. Example failure: the line of the section instead of the value's.
TEST_CASE("each fault of a station file names its line and the mend", "[files][errors]") {
  struct Case {
    const char *from, *to, *says;
  };
  const Case cases[] = {
      {"fx = 2246.3", "fx = \"2246.3\"", "s.toml:5: 'fx' is a text; write a number, such as fx = 3120.5"},
      {"fx = 2246.3", "fx = nan", "s.toml:5: 'fx' is nan; write a number from 10 to 1e+06"},
      {"fy = 2248.1", "fy = inf", "s.toml:6: 'fy' is inf; write a number from"},
      {"fy = 2248.1", "fy = -2248.1", "s.toml:6: 'fy' is -2248.1; write a number from"},
      {"fy = 2248.1", "fy = 248.1", "s.toml:6: 'fx' and 'fy' differ by more than a factor of two"},
      {"fx = 2246.3\n", "", "s.toml:2: [camera] has no 'fx'; add a line such as fx = 3120.5"},
      {"fx = 2246.3", "fx = 2246.3\nfz = 1.0", "s.toml:6: 'fz' is not a key of [camera]; write 'fx'"},
      {"fx = 2246.3", "fx = 2246.3\nsoftness = 1.0", "s.toml:6: 'softness' is not a key of [camera]; leave it out"},
      {"width = 2304", "widht = 2304", "s.toml:3: 'widht' is not a key of [camera]; write 'width'"},
      {"width = 2304", "width = 2304.5", "s.toml:3: 'width' is a number; write a whole number from 64 to 20000"},
      {"width = 2304", "width = 0", "s.toml:3: 'width' is 0; write a whole number from 64 to 20000"},
      {"width = 2304", "width = 99999999999999", "s.toml:3: 'width' is 99999999999999; write a whole number"},
      {"cx = 1160.4", "cx = 2304.5", "s.toml:7: 'cx' is 2304.5; write a number from 0 to 2304"},
      {"cy = 640.7", "cy = true", "s.toml:8: 'cy' is true or false; write a number"},
      {"0.0871, ", "", "s.toml:9: 'distortion' has 4 numbers; write 5, such as distortion = [k1, k2, p1, p2, k3]"},
      {"0.0871", "'k2'", "s.toml:9: 'distortion' is a text; write a number"},
      {"0.0871", "nan", "s.toml:9: 'distortion' is nan"},
      {"print_scale = 1.0", "print_scale = 97.0", "s.toml:1: 'print_scale' is 97; write a number from 0.8 to 1.2"},
      {"print_scale = 1.0", "Print_scale = 1.0", "s.toml:1: 'Print_scale' is not a key of a station file; write 'prin"},
      {"[camera]", "[cammera]", "s.toml:2: 'cammera' is not a key of a station file; write 'camera'"},
      {"[camera]", "[[camera]]", "s.toml:2: 'camera' is a list; write a line [camera] and its keys below it"},
      {"id = 401", "id = 400", "s.toml:18: board mark 400 is there twice, first in line 11; leave one out"},
      {"id = 401", "id = 450", "s.toml:18: 'id' is 450; write a whole number from 400 to 449"},
      {"id = 401", "id = 399", "s.toml:18: 'id' is 399; write a whole number from 400 to 449"},
      {"id = 401\n", "", "s.toml:17: [[board_mark]] no. 2 has no 'id'; add a line such as id = 400"},
      {"size_mm = 25.5", "size_mm = 0.0", "s.toml:36: 'size_mm' is 0; write a number from 5 to 200"},
      {"angle_deg = 180.0", "angle = 180.0", "s.toml:28: 'angle' is not a key of [[board_mark]] no. 3; leave it out"},
      {"angle_deg = 180.0", "angle_deg = 1e3", "s.toml:28: 'angle_deg' is 1000; write a number from -360 to 360"},
      {"id = 403\nx_mm = -190.0", "id = 403\nx_mm = 190.0", "s.toml:33: board mark 403 lies on board mark 402"},
      {"cy = 640.7", "cy = 640.7.1", "s.toml:8: is not TOML here: "},
      {"cy = 640.7", "cy = 640.7\ncy = 640.7", "s.toml:9: is not TOML here: "},
  };
  for (const Case& one : cases) {
    INFO(one.from << "  ->  " << one.to);
    const std::string error = fault_in(with(kStation, one.from, one.to));
    INFO(error);
    CHECK(error.starts_with(one.says));
  }
}

TEST_CASE("fewer than four board marks are an error", "[files][errors]") {
  const std::string three = kStation.substr(0, kStation.rfind("[[board_mark]]"));
  CHECK(fault_in(three).starts_with("s.toml:24: there are 3 board marks; four or more are needed"));
  const std::string none = kStation.substr(0, kStation.find("[[board_mark]]"));
  CHECK(fault_in(none).starts_with("s.toml:1: the board is not surveyed yet"));
  CHECK(calib::station_from_text(none, "", calib::StationNeeds::lens).board_marks.empty());
  CHECK(fault_in(none + "[board_mark]\nid = 400").starts_with("s.toml:10: 'board_mark' is a table; write a line [["));
  CHECK(fault_in("board_mark = 3\n" + none).starts_with("s.toml:1: 'board_mark' is a whole number; write a line [["));
  CHECK(fault_in("board_mark = [3]\n" + none).starts_with("s.toml:1: 'board_mark' holds a whole number; write"));
}

TEST_CASE("an empty station file says what to add", "[files][errors]") {
  CHECK(fault_in("").starts_with("s.toml:1: there is no [camera]; add one"));
}

TEST_CASE("the lens covariance is optional and checked", "[files][errors]") {
  const auto with_covariance = [](const std::string& matrix) {
    return with(kStation, "cy = 640.7", "cy = 640.7\ncovariance = " + matrix);
  };
  CHECK(calib::station_from_text(with_covariance(identity_covariance()), "").lens.covariance ==
        (cv::Matx<double, 9, 9>::eye()));
  CHECK(fault_in(with_covariance("[1.0, 2.0]")).starts_with("s.toml:9: 'covariance' has 2 numbers; write 81"));
  const std::string unit = identity_covariance();
  CHECK(fault_in(with_covariance("[-1.0" + unit.substr(4))).starts_with("s.toml:9: 'covariance' has a negative var"));
  CHECK(fault_in(with_covariance("[1.0, 0.5" + unit.substr(9))).starts_with("s.toml:9: 'covariance' is not symmetric"));
  CHECK(
      fault_in(with_covariance("[1.0, 1.5" + unit.substr(9))).starts_with("s.toml:9: 'covariance' has a covariance "));
  // Three parameters, each correlated by -0.9 with the two others, cannot be.
  cv::Matx<double, 9, 9> impossible = cv::Matx<double, 9, 9>::eye();
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j)
      if (i != j) impossible(i, j) = -0.9;
  std::string text = "[";
  for (const double number : impossible.val) text += std::to_string(number) + ", ";
  CHECK(fault_in(with_covariance(text + "]")).starts_with("s.toml:9: 'covariance' is not positive semi-definite"));
}
