// Who works at the station: operators.toml beside the station file.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace app {

struct Operator {
  std::string name;          // as people call them; unique
  std::optional<int> badge;  // tag 480..586, unique
};

// Kept in memory; every change is written before it holds. Functions throw calib::FileError, and nothing has changed
// then: the file's fault, a name or badge that is taken (naming by whom).
class Crew {
 public:
  // Reads the file; none there is an empty crew.
  explicit Crew(std::filesystem::path file);

  const std::vector<Operator>& operators() const { return operators_; }  // by name
  const Operator* find(const std::string& name) const;
  const Operator* of_badge(int badge) const;
  // The name is tidied: no control characters, single spaces, 1 to 40 characters.
  void add(const Operator& one);
  void rename(const std::string& name, const std::string& new_name);
  void set_badge(const std::string& name, std::optional<int> badge);
  // Records keep the name.
  void remove(const std::string& name);

 private:
  std::filesystem::path file_;
  std::vector<Operator> operators_;
};

std::filesystem::path crew_file(const std::filesystem::path& station_file);

}  // namespace app
