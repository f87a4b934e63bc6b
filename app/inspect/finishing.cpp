#include "app/inspect/finishing.h"

#include "app/words/words.h"

namespace app {
namespace {

// Common practice in the trade.
constexpr const char* kSteps[] = {
    noop("Remove the basting from the back."),
    noop("Tear-away: tear it gently, holding the stitches. Cut-away: lift it off the cloth first, then trim it."),
    noop("Lift the topping off; dab what stays with water."),
    noop("Press from the back, face down on a towel."),
};
constexpr const char* kCautions[] = {
    noop("Hands, hair and sleeves away from the needle; stop the machine before reaching into the hoop."),
    noop("Scissors, seam rippers, pins and irons hurt."),
    noop("The machine's manual and the local workplace rules come first."),
};

template <std::size_t count>
std::vector<std::string> translated(const char* const (&texts)[count]) {
  std::vector<std::string> all;
  for (const char* text : texts) all.emplace_back(tr(text));
  return all;
}

}  // namespace

std::vector<std::string> finishing_lines(const std::string&, const std::filesystem::path&) {
  return translated(kSteps);
}

std::vector<std::string> caution_lines() { return translated(kCautions); }

}  // namespace app
