#include "app/commands/filter_options.h"

#include "app/commands/options.h"
#include "app/records/day_time.h"
#include "calib/files.h"

namespace app {
namespace {

std::optional<std::string> named(const std::optional<std::string>& word) {
  return word == "none" ? std::optional<std::string>("") : word;
}

}  // namespace

void add_filter_options(CLI::App& command, FilterWords& words, bool with_set_aside) {
  const auto add = [&](const char* option, std::optional<std::string>& value, const char* help) {
    optional_value(command, option, value, help)->option_text("NAME");
  };
  add("--operator", words.operator_name, "Pieces of this operator only; none for those without one");
  add("--job", words.job, "Of this job");
  add("--garment", words.garment, "Of this garment");
  add("--cloth", words.cloth, "Of this cloth");
  add("--hoop", words.hoop, "Hooped with this hoop");
  add("--at-station", words.station, "Hooped at this station of the shop");
  add("--machine", words.machine, "Entered at this machine");
  optional_value(command, "--since", words.since, "A day such as 2026-01-31, or 30d, 8w, 3m, 1y for so long ago")
      ->option_text("TIME");
  optional_value(command, "--until", words.until, "Likewise; a day is counted whole")->option_text("TIME");
  if (with_set_aside) command.add_flag("--set-aside", words.with_set_aside, "Also pieces that do not count");
}

PieceFilter filter_from(const FilterWords& words, std::int64_t now_s) {
  PieceFilter out;
  out.operator_name = named(words.operator_name);
  out.job = named(words.job);
  out.garment = named(words.garment);
  out.cloth = named(words.cloth);
  out.hoop = named(words.hoop);
  out.station = named(words.station);
  out.machine = named(words.machine);
  out.with_set_aside = words.with_set_aside;
  if (words.since) out.since_s = time_from_words(*words.since, now_s);
  if (words.until) {
    const std::int64_t time_s = time_from_words(*words.until, now_s);
    const bool whole_day = words.until->find('T') == std::string::npos;
    out.until_s = whole_day ? day_ends(time_s) : time_s;
  }
  if (out.since_s && out.until_s && *out.since_s >= *out.until_s)
    throw calib::FileError("--since " + *words.since + " lies behind --until " + *words.until +
                           "; no piece can be meant");
  return out;
}

}  // namespace app
