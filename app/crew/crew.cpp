#include "app/crew/crew.h"

#include <algorithm>
#include <utility>

#include "app/names.h"
#include "app/places.h"
#include "app/sheets/number_list.h"
#include "calib/atomic_write.h"
#include "calib/toml_reader.h"

namespace app {
namespace {

constexpr std::size_t kLongestName = 40;  // characters

std::string in_quotes(const std::string& name) { return "'" + name + "'"; }

// Tidy names only.
std::string fault_of_operator(const std::string& name) {
  if (characters_in(name) > kLongestName) return "the name is longer than 40 characters; write a shorter one";
  return fault_of_name(name, "an operator needs a name; write what the others call them");
}

const Operator* called(const std::vector<Operator>& all, const std::string& name) {
  const auto it = std::find_if(all.begin(), all.end(), [&](const Operator& o) { return same_name(o.name, name); });
  return it == all.end() ? nullptr : &*it;
}

const Operator* with_badge(const std::vector<Operator>& all, int badge) {
  const auto it = std::find_if(all.begin(), all.end(), [&](const Operator& o) { return o.badge == badge; });
  return it == all.end() ? nullptr : &*it;
}

// What keeps `one` from joining the others; empty: nothing.
std::string clash(const std::vector<Operator>& others, const Operator& one) {
  if (const Operator* same = called(others, one.name))
    return "there is an operator " + in_quotes(same->name) + " already; choose another name";
  const Operator* same = one.badge ? with_badge(others, *one.badge) : nullptr;
  if (!same) return {};
  return "badge " + std::to_string(*one.badge) + " is " + in_quotes(same->name) + "'s; choose another badge";
}

void sort_by_name(std::vector<Operator>& all) {
  std::sort(all.begin(), all.end(), [](const Operator& a, const Operator& b) { return name_before(a.name, b.name); });
}

Operator operator_in(const calib::Section& in) {
  in.allow_only({"name", "badge"});
  Operator one;
  one.name = tidy_name(in.text("name", "name = \"Ada\""));
  if (const std::string fault = fault_of_operator(one.name); !fault.empty()) in.fail_at(in.line_of("name"), fault);
  if (in.has("badge")) one.badge = in.integer("badge", kCardNumbers.first, kCardNumbers.last, "badge = 480");
  return one;
}

std::vector<Operator> crew_from_text(const std::string& text, const std::string& file) {
  const toml::table table = calib::parse_toml(text, file);
  const calib::Section top(file, table, "the operators' file");
  top.allow_only({"operator"});
  std::vector<Operator> all;
  for (const calib::Section& in : top.tables("operator")) {
    Operator one = operator_in(in);
    if (const std::string fault = clash(all, one); !fault.empty())
      in.fail_at(in.line_of(called(all, one.name) ? "name" : "badge"), fault);
    all.push_back(std::move(one));
  }
  sort_by_name(all);
  return all;
}

std::string text_of(const std::vector<Operator>& all) {
  std::string out;
  for (const Operator& one : all) {
    out += "[[operator]]\nname = " + calib::toml_text(one.name) + "\n";
    if (one.badge) out += "badge = " + std::to_string(*one.badge) + "\n";
    out += "\n";
  }
  return out;
}

// Throws where `one` must not join the others.
void check(const std::vector<Operator>& others, const Operator& one) {
  if (const std::string fault = fault_of_operator(one.name); !fault.empty()) throw calib::FileError(fault);
  if (one.badge && (*one.badge < kCardNumbers.first || *one.badge > kCardNumbers.last))
    throw calib::FileError(std::to_string(*one.badge) + " is no badge; badges are 480 to 586");
  if (const std::string fault = clash(others, one); !fault.empty()) throw calib::FileError(fault);
}

}  // namespace

std::filesystem::path crew_file(const std::filesystem::path& station_file) {
  return station_file.parent_path() / "operators.toml";
}

Crew::Crew(std::filesystem::path file) : file_(std::move(file)) {
  try {
    if (std::filesystem::exists(file_)) operators_ = crew_from_text(calib::text_of_file(file_), file_.string());
  } catch (const std::exception& error) {
    fault_ = error.what();
  }
}

const Operator* Crew::find(const std::string& name) const { return called(operators_, name); }

const Operator* Crew::of_badge(int badge) const { return with_badge(operators_, badge); }

void Crew::add(const Operator& one) {
  std::vector<Operator> all = operators_;
  const Operator tidy{tidy_name(one.name), one.badge};
  check(all, tidy);
  all.push_back(tidy);
  write(std::move(all));
}

void Crew::rename(const std::string& name, const std::string& new_name) {
  std::vector<Operator> all = operators_;
  const auto place = all.begin() + static_cast<std::ptrdiff_t>(place_of(name));
  const Operator changed{tidy_name(new_name), place->badge};
  all.erase(place);
  check(all, changed);
  all.push_back(changed);
  write(std::move(all));
}

void Crew::set_badge(const std::string& name, std::optional<int> badge) {
  std::vector<Operator> all = operators_;
  const auto place = all.begin() + static_cast<std::ptrdiff_t>(place_of(name));
  const Operator changed{place->name, badge};
  all.erase(place);
  check(all, changed);
  all.push_back(changed);
  write(std::move(all));
}

void Crew::remove(const std::string& name) {
  std::vector<Operator> all = operators_;
  all.erase(all.begin() + static_cast<std::ptrdiff_t>(place_of(name)));
  write(std::move(all));
}

std::size_t Crew::place_of(const std::string& name) const {
  const Operator* one = find(name);
  if (!one) throw calib::FileError("there is no operator " + in_quotes(name) + "; choose one of the list");
  return static_cast<std::size_t>(one - operators_.data());
}

void Crew::write(std::vector<Operator> all) {
  if (!fault_.empty()) throw calib::FileError(fault_);
  sort_by_name(all);
  make_room_for(file_);
  calib::write_atomically(file_, text_of(all));
  operators_ = std::move(all);
}

}  // namespace app
