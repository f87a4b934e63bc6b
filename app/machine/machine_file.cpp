#include "app/machine/machine_file.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "app/format.h"
#include "app/names.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr std::size_t kLongestNote = 200;  // bytes
constexpr std::size_t kMostKeys = 8;
constexpr int kFullTurn = 3600;                // finest turns
constexpr calib::Range kTurn_deg{0.0, 180.0};  // a step or a key; more than half a turn is no step
constexpr calib::Range kJogStep_mm{0.01, 10.0};
constexpr calib::Range kJogLimit_mm{0.0, 1000.0};  // more than any field

using Word = const char*;
// In the order of the enumerations.
constexpr std::array<Word, 2> kSenses{"counter-clockwise", "clockwise"};
constexpr std::array<Word, 2> kRanges{"full turn", "half turns"};
constexpr std::array<Word, 2> kMoves{"design", "hoop"};
constexpr std::array<Word, 2> kOrders{"turn first", "jog first"};
constexpr std::array<Word, 2> kAbouts{"design centre", "field centre"};
constexpr std::array<Word, 3> kMirrors{"none", "left-right", "top-bottom"};

template <class Choice, std::size_t count>
void choose(const calib::Section& in, const char* key, const std::array<Word, count>& words, Choice& choice) {
  if (!in.has(key)) return;
  const std::string word = in.text(key, format("%s = \"%s\"", key, words[0]));
  const auto found = std::find(words.begin(), words.end(), word);
  if (found != words.end()) {
    choice = static_cast<Choice>(found - words.begin());
    return;
  }
  std::string known;
  for (std::size_t i = 0; i < count; ++i)
    known += std::string(i == 0 ? "" : i + 1 == count ? " or " : ", ") + "\"" + words[i] + "\"";
  in.fail_at(in.line_of(key), format("'%s' is \"%s\"; write %s", key, word, known));
}

template <class Choice, std::size_t count>
Word word_of(const std::array<Word, count>& words, Choice choice) {
  return words[static_cast<std::size_t>(choice)];
}

std::string name_in(const calib::Section& in) {
  const std::string name = tidy_name(in.text("name", "name = \"Machine at the window\""));
  if (const std::string fault = fault_of_name(name, "a machine needs a name; write what you call it"); !fault.empty())
    in.fail_at(in.line_of("name"), fault);
  return name;
}

void read_step(const calib::Section& in, Machine& machine) {
  constexpr const char* kKey = "rotation_step_deg";
  if (!in.has(kKey)) return;
  machine.rotation_step_deg = in.number(kKey, kTurn_deg, "rotation_step_deg = 1.0");
  const int turns = finest_turns(machine.rotation_step_deg);
  if (machine.rotation_step_deg != 0.0 && (turns == 0 || kFullTurn % turns != 0))
    in.fail_at(in.line_of(kKey), format("'%s' does not divide a full turn in steps of 0.1; write 1.0, 0.1, or 0.0 for "
                                        "a machine that cannot turn a design",
                                        kKey));
}

void read_keys(const calib::Section& in, Machine& machine) {
  constexpr const char* kKey = "turn_keys_deg";
  const int step = finest_turns(machine.rotation_step_deg);
  if (in.has(kKey))
    machine.turn_keys_deg = in.numbers(kKey, kTurn_deg, "turn_keys_deg = [90.0, 10.0, 1.0]");
  else if (step == 0)
    machine.turn_keys_deg.clear();
  std::vector<double>& keys = machine.turn_keys_deg;
  const int line = in.line_of(kKey);
  if (keys.size() > kMostKeys)
    in.fail_at(line, format("'%s' has more than %d keys", kKey, static_cast<int>(kMostKeys)));
  for (const double key : keys) {
    const int turns = finest_turns(key);
    if (step == 0)
      in.fail_at(line,
                 format("'%s' names keys of a machine that cannot turn; write [], or its rotation_step_deg", kKey));
    if (turns == 0 || turns % step != 0)
      in.fail_at(line, format("'%s' holds %g, which is no multiple of the step of %g; write each key's degrees", kKey,
                              key, machine.rotation_step_deg));
  }
  std::sort(keys.rbegin(), keys.rend());
  if (std::adjacent_find(keys.begin(), keys.end()) != keys.end())
    in.fail_at(line, format("'%s' holds a key twice; leave one out", kKey));
}

void read_jog(const calib::Section& in, Machine& machine) {
  if (in.has("jog_step_mm")) machine.jog_step_mm = in.number("jog_step_mm", kJogStep_mm, "jog_step_mm = 0.1");
  if (!in.has("jog_limit_mm")) return;
  const auto sides = in.numbers("jog_limit_mm", 2, kJogLimit_mm, "jog_limit_mm = [10.0, 10.0]");
  machine.jog_limit_mm = {sides[0], sides[1]};
}

std::string list_of(const std::vector<double>& values) {
  std::string out;
  for (const double one : values) out += (out.empty() ? "" : ", ") + calib::toml_number(one);
  return "[" + out + "]";
}

}  // namespace

int finest_turns(double deg) {
  const double turns = std::round(deg / kFinestTurn_deg);
  return std::abs(turns * kFinestTurn_deg - deg) < 1e-9 && std::abs(turns) < 1e6 ? static_cast<int>(turns) : 0;
}

Machine machine_from_text(std::string_view text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section in(file, table, "a machine file");
  in.allow_only({"name", "rotation_step_deg", "sense", "range", "turn_keys_deg", "turn_keys_both_ways", "jog_step_mm",
                 "jog_limit_mm", "moves", "order", "about", "mirror", "note"});
  Machine machine;
  machine.name = name_in(in);
  read_step(in, machine);
  choose(in, "sense", kSenses, machine.sense);
  choose(in, "range", kRanges, machine.range);
  read_keys(in, machine);
  if (in.has("turn_keys_both_ways"))
    machine.turn_keys_both_ways = in.flag("turn_keys_both_ways", "turn_keys_both_ways = true");
  read_jog(in, machine);
  choose(in, "moves", kMoves, machine.moves);
  choose(in, "order", kOrders, machine.order);
  choose(in, "about", kAbouts, machine.about);
  choose(in, "mirror", kMirrors, machine.mirror);
  if (in.has("note")) machine.note = in.text("note", "note = \"Press stop before turning\"");
  if (const std::string fault = fault_of_line(machine.note, "note", kLongestNote); !fault.empty())
    in.fail_at(in.line_of("note"), fault);
  return machine;
}

std::string text_of(const Machine& machine) {
  const auto line = [](const std::string& key, const std::string& value, const char* comment) {
    std::string out = key + " = " + value;
    if (comment[0] != '\0') out += std::string(out.size() < 40 ? 40 - out.size() : 1, ' ') + "# " + comment;
    return out + "\n";
  };
  const auto quoted = [](const std::string& word) { return calib::toml_text(word); };
  std::string out = line("name", quoted(machine.name), "");
  out += line("rotation_step_deg", calib::toml_number(machine.rotation_step_deg), "0.0: it cannot turn a design");
  out += line("sense", quoted(word_of(kSenses, machine.sense)), "of a growing rotation on its screen");
  out += line("range", quoted(word_of(kRanges, machine.range)), "0 to 359.9, or half turns: -179.9 to 180");
  out += line("turn_keys_deg", list_of(machine.turn_keys_deg), "a press of each; none: the number is typed in");
  out += line("turn_keys_both_ways", machine.turn_keys_both_ways ? "true" : "false", "");
  out += line("jog_step_mm", calib::toml_number(machine.jog_step_mm), "a press of an arrow");
  out += line("jog_limit_mm", list_of({machine.jog_limit_mm.width, machine.jog_limit_mm.height}),
              "sideways, up and down; 0.0: as far as the field");
  out += line("moves", quoted(word_of(kMoves, machine.moves)), "what goes where the arrow points: design or hoop");
  out += line("order", quoted(word_of(kOrders, machine.order)), "or jog first");
  out += line("about", quoted(word_of(kAbouts, machine.about)), "what stays in turning; or field centre");
  out += line("mirror", quoted(word_of(kMirrors, machine.mirror)),
              "of the cloth against the screen; left-right, "
              "top-bottom");
  if (!machine.note.empty()) out += line("note", quoted(machine.note), "");
  return out;
}

}  // namespace app
