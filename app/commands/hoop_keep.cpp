#include "app/commands/hoop_keep.h"

#include <algorithm>
#include <cstdio>
#include <functional>
#include <ostream>

#include "app/hoops/catalogue.h"
#include "app/hoops/hoop_words.h"
#include "app/places.h"

namespace app {
namespace {

namespace fs = std::filesystem;

HoopStore store_of(const fs::path& station_file) { return HoopStore(hoop_folder(station_file)); }

// The exit code of `work`, which may throw calib::FileError.
int told(std::ostream& err, const std::function<int()>& work) {
  try {
    return work();
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
    return 2;
  }
}

// 1 where there is one: the rest is well, but somebody should look.
int say_damaged(const HoopList& all, std::ostream& err) {
  for (const DamagedHoop& one : all.damaged) err << "hoopgauge: cannot be used: " << one.message << '\n';
  return all.damaged.empty() ? 0 : 1;
}

// Letters, not bytes, so that columns stand straight.
std::size_t letters(const std::string& text) {
  return static_cast<std::size_t>(
      std::count_if(text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

void table(std::ostream& out, const std::vector<std::vector<std::string>>& rows) {
  std::vector<std::size_t> widths;
  for (const auto& row : rows) {
    widths.resize(std::max(widths.size(), row.size()), 0);
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], letters(row[i]));
  }
  for (const auto& row : rows) {
    std::string line;
    for (std::size_t i = 0; i < row.size(); ++i)
      line += row[i] + std::string(i + 1 < row.size() ? widths[i] - letters(row[i]) + 2 : 0, ' ');
    line.erase(line.find_last_not_of(' ') + 1);
    out << line << '\n';
  }
}

std::string mm(double value, const char* what) {
  char text[48];
  std::snprintf(text, sizeof text, "%s %.1f mm", what, value);
  return text;
}

}  // namespace

int run_hoop_list(const fs::path& station_file, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const HoopStore store = store_of(station_file);
    const HoopList all = store.list();
    if (all.hoops.empty() && all.damaged.empty())
      out << "No hoop has been taught yet in " << store.folder().string() << "; see hoopgauge hoop teach --help\n";
    std::vector<std::vector<std::string>> rows;
    for (const auto& [file, hoop] : all.hoops)
      rows.push_back({hoop.name, "field " + field_text(hoop.field_mm, hoop.field_is_round),
                      mm(hoop.rim_height_mm, "rim"), "north " + north_words(hoop), file.filename().string()});
    table(out, rows);
    return say_damaged(all, err);
  });
}

int run_hoop_show(const fs::path& station_file, const std::string& name, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const StoredHoop one = store_of(station_file).find(name);
    for (const std::string& line : describe(one.hoop)) out << line << '\n';
    out << "file        " << one.file.string() << '\n';
    return 0;
  });
}

int run_hoop_rename(const fs::path& station_file, const std::string& name, const std::string& new_name,
                    std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    HoopStore store = store_of(station_file);
    store.rename(name, new_name);
    const StoredHoop one = store.find(new_name);
    out << "'" << name << "' is called '" << one.hoop.name << "' now; hoopgauge hoop undo takes it back\n";
    return 0;
  });
}

int run_hoop_remove(const fs::path& station_file, const std::string& name, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    HoopStore store = store_of(station_file);
    store.remove(name);
    out << "'" << name << "' is removed and kept in " << (store.folder() / "removed").string()
        << "; hoopgauge hoop undo brings it back\n";
    return 0;
  });
}

int run_hoop_undo(const fs::path& station_file, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    HoopStore store = store_of(station_file);
    const auto done = store.undo();
    out << (done ? *done : "There is nothing to undo") << '\n';
    return done ? 0 : 1;
  });
}

int run_hoop_export(const fs::path& station_file, const fs::path& file, const std::vector<std::string>& names,
                    bool replace, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    const HoopStore store = store_of(station_file);
    const std::size_t count = store.export_to(file, names, replace);
    out << count << (count == 1 ? " hoop" : " hoops") << " written to " << file.string() << '\n';
    return names.empty() ? say_damaged(store.list(), err) : 0;
  });
}

int run_hoop_import(const fs::path& station_file, const fs::path& file, OnSameName on_same_name, std::ostream& out,
                    std::ostream& err) {
  return told(err, [&] {
    for (const ImportedHoop& one : store_of(station_file).import_from(file, on_same_name)) {
      out << "'" << one.name << "' ";
      switch (one.how) {
        case ImportedHoop::How::added:
          out << "imported\n";
          break;
        case ImportedHoop::How::replaced:
          out << "put in the place of the one here; hoopgauge hoop undo brings that back\n";
          break;
        case ImportedHoop::How::renamed:
          out << "imported under this new name\n";
          break;
        case ImportedHoop::How::same:
          out << "is here already, just the same\n";
          break;
      }
    }
    return 0;
  });
}

int run_hoop_catalogue(const fs::path& station_file, std::ostream& out, std::ostream& err) {
  return told(err, [&] {
    std::vector<std::vector<std::string>> rows;
    const Catalogue catalogue = Catalogue::of_station(station_file);
    for (const CommonSize& size : catalogue.sizes())
      rows.push_back({size.name, "field " + field_text(size.field_mm, size.field_is_round),
                      size.opening_mm.empty() ? "" : "opening about " + field_text(size.opening_mm, false), size.also,
                      size.source});
    table(out, rows);
    const fs::path own = Catalogue::own_file(station_file);
    if (fs::exists(own))
      out << "with those of " << own.string() << '\n';
    else
      out << "Sizes of your own: write them in this form into " << own.string() << ":\n"
          << "[[size]]\nname = \"130 x 180\"\nfield_mm = [130.0, 180.0]\nsource = \"the machine's manual\"\n";
    return 0;
  });
}

}  // namespace app
