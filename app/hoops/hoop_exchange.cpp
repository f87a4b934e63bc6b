// Hoops from station to station: HoopStore's export and import.
#include <algorithm>

#include "app/hoops/hoop_store.h"
#include "app/hoops/store_names.h"
#include "app/names.h"
#include "calib/atomic_write.h"
#include "calib/file_text.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

namespace fs = std::filesystem;

// What calib::text_of_file takes; more could be written, but not read again.
constexpr std::size_t kLargestExport = 4U << 20U;

// A file of several hoops, or of one.
std::vector<vision::Hoop> hoops_in(const fs::path& file) {
  const std::string text = calib::text_of_file(file), where = file.string();
  const toml::table root = calib::parse_toml(text, where);
  const bool one = root.contains("inner_mm") && !root.contains("hoopgauge_hoops");
  std::vector<vision::Hoop> hoops =
      one ? std::vector{calib::hoop_from_text(text, where)} : calib::hoops_from_text(text, where);
  if (hoops.empty()) throw calib::FileError(where + ": holds no hoop");
  for (auto hoop = hoops.begin(); hoop != hoops.end(); ++hoop) {
    hoop->name = checked_name(hoop->name, where + ": hoop " + std::to_string(hoop - hoops.begin() + 1) + ": ");
    const auto same = [&](const vision::Hoop& other) { return same_name(other.name, hoop->name); };
    if (std::any_of(hoops.begin(), hoop, same))
      throw calib::FileError(where + ": two hoops are called " + in_quotes(hoop->name) +
                             "; rename one of them in the file");
  }
  return hoops;
}

}  // namespace

std::size_t HoopStore::export_to(const fs::path& file, const std::vector<std::string>& names, bool replace) const {
  std::vector<vision::Hoop> hoops;
  for (const std::string& name : names) {
    StoredHoop one = find(name);
    const auto twice = [&](const vision::Hoop& other) { return other.name == one.hoop.name; };
    if (std::none_of(hoops.begin(), hoops.end(), twice)) hoops.push_back(std::move(one.hoop));
  }
  if (names.empty()) {
    HoopList all = list();
    for (StoredHoop& one : all.hoops) hoops.push_back(std::move(one.hoop));
  }
  if (hoops.empty()) throw calib::FileError("there is no hoop in " + folder_.string() + " to export");
  if (fs::exists(file) && !replace)
    throw calib::FileError(file.string() + ": is there already; name another file, or write --replace");
  const std::string text = calib::text_of(hoops);
  if (text.size() > kLargestExport)
    throw calib::FileError(file.string() + ": would be larger than 4 MB; export the hoops by name in several files");
  calib::write_atomically(file, text);
  return hoops.size();
}

std::vector<ImportedHoop> HoopStore::import_from(const fs::path& file, OnSameName on_same_name) {
  std::vector<vision::Hoop> hoops = hoops_in(file);
  std::vector<ImportedHoop> out;
  std::string conflicts;
  for (const vision::Hoop& hoop : hoops) {
    ImportedHoop one{hoop.name, ImportedHoop::How::added};
    if (const auto old = look_up(hoop.name)) {
      vision::Hoop renamed = old->hoop;
      renamed.name = hoop.name;
      if (calib::text_of(renamed) == calib::text_of(hoop)) {
        one.how = ImportedHoop::How::same;
      } else {
        one.how = on_same_name == OnSameName::rename ? ImportedHoop::How::renamed : ImportedHoop::How::replaced;
        conflicts += (conflicts.empty() ? "" : ", ") + in_quotes(old->hoop.name);
      }
    }
    out.push_back(one);
  }
  if (!conflicts.empty() && on_same_name == OnSameName::refuse)
    throw NameTaken("nothing was imported: there are other hoops called " + conflicts +
                    " here; write --rename to import under new names, or --replace to put them in their place "
                    "(hoopgauge hoop undo brings yours back)");
  for (std::size_t i = 0; i < hoops.size(); ++i) {
    if (out[i].how == ImportedHoop::How::same) continue;
    if (out[i].how == ImportedHoop::How::renamed) hoops[i].name = out[i].name = unused_name(out[i].name);
    save(hoops[i], out[i].how == ImportedHoop::How::replaced);
  }
  return out;
}

}  // namespace app
