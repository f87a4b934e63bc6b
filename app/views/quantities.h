// Some quantities that belong together, typed one after another: down and across, width and height.
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "app/settings.h"
#include "app/views/number_pad.h"
#include "app/views/page_view.h"
#include "calib/toml_reader.h"

namespace app {

struct Quantity {
  enum class Of { length, degrees, percent, count };
  std::string caption;
  Of of = Of::length;
  calib::Range range{0.0, 0.0};  // mm, degrees, percent, pieces
  std::optional<double> value;   // likewise
  bool may_lack = true;
  std::string hint;  // what is usual; may be empty
};

class Quantities {
 public:
  // `keep` takes the values in order, as typed.
  using Keep = std::function<void(const std::vector<std::optional<double>>& values)>;

  Quantities() = default;
  Quantities(std::string title, std::vector<Quantity> all, Units units, Keep keep);

  const std::string& title() const { return title_; }
  // What is typed just now, with its unit.
  std::string headline() const;
  std::vector<Button> placed(const ViewLayout& layout) const;
  std::vector<Button> row() const;
  bool press(int id);  // false: it is not one of them
  bool type(const InputEvent& event);
  // What is wrong with what was typed, in a sentence; empty: it was kept.
  std::string keep();
  // Enter: to the next quantity; false on the last one.
  bool next();

  static constexpr int kKeep = 820;

 private:
  enum Id { kClear = 821, kErase, kFirstQuantity = 840 };
  std::string shown(std::size_t index, bool with_cursor) const;
  std::string unit(const Quantity& one) const;
  // Nothing where the text is no number; the unit is the screen's.
  std::optional<double> typed(std::size_t index) const;

  std::string title_;
  std::vector<Quantity> all_;
  std::vector<NumberPad> pads_;
  std::vector<std::string> first_texts_;
  std::size_t at_ = 0;
  bool fresh_ = true;  // the first key writes anew
  Units units_ = Units::mm;
  Keep keep_;
};

}  // namespace app
