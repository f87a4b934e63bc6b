#include "tests/bench/tally.h"

#include <cmath>
#include <nlohmann/json.hpp>

#include "tests/bench/stopwatch.h"

namespace bench {
namespace {

using nlohmann::json;

json spread(const std::vector<double>& values) {
  if (values.empty()) return nullptr;
  return {{"median", median(values)},
          {"p95", quantile(values, 0.95)},
          {"worst", quantile(values, 1.0)},
          {"count", values.size()}};
}

json share(int part, int whole) { return whole > 0 ? json(static_cast<double>(part) / whole) : json(nullptr); }

json frame_json(const Row& row, const std::optional<PoseError>& sticker, const std::optional<PoseError>& reading) {
  json j{{"frame", row.truth.name},
         {"category", row.truth.category},
         {"status", row.outcome.status},
         {"cpu_ms", row.outcome.cpu_ms},
         {"tracked", row.outcome.tracked}};
  if (sticker) {
    j["sticker_offset_error_mm"] = sticker->offset_mm();
    j["sticker_angle_error_deg"] = sticker->angle_deg;
  }
  if (reading) {
    j["dx_mm"] = reading->dx_mm;
    j["dy_mm"] = reading->dy_mm;
    j["dangle_deg"] = reading->angle_deg;
    j["u_offset_mm"] = row.outcome.reading->u_offset_mm;
    j["u_rotation_deg"] = row.outcome.reading->u_rotation_deg;
  }
  return j;
}

bool is_wrong(const PoseError& error) {
  return !(error.offset_mm() <= kWrongOffsetMm) || !(std::abs(error.angle_deg) <= kWrongAngleDeg);
}

// Errors against stated expanded uncertainties.
struct Coverage {
  int readings = 0, angle = 0, axes = 0, distance = 0;
  void add(const PoseError& error, const vision::Reading& reading) {
    ++readings;
    angle += std::abs(error.angle_deg) <= reading.u_rotation_deg;
    axes += (std::abs(error.dx_mm) <= reading.u_offset_mm) + (std::abs(error.dy_mm) <= reading.u_offset_mm);
    distance += error.offset_mm() <= reading.u_offset_mm;
  }
};

std::string number(const json& j, const char* format) {
  if (j.is_null()) return "-";
  char text[32];
  std::snprintf(text, sizeof text, format, j.get<double>());
  return text;
}

std::string pair(const json& j, const char* format) {
  return j.is_null() ? "-" : number(j.at("median"), format) + " / " + number(j.at("p95"), format);
}

}  // namespace

json Tally::summary(bool each_frame) const {
  std::vector<double> cpu, wall, ratio, sticker_offset, sticker_angle, reading_offset, reading_angle;
  int readable = 0, missed = 0, refused = 0, wrong = 0, untracked = 0;
  Coverage coverage;
  json frames = json::array(), statuses = json::object();
  for (const Row& row : rows_) {
    const Outcome& o = row.outcome;
    statuses[o.status] = statuses.value(o.status, 0) + 1;
    std::optional<PoseError> sticker, reading;
    if (o.board_from_sticker)
      sticker = pose_error(*o.board_from_sticker, row.truth.stickers.front().board_from_sticker);
    if (o.reading && row.truth.hoop_from_sticker)
      reading = pose_error(as_pose(*o.reading), *row.truth.hoop_from_sticker);
    if (sticker) {
      sticker_offset.push_back(sticker->offset_mm());
      sticker_angle.push_back(std::abs(sticker->angle_deg));
    }
    if (reading) {
      reading_offset.push_back(reading->offset_mm());
      reading_angle.push_back(std::abs(reading->angle_deg));
      coverage.add(*reading, *o.reading);
    }
    const bool answered = is_peer_ ? o.board_from_sticker.has_value() : o.reading.has_value();
    if (answered) {  // a refusal may come early: its time is no time of a reading
      cpu.push_back(o.cpu_ms);
      wall.push_back(o.wall_ms);
      if (row.reference_cpu_ms > 0.0) ratio.push_back(o.cpu_ms / row.reference_cpu_ms);
      untracked += !o.tracked;
    }
    if (row.truth.hoop_from_sticker) {
      ++readable;
      if (!answered) ++(row.truth.may_be_refused ? refused : missed);
      const std::optional<PoseError>& shown = is_peer_ ? sticker : reading;
      if (shown && is_wrong(*shown)) ++wrong;
    } else if (answered) {
      ++wrong;
    }
    if (each_frame) frames.push_back(frame_json(row, sticker, reading));
  }
  json j{{"name", name_},
         {"peer", is_peer_},
         {"frames", rows_.size()},
         {"cpu_ms", spread(cpu)},
         {"wall_ms", spread(wall)},
         {"ratio_to_opencv", spread(ratio)},
         {"sticker_offset_error_mm", spread(sticker_offset)},
         {"sticker_angle_error_deg", spread(sticker_angle)},
         {"reading_offset_error_mm", spread(reading_offset)},
         {"reading_angle_error_deg", spread(reading_angle)},
         {"readable", readable},
         {"missed", missed},
         {"refused_by_right", refused},
         {"wrong", wrong},
         {"covered_angle", share(coverage.angle, coverage.readings)},
         {"covered_x_and_y", share(coverage.axes, 2 * coverage.readings)},
         {"covered_distance", share(coverage.distance, coverage.readings)},
         {"untracked", is_peer_ ? json(nullptr) : json(untracked)},
         {"statuses", statuses}};
  if (each_frame) j["each_frame"] = frames;
  return j;
}

void print_table(std::FILE* out, const std::string& title, const std::vector<json>& summaries) {
  std::fprintf(out, "\n%s\n", title.c_str());
  std::fprintf(out, "%-24s %17s %8s %17s %17s %17s %17s %6s %6s %6s %6s %21s\n", "", "ms", "ratio", "sticker deg",
               "sticker mm", "reading deg", "reading mm", "read-", "", "may", "", "covered, k = 2");
  std::fprintf(out, "%-24s %17s %8s %17s %17s %17s %17s %6s %6s %6s %6s %21s\n", "", "median / p95", "OpenCV",
               "median / p95", "median / p95", "median / p95", "median / p95", "able", "missed", "refuse", "wrong",
               "angle / x,y / dist.");
  for (const json& s : summaries) {
    const std::string covered = s.at("covered_angle").is_null() ? "-"
                                                                : number(s.at("covered_angle"), "%.3f") + " / " +
                                                                      number(s.at("covered_x_and_y"), "%.3f") + " / " +
                                                                      number(s.at("covered_distance"), "%.3f");
    const json& ratio = s.at("ratio_to_opencv");
    std::fprintf(
        out, "%-24s %17s %8s %17s %17s %17s %17s %6d %6d %6d %6d %21s\n", s.at("name").get<std::string>().c_str(),
        pair(s.at("cpu_ms"), "%.1f").c_str(), ratio.is_null() ? "-" : number(ratio.at("median"), "%.3f").c_str(),
        pair(s.at("sticker_angle_error_deg"), "%.4f").c_str(), pair(s.at("sticker_offset_error_mm"), "%.4f").c_str(),
        pair(s.at("reading_angle_error_deg"), "%.4f").c_str(), pair(s.at("reading_offset_error_mm"), "%.4f").c_str(),
        s.at("readable").get<int>(), s.at("missed").get<int>(), s.at("refused_by_right").get<int>(),
        s.at("wrong").get<int>(), covered.c_str());
  }
}

}  // namespace bench
