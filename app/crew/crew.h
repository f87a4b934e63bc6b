// Who works at the station: operators.toml beside the station file.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace app {

struct Operator {
  std::string name;          // as people call them; unique without regard to case
  std::optional<int> badge;  // tag 480..586, unique
};

// Kept in memory; every change is written before it holds. What changes it throws calib::FileError, and nothing has
// changed then: the file's fault, a name or badge that is taken (naming by whom).
class Crew {
 public:
  // Reads the file; none there is an empty crew. A file that cannot be used is an empty crew too, and is never written
  // over: fault() says why, and changes are refused until it is mended and read anew.
  explicit Crew(std::filesystem::path file);

  // Names the file and says how to mend it; empty while all is well.
  const std::string& fault() const { return fault_; }
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
  std::size_t place_of(const std::string& name) const;
  void write(std::vector<Operator> all);

  std::filesystem::path file_;
  std::vector<Operator> operators_;
  std::string fault_;
};

std::filesystem::path crew_file(const std::filesystem::path& station_file);

}  // namespace app
