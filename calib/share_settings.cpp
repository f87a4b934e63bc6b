#include "calib/share_settings.h"

#include <algorithm>

namespace calib {
namespace {

constexpr int kMostMinutes = 7 * 24 * 60;
constexpr std::size_t kLongestName = 100;         // bytes, as of every name that is kept with a piece
constexpr std::size_t kLongestConnection = 4000;  // bytes

bool is_control(char c) { return static_cast<unsigned char>(c) < 0x20 || c == 0x7f; }

bool is_line(const std::string& text) { return std::none_of(text.begin(), text.end(), is_control); }

}  // namespace

ShareSettings read_share(const Section& share) {
  share.allow_only({"connection", "station", "every_min"});
  ShareSettings out;
  out.line = share.line_of("connection");
  out.connection = share.text("connection", "connection = \"host=shop.example dbname=hoops sslmode=verify-full\"");
  if (!is_line(out.connection) || out.connection.size() > kLongestConnection)
    share.fail_at(out.line,
                  "'connection' is no connection of one line; write such as connection = \"host=shop.example "
                  "dbname=hoops sslmode=verify-full\"");
  out.station = share.text("station", "station = \"North window\"");
  if (out.station.empty() || out.station.front() == ' ' || out.station.back() == ' ' || !is_line(out.station) ||
      out.station.size() > kLongestName)
    share.fail_at(share.line_of("station"),
                  "'station' is no name; write up to 100 letters without spaces at the ends, such as station = \"North "
                  "window\"");
  if (share.has("every_min"))
    out.every_min = share.integer("every_min", 0, kMostMinutes, "every_min = 15, or 0 for only by command");
  return out;
}

std::string text_of(const ShareSettings& share) {
  std::string out =
      "\n[share]\nconnection = " + toml_text(share.connection) + "\nstation = " + toml_text(share.station);
  if (share.every_min > 0) out += "\nevery_min = " + std::to_string(share.every_min);
  return out + "\n";
}

}  // namespace calib
