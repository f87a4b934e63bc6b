#include "app/guide/stage_words.h"

#include <ostream>
#include <sstream>

#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr std::size_t kWidth = 100;

// `first` before the first line, as many spaces before the others.
void print_wrapped(std::ostream& out, const std::string& first, const std::string& text) {
  std::istringstream words(text);
  std::string line = first;
  bool begun = false;
  for (std::string word; words >> word;) {
    if (begun && line.size() + 1 + word.size() > kWidth) {
      out << line << '\n';
      line = std::string(first.size(), ' ');
      begun = false;
    }
    line += (begun ? " " : "") + word;
    begun = true;
  }
  out << line << '\n';
}

}  // namespace

std::string state_words(const StageNow& now) {
  switch (now.state) {
    case StageState::to_do:
      return now.note.empty() ? tr("To do") : format(tr("To do: %s"), now.note);
    case StageState::by_hand:
      return tr("By hand");
    case StageState::stale:
      return now.note.empty() ? tr("Do it again") : format(tr("Do it again: %s"), now.note);
    case StageState::done:
      return now.note.empty() ? tr("Done") : format(tr("Done: %s"), now.note);
  }
  return {};
}

std::string start_words(const Stage& stage) {
  if (only_looks(stage)) return tr("See the picture");
  return stage.id == StageId::print ? tr("Make the file") : format(tr("Start: %s"), tr(stage.name));
}

std::string command_words(const Stage& stage) {
  if (stage.command.empty()) return {};
  std::string words = "hoopgauge";
  for (const std::string& one : stage.command) words += " " + one;
  return words;
}

void print_guide(const std::filesystem::path& station_file, const std::vector<StageNow>& states, std::ostream& out) {
  out << "Setting up the station " << station_file.string() << "\n";
  for (std::size_t i = 0; i < stages().size(); ++i) {
    const Stage& stage = stages()[i];
    out << '\n';
    print_wrapped(out, std::to_string(i + 1) + ". ", stage.headline + " [" + std::string(word(states[i].state)) + "]");
    if (!states[i].note.empty()) print_wrapped(out, "   ", states[i].note);
    print_wrapped(out, "   ", stage.why);
    for (const std::string& step : stage.steps) print_wrapped(out, "   - ", step);
    if (const std::string command = command_words(stage); !command.empty()) {
      out << (only_looks(stage) ? "   See the picture: " : "   Run: ") << command << '\n';
    }
  }
  const int open = first_open(states);
  out << '\n';
  if (open < kStageCount) {
    out << "Next: " << open + 1 << ". " << stages()[static_cast<std::size_t>(open)].headline << '\n';
  } else {
    out << "All is done: start the station with hoopgauge station.\n";
  }
}

}  // namespace app
