// `hoopgauge hoop list`, `show`, `rename`, `remove`, `undo`, `export`, `import` and `catalogue`.
#pragma once

#include <filesystem>
#include <iosfwd>
#include <string>
#include <vector>

#include "app/hoops/hoop_store.h"

namespace app {

// Each works on the hoops beside `station_file`, says what it did in plain lines on `out` and what is wrong on `err`.
// Returns 0; 1 when a damaged file lies among the hoops or there is nothing to undo; 2 when the name, the file or the
// folder cannot be used, and then nothing was changed.
int run_hoop_list(const std::filesystem::path& station_file, std::ostream& out, std::ostream& err);
int run_hoop_show(const std::filesystem::path& station_file, const std::string& name, std::ostream& out,
                  std::ostream& err);
int run_hoop_rename(const std::filesystem::path& station_file, const std::string& name, const std::string& new_name,
                    std::ostream& out, std::ostream& err);
int run_hoop_remove(const std::filesystem::path& station_file, const std::string& name, std::ostream& out,
                    std::ostream& err);
int run_hoop_undo(const std::filesystem::path& station_file, std::ostream& out, std::ostream& err);
// Without names all hoops. `replace`: a file that is there is written over.
int run_hoop_export(const std::filesystem::path& station_file, const std::filesystem::path& file,
                    const std::vector<std::string>& names, bool replace, std::ostream& out, std::ostream& err);
int run_hoop_import(const std::filesystem::path& station_file, const std::filesystem::path& file,
                    OnSameName on_same_name, std::ostream& out, std::ostream& err);
int run_hoop_catalogue(const std::filesystem::path& station_file, std::ostream& out, std::ostream& err);

}  // namespace app
