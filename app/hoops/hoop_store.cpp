#include "app/hoops/hoop_store.h"

#include <algorithm>
#include <system_error>
#include <utility>

#include "app/hoops/store_names.h"
#include "app/names.h"
#include "app/places.h"
#include "app/toml_files.h"
#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

void delete_file(const fs::path& file) {
  std::error_code error;
  fs::remove(file, error);
  if (error)
    throw calib::FileError(file.string() + ": cannot be removed (" + error.message() + "); mend its permissions");
}

}  // namespace

std::string checked_name(const std::string& name, const std::string& where) {
  std::string tidy = tidy_name(name);
  if (const std::string fault = fault_of_name(tidy); !fault.empty()) throw calib::FileError(where + fault);
  return tidy;
}

UndoList HoopStore::undo_list() const { return UndoList(folder_ / "removed"); }

HoopList HoopStore::list() const {
  HoopList out;
  for (const fs::path& file : toml_files(folder_)) {
    try {
      vision::Hoop hoop = calib::load_hoop(file);
      const auto twin = std::find_if(out.hoops.begin(), out.hoops.end(),
                                     [&](const StoredHoop& one) { return same_name(one.hoop.name, hoop.name); });
      if (twin == out.hoops.end())
        out.hoops.push_back({file, std::move(hoop)});
      else
        out.damaged.push_back({file, file.string() + ": is called " + in_quotes(hoop.name) + " as " +
                                         twin->file.filename().string() + " is; give it another name in the file"});
    } catch (const calib::FileError& error) {
      out.damaged.push_back({file, error.what()});
    }
  }
  std::sort(out.hoops.begin(), out.hoops.end(),
            [](const StoredHoop& a, const StoredHoop& b) { return name_before(a.hoop.name, b.hoop.name); });
  return out;
}

std::optional<StoredHoop> HoopStore::look_up(const std::string& name) const {
  HoopList all = list();
  for (StoredHoop& one : all.hoops)
    if (same_name(one.hoop.name, name)) return std::move(one);
  return std::nullopt;
}

StoredHoop HoopStore::find(const std::string& name) const {
  const HoopList all = list();
  std::string known;
  for (const StoredHoop& one : all.hoops) {
    if (same_name(one.hoop.name, name)) return one;
    known += (known.empty() ? "" : ", ") + in_quotes(one.hoop.name);
  }
  const std::string damaged =
      all.damaged.empty() ? "" : "; " + std::to_string(all.damaged.size()) + " more cannot be read, see hoop list";
  throw calib::FileError("there is no hoop " + in_quotes(name) + " in " + folder_.string() +
                         (known.empty() ? "; teach one with hoopgauge hoop teach" : "; there are " + known) + damaged);
}

fs::path HoopStore::unused_file(const std::string& name) const {
  const std::string stem = file_stem(name);
  fs::path file = folder_ / (stem + ".toml");
  for (int number = 2; fs::exists(file); ++number) file = folder_ / (stem + "-" + std::to_string(number) + ".toml");
  return file;
}

std::string HoopStore::unused_name(const std::string& name) const {
  for (int number = 2;; ++number) {
    const std::string end = " (" + std::to_string(number) + ")";
    std::string start = name.substr(0, 100 - end.size());
    while (!start.empty() && (static_cast<unsigned char>(name[start.size()]) & 0xC0U) == 0x80U) start.pop_back();
    if (start.size() == name.size() || name.size() + end.size() > 100) start = tidy_name(start);
    if (!look_up(start + end)) return start + end;
  }
}

void HoopStore::refuse_taken(const std::string& name) const {
  if (const auto old = look_up(name))
    throw NameTaken("there is a hoop " + in_quotes(old->hoop.name) +
                    " already; give this one another name, or write --replace to put it in its place");
}

fs::path HoopStore::save(vision::Hoop hoop, bool replace) {
  hoop.name = checked_name(hoop.name, "");
  if (!replace) refuse_taken(hoop.name);
  const std::optional<StoredHoop> old = look_up(hoop.name);
  const fs::path file = old ? old->file : unused_file(hoop.name);
  make_room_for(file);
  calib::hoop_from_text(calib::text_of(hoop), file.string() + " (not saved)");  // before anything is changed
  if (old) undo_list().keep(UndoStep::Action::replace, file, file.filename().string());
  calib::save_hoop(hoop, file);
  return file;
}

void HoopStore::rename(const std::string& name, const std::string& new_name) {
  StoredHoop one = find(name);
  const std::string wanted = checked_name(new_name, "");
  if (wanted == one.hoop.name) return;
  if (const auto other = look_up(wanted); other && other->file != one.file)
    throw NameTaken("there is a hoop " + in_quotes(other->hoop.name) + " already; choose another name");
  one.hoop.name = wanted;
  const bool same_file = file_stem(wanted) == one.file.stem().string();
  const fs::path file = same_file ? one.file : unused_file(wanted);
  undo_list().keep(UndoStep::Action::rename, one.file, file.filename().string());
  calib::save_hoop(one.hoop, file);
  if (file != one.file) delete_file(one.file);
}

void HoopStore::remove(const std::string& name) {
  // A damaged file goes by its file name.
  const HoopList all = list();
  for (const DamagedHoop& damaged : all.damaged) {
    if (damaged.file.filename() != name) continue;
    undo_list().keep(UndoStep::Action::remove, damaged.file, "");
    return delete_file(damaged.file);
  }
  const StoredHoop one = find(name);
  undo_list().keep(UndoStep::Action::remove, one.file, "");
  delete_file(one.file);
}

namespace {

// What a kept copy holds; nothing when the copy is damaged, as a damaged file that was removed.
std::optional<vision::Hoop> hoop_in(const std::string& text) {
  try {
    return calib::hoop_from_text(text, "");
  } catch (const calib::FileError&) {
    return std::nullopt;
  }
}

// Whether two texts are the same hoop but for its name.
bool same_but_for_name(const std::string& a, const std::string& b) {
  std::optional<vision::Hoop> x = hoop_in(a), y = hoop_in(b);
  if (!x || !y) return a == b;
  x->name = y->name;
  return calib::text_of(*x) == calib::text_of(*y);
}

std::string what_was_undone(UndoStep::Action action, const std::string& name, const std::string& called) {
  switch (action) {
    case UndoStep::Action::remove:
      return in_quotes(name) + " is back";
    case UndoStep::Action::rename:
      return in_quotes(called) + " is called " + in_quotes(name) + " again";
    case UndoStep::Action::replace:
      break;
  }
  return in_quotes(name) + " is as it was before it was written over";
}

}  // namespace

std::optional<std::string> HoopStore::undo() {
  UndoList steps = undo_list();
  const std::optional<UndoStep> step = steps.last();
  if (!step) return std::nullopt;
  const std::string content = steps.content(*step);
  const std::optional<vision::Hoop> hoop = hoop_in(content);
  const std::string name = hoop ? hoop->name : step->was;
  // The file that the step left behind, where it is there yet.
  fs::path now = step->now.empty() ? fs::path() : folder_ / step->now;
  if (!now.empty() && !fs::exists(now)) now.clear();

  const std::optional<StoredHoop> taken = hoop ? look_up(name) : std::nullopt;
  const bool there_already = taken && calib::text_of_file(taken->file) == content;
  if (taken && taken->file != now && !there_already)
    throw NameTaken("there is a hoop " + in_quotes(taken->hoop.name) + " again (" + taken->file.string() +
                    "); rename that one first, then undo");
  std::string called = step->now;
  if (!now.empty()) {
    const std::string newer = calib::text_of_file(now);
    if (const auto as_it_is = hoop_in(newer)) called = as_it_is->name;
    // It was taught or edited since: a person may want it yet.
    if (!same_but_for_name(newer, content)) steps.keep_aside(now);
  }
  fs::path target = there_already ? taken->file : folder_ / step->was;
  if (!there_already) {
    if (target != now && fs::exists(target)) target = unused_file(name);
    calib::write_atomically(target, content);
  }
  if (!now.empty() && now != target) delete_file(now);
  steps.drop_last();
  return what_was_undone(step->action, name, called);
}

}  // namespace app
