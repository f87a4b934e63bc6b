// The hoop file: a taught ring, its notches and its field.
#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <sstream>

#include "calib/file_text.h"
#include "calib/outline_check.h"
#include "calib/toml_reader.h"

namespace calib {
namespace {

constexpr int kFirstNorthMark = 450, kLastNorthMark = 479;
// A notch is where it meets the inner outline; taught by hand, it may be off by a notch's size.
constexpr double kNotchFromRim_mm = 10.0;
constexpr std::string_view kNorthForms = R"(north = "taught", "mark 451" or "fixture")";
constexpr std::array<std::string_view, 4> kSideNames{"north", "east", "south", "west"};
const std::array<cv::Point2d, 4> kSideDirections{cv::Point2d{0, 1}, {1, 0}, {0, -1}, {-1, 0}};

void read_north(const Section& top, vision::Hoop& hoop) {
  const std::string north = top.text("north", kNorthForms);
  const int line = top.line_of("north");
  if (north == "taught") {
    hoop.north_by = vision::NorthBy::taught;
  } else if (north == "fixture") {
    hoop.north_by = vision::NorthBy::fixture;
  } else if (north.size() == 8 && north.starts_with("mark ") &&
             north.find_first_not_of("0123456789", 5) == std::string::npos) {
    hoop.north_by = vision::NorthBy::mark;
    hoop.north_mark = std::stoi(north.substr(5));
    if (hoop.north_mark < kFirstNorthMark || hoop.north_mark > kLastNorthMark)
      top.fail_at(line, "north mark " + std::to_string(hoop.north_mark) +
                            " is none; north marks are tags 450 to 479: write north = \"mark 451\"");
  } else {
    top.fail_at(line, "'north' is none of the three forms; write " + std::string(kNorthForms));
  }
}

// Optional: the usual bevel where they are left out.
void read_edge_drops(const Section& top, vision::Hoop& hoop) {
  constexpr Range kDrop{0.0, 5.0};
  if (top.has("inner_edge_drop_mm"))
    hoop.inner_edge_drop_mm = top.number("inner_edge_drop_mm", kDrop, "inner_edge_drop_mm = 0.4");
  if (top.has("outer_edge_drop_mm"))
    hoop.outer_edge_drop_mm = top.number("outer_edge_drop_mm", kDrop, "outer_edge_drop_mm = 0.8");
}

// The one key of three that says the field.
std::string_view field_key(const Section& top) {
  std::string_view key;
  for (const std::string_view one : {"field_mm", "field_diameter_mm", "field_oval_mm"}) {
    if (!top.has(one)) continue;
    if (!key.empty())
      top.fail_at(top.line_of(one), "both '" + std::string(key) + "' and '" + std::string(one) +
                                        "' are there; leave out the one that is not the machine's field");
    key = one;
  }
  return key.empty() ? "field_mm" : key;
}

void read_field(const Section& top, vision::Hoop& hoop) {
  constexpr Range kField{5.0, 2000.0};
  const std::string_view key = field_key(top);
  hoop.field_is_round = key != "field_mm";
  if (key == "field_diameter_mm") {
    const double diameter_mm = top.number(key, kField, "field_diameter_mm = 120.0");
    hoop.field_mm = {diameter_mm, diameter_mm};
  } else {
    const std::vector<double> field = top.numbers(
        key, 2, kField,
        hoop.field_is_round
            ? "field_oval_mm = [200.0, 140.0] (width, height)"
            : "field_mm = [130.0, 180.0] (width, height), or field_diameter_mm = 120.0, or field_oval_mm = [w, h]");
    hoop.field_mm = {field[0], field[1]};
  }
  if (!top.has("field_corner_mm")) return;
  if (hoop.field_is_round)
    top.fail_at(top.line_of("field_corner_mm"), "'field_corner_mm' is of a rectangle, and '" + std::string(key) +
                                                    "' has no corners; leave one of them out");
  hoop.field_corner_mm = top.number("field_corner_mm", {0.0, 1000.0}, "field_corner_mm = 15.0");
  if (!(2.0 * hoop.field_corner_mm <= std::min(hoop.field_mm.width, hoop.field_mm.height)))
    top.fail_at(top.line_of("field_corner_mm"),
                "'field_corner_mm' is more than half of 'field_mm'; write the radius of the field's corners");
}

std::vector<cv::Point2d> read_outline(const Section& top, std::string_view key) {
  std::vector<cv::Point2d> outline =
      top.points(key, {-2000.0, 2000.0}, std::string(key) + " = [[70.0, 70.0], [-70.0, 70.0], ...]");
  if (const OutlineFault fault = fault_of_outline(outline); !fault.message.empty())
    top.fail_at(top.line_of(key, fault.point), "'" + std::string(key) + "' " + fault.message);
  return outline;
}

void check_ring(const Section& top, const vision::Hoop& hoop) {
  if (const OutlineFault fault = fault_of_ring(hoop.inner_mm, hoop.outer_mm); !fault.message.empty())
    top.fail_at(top.line_of("inner_mm", fault.point), "'inner_mm' " + fault.message);
  if (!is_inside({0.0, 0.0}, hoop.inner_mm))
    top.fail_at(top.line_of("inner_mm"),
                "'inner_mm' does not surround (0, 0); write it in the hoop's frame, whose origin is where the lines "
                "between opposite notches cross");
}

// The field lies within the opening's width and height. Its corners may pass under a rounded corner of the rim:
// whether a design does is another check.
void check_field(const Section& top, const vision::Hoop& hoop) {
  cv::Point2d most(0.0, 0.0), least(0.0, 0.0);
  for (const cv::Point2d& p : hoop.inner_mm) {
    most = {std::max(most.x, p.x), std::max(most.y, p.y)};
    least = {std::min(least.x, p.x), std::min(least.y, p.y)};
  }
  if (hoop.field_mm.width <= most.x - least.x && hoop.field_mm.height <= most.y - least.y) return;
  const std::string key(field_key(top));
  top.fail_at(top.line_of(key), "'" + key + "' is larger than the opening 'inner_mm', " +
                                    toml_number(most.x - least.x) + " x " + toml_number(most.y - least.y) +
                                    " mm; write the field that the machine can sew in this hoop");
}

double distance_mm(cv::Point2d p, const std::vector<cv::Point2d>& outline) {
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < outline.size(); ++i) {
    const cv::Point2d a = outline[i], along = outline[(i + 1) % outline.size()] - a;
    const double share = std::clamp((p - a).dot(along) / along.dot(along), 0.0, 1.0);
    least = std::min(least, cv::norm(p - a - share * along));
  }
  return least;
}

vision::Notch read_notch(const Section& section, const vision::Hoop& hoop) {
  section.allow_only({"side", "at_mm", "teeth"});
  const std::string side = section.text("side", "side = \"north\"");
  const auto found = std::find(kSideNames.begin(), kSideNames.end(), side);
  if (found == kSideNames.end())
    section.fail_at(section.line_of("side"), "'side' is no side; write \"north\", \"east\", \"south\" or \"west\"");
  const auto index = static_cast<std::size_t>(found - kSideNames.begin());
  vision::Notch notch;
  notch.side = vision::kSides[index];
  const std::vector<double> at = section.numbers("at_mm", 2, {-2000.0, 2000.0}, "at_mm = [0.0, 96.5]");
  notch.at_mm = {at[0], at[1]};
  notch.teeth =
      section.has("teeth") ? section.integer("teeth", 1, 3, "teeth = 1") : (notch.side == vision::Side::north ? 2 : 1);
  const cv::Point2d towards = kSideDirections[index];
  if (!(notch.at_mm.dot(towards) > std::abs(notch.at_mm.cross(towards))))
    section.fail_at(section.line_of("at_mm"), "the " + side + " notch does not lie to the " + side +
                                                  "; mend its side or its place (x to the east, y to the north)");
  const double off_mm = distance_mm(notch.at_mm, hoop.inner_mm);
  if (!(off_mm <= kNotchFromRim_mm))
    section.fail_at(section.line_of("at_mm"), "the " + side + " notch lies " + toml_number(std::round(off_mm)) +
                                                  " mm from 'inner_mm'; write where it meets that outline");
  return notch;
}

void read_notches(const Section& top, vision::Hoop& hoop) {
  std::array<int, 4> lines{};
  for (const Section& section : top.tables("notch")) {
    const vision::Notch notch = read_notch(section, hoop);
    const auto index = static_cast<std::size_t>(notch.side);
    if (lines[index] != 0)
      section.fail_at(section.line_of("side"), "the " + std::string(kSideNames[index]) +
                                                   " notch is there twice, first in line " +
                                                   std::to_string(lines[index]) + "; write each side once");
    lines[index] = section.line_of("side");
    hoop.notches[index] = notch;
  }
  for (std::size_t i = 0; i < lines.size(); ++i)
    if (lines[i] == 0)
      top.fail("there is no notch at " + std::string(kSideNames[i]) + "; add a [[notch]] with side = \"" +
               std::string(kSideNames[i]) + "\" and at_mm = [x, y]");
}

void write_outline(std::ostringstream& out, const char* key, const std::vector<cv::Point2d>& outline) {
  constexpr std::size_t kPointsOnALine = 6;
  out << key << " = [";
  for (std::size_t i = 0; i < outline.size(); ++i)
    out << (i % kPointsOnALine ? " " : "\n  ") << "[" << toml_number(outline[i].x) << ", " << toml_number(outline[i].y)
        << "],";
  out << "\n]\n";
}

std::string north_text(const vision::Hoop& hoop) {
  switch (hoop.north_by) {
    case vision::NorthBy::taught:
      return "taught";
    case vision::NorthBy::mark:
      return "mark " + std::to_string(hoop.north_mark);
    case vision::NorthBy::fixture:
      return "fixture";
  }
  return {};
}

// The keys of one hoop, those of a hoop file's top.
vision::Hoop read_hoop(const Section& top) {
  top.allow_only({"name", "north", "rim_height_mm", "cloth_height_mm", "field_mm", "field_diameter_mm", "field_oval_mm",
                  "field_corner_mm", "inner_mm", "outer_mm", "inner_edge_drop_mm", "outer_edge_drop_mm", "notch"});
  vision::Hoop hoop;
  hoop.name = top.text("name", "name = \"130 x 180\"");
  if (hoop.name.empty() || hoop.name.size() > 100)
    top.fail_at(top.line_of("name"), "'name' is empty or very long; write what is printed on the hoop");
  read_north(top, hoop);
  hoop.rim_height_mm = top.number("rim_height_mm", {0.0, 100.0}, "rim_height_mm = 11.0");
  hoop.cloth_height_mm = top.number("cloth_height_mm", {0.0, 100.0}, "cloth_height_mm = 1.0");
  read_edge_drops(top, hoop);
  read_field(top, hoop);
  hoop.inner_mm = read_outline(top, "inner_mm");
  hoop.outer_mm = read_outline(top, "outer_mm");
  check_ring(top, hoop);
  check_field(top, hoop);
  read_notches(top, hoop);
  return hoop;
}

// `notch`: the name of the notches' table, from the file's top.
void write_hoop(std::ostringstream& out, const vision::Hoop& hoop, const char* notch_table) {
  out << "name = " << toml_text(hoop.name) << "\nnorth = " << toml_text(north_text(hoop))
      << "\nrim_height_mm = " << toml_number(hoop.rim_height_mm)
      << "\ncloth_height_mm = " << toml_number(hoop.cloth_height_mm) << "\n";
  if (hoop.inner_edge_drop_mm != vision::kInnerEdgeDropMm)
    out << "inner_edge_drop_mm = " << toml_number(hoop.inner_edge_drop_mm) << "\n";
  if (hoop.outer_edge_drop_mm != vision::kOuterEdgeDropMm)
    out << "outer_edge_drop_mm = " << toml_number(hoop.outer_edge_drop_mm) << "\n";
  if (hoop.field_is_round && hoop.field_mm.width == hoop.field_mm.height)
    out << "field_diameter_mm = " << toml_number(hoop.field_mm.width) << "\n";
  else
    out << (hoop.field_is_round ? "field_oval_mm = [" : "field_mm = [") << toml_number(hoop.field_mm.width) << ", "
        << toml_number(hoop.field_mm.height) << "]\n";
  if (hoop.field_corner_mm > 0.0 && !hoop.field_is_round)
    out << "field_corner_mm = " << toml_number(hoop.field_corner_mm) << "\n";
  write_outline(out, "inner_mm", hoop.inner_mm);
  write_outline(out, "outer_mm", hoop.outer_mm);
  for (std::size_t i = 0; i < hoop.notches.size(); ++i) {
    const vision::Notch& notch = hoop.notches[i];
    out << "\n[[" << notch_table << "]]\nside = \"" << kSideNames[i] << "\"\nat_mm = [" << toml_number(notch.at_mm.x)
        << ", " << toml_number(notch.at_mm.y) << "]\nteeth = " << notch.teeth << "\n";
  }
}

}  // namespace

vision::Hoop hoop_from_text(std::string_view text, const std::string& file) {
  const toml::table root = parse_toml(text, file);
  return read_hoop(Section(file, root, "a hoop file"));
}

std::string text_of(const vision::Hoop& hoop) {
  std::ostringstream out;
  write_hoop(out, hoop, "notch");
  return std::move(out).str();
}

std::vector<vision::Hoop> hoops_from_text(std::string_view text, const std::string& file) {
  const toml::table root = parse_toml(text, file);
  const Section top(file, root, "a file of several hoops");
  const std::string version_line = "hoopgauge_hoops = " + std::to_string(kHoopsVersion);
  if (!top.has("hoopgauge_hoops") && top.has("inner_mm"))
    top.fail("this is the file of one hoop, not of several; put it into the hoop folder, or add '" + version_line +
             "' and [[hoop]] above its keys");
  top.integer("hoopgauge_hoops", kHoopsVersion, kHoopsVersion, version_line);
  top.allow_only({"hoopgauge_hoops", "count", "hoop"});
  std::vector<vision::Hoop> hoops;
  for (const Section& section : top.tables("hoop")) hoops.push_back(read_hoop(section));
  const int count = static_cast<int>(hoops.size());
  if (top.has("count") && top.integer("count", 0, 100000, "count = 2") != count)
    top.fail_at(top.line_of("count"), "'count' is not " + std::to_string(count) +
                                          ", the number of [[hoop]] here: the file was cut off, or edited; export it "
                                          "again, or leave 'count' out");
  return hoops;
}

std::string text_of(const std::vector<vision::Hoop>& hoops) {
  std::ostringstream out;
  out << "hoopgauge_hoops = " << kHoopsVersion << "\ncount = " << hoops.size() << "\n";
  for (const vision::Hoop& hoop : hoops) {
    out << "\n[[hoop]]\n";
    write_hoop(out, hoop, "hoop.notch");
  }
  return std::move(out).str();
}

}  // namespace calib
