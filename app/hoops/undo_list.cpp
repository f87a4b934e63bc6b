#include "app/hoops/undo_list.h"

#include <algorithm>
#include <array>
#include <sstream>
#include <string_view>

#include "app/places.h"
#include "calib/atomic_write.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 3> kActions{"remove", "rename", "replace"};

std::string_view word(UndoStep::Action action) { return kActions[static_cast<std::size_t>(action)]; }

fs::path list_file(const fs::path& folder) { return folder / "undo.toml"; }

// A plain file name: nothing leads out of the folder.
std::string file_name(const calib::Section& section, const std::string& key) {
  const std::string name = section.text(key, "a file name in quotes");
  if (name.find('/') != std::string::npos || name == ".." || name == ".")
    section.fail_at(section.line_of(key), "'" + key + "' is not a plain file name; leave the step out");
  return name;
}

UndoStep step_from(const calib::Section& section) {
  section.allow_only({"action", "time", "kept", "was", "now"});
  UndoStep step;
  const std::string action = section.text("action", "action = \"remove\"");
  const auto found = std::find(kActions.begin(), kActions.end(), action);
  if (found == kActions.end())
    section.fail_at(section.line_of("action"), "'action' is none; write \"remove\", \"rename\" or \"replace\"");
  step.action = static_cast<UndoStep::Action>(found - kActions.begin());
  step.time = section.text("time", "time = \"2026-01-31T120000\"");
  step.kept = file_name(section, "kept");
  step.was = file_name(section, "was");
  if (step.action != UndoStep::Action::remove) step.now = file_name(section, "now");
  return step;
}

}  // namespace

std::vector<UndoStep> UndoList::read() const {
  const fs::path file = list_file(folder_);
  if (!fs::exists(file)) return {};
  const std::string text = calib::text_of_file(file), name = file.string();
  const toml::table root = calib::parse_toml(text, name);
  const calib::Section top(name, root, "a list of steps to undo");
  top.allow_only({"step"});
  std::vector<UndoStep> steps;
  for (const calib::Section& section : top.tables("step")) steps.push_back(step_from(section));
  return steps;
}

void UndoList::write(const std::vector<UndoStep>& steps) const {
  std::ostringstream out;
  out << "# Steps that undo takes back, the last one first.\n";
  for (const UndoStep& step : steps) {
    out << "\n[[step]]\naction = " << calib::toml_text(std::string(word(step.action)))
        << "\ntime = " << calib::toml_text(step.time) << "\nkept = " << calib::toml_text(step.kept)
        << "\nwas = " << calib::toml_text(step.was) << "\n";
    if (step.action != UndoStep::Action::remove) out << "now = " << calib::toml_text(step.now) << "\n";
  }
  calib::write_atomically(list_file(folder_), out.str());
}

std::string UndoList::copy(const fs::path& file, const std::string& time, const std::string& what) const {
  const std::string text = calib::text_of_file(file);
  make_room_for(folder_ / "x");
  const std::string stem = file.stem().string() + "." + time + "-" + what;
  std::string name = stem + ".toml";
  for (int number = 2; fs::exists(folder_ / name); ++number) name = stem + "-" + std::to_string(number) + ".toml";
  calib::write_atomically(folder_ / name, text);
  return name;
}

void UndoList::keep(UndoStep::Action action, const fs::path& file, const std::string& now) {
  std::vector<UndoStep> steps = read();
  UndoStep step;
  step.action = action;
  step.time = utc_for_files();
  step.was = file.filename().string();
  step.now = now;
  step.kept = copy(file, step.time, std::string(word(action)));
  steps.push_back(step);
  write(steps);
}

void UndoList::keep_aside(const fs::path& file) { copy(file, utc_for_files(), "undone"); }

std::optional<UndoStep> UndoList::last() const {
  const std::vector<UndoStep> steps = read();
  return steps.empty() ? std::nullopt : std::optional(steps.back());
}

std::string UndoList::content(const UndoStep& step) const { return calib::text_of_file(folder_ / step.kept); }

void UndoList::drop_last() {
  std::vector<UndoStep> steps = read();
  if (steps.empty()) return;
  const fs::path copy = folder_ / steps.back().kept;
  steps.pop_back();
  write(steps);
  std::error_code ignored;
  fs::remove(copy, ignored);  // it is back in its place; a copy too many does no harm
}

}  // namespace app
