#include "app/outline/outline_of.h"

#include <new>

#include "app/outline/contours.h"
#include "app/outline/drawn_page.h"
#include "app/outline/hidden_ink.h"
#include "app/outline/outline_error.h"
#include "app/outline/wire.h"

namespace app {
namespace {

constexpr std::size_t kLongestReason = 300;

template <class Value>
void append(std::string& bytes, const Value& value) {
  bytes.append(reinterpret_cast<const char*>(&value), sizeof value);
}

std::string outlines(std::string_view svg, double pixels) {
  const DrawnPage page = drawn_page(svg, pixels);
  show_hidden_ink(page.ink);
  const std::vector<Contour> found = contours(page.ink, kMostPoints);
  if (found.empty()) throw OutlineError("nothing is drawn in it");
  std::string bytes = "O";
  append(bytes, OutlineHead{page.width_mm, page.height_mm, page.px_per_mm, static_cast<std::uint32_t>(page.scale),
                            page.reaches_edge ? 1U : 0U, static_cast<std::uint32_t>(found.size()), kWireVersion});
  for (const Contour& one : found) {
    append(bytes, static_cast<std::uint32_t>(one.size()));
    for (const PointPx p : one) {
      append(bytes, static_cast<float>((p.x - kRim_px) / page.px_per_mm));
      append(bytes, static_cast<float>(page.height_mm - (p.y - kRim_px) / page.px_per_mm));
    }
  }
  return bytes;
}

// What libraries say of a hostile file is not passed on as it is.
std::string tame(const std::string& reason) {
  std::string text;
  for (const char c : reason.substr(0, kLongestReason)) text += c >= ' ' && c <= '~' ? c : ' ';
  return text;
}

}  // namespace

std::string outline_of(std::string_view svg, double pixels) {
  try {
    return outlines(svg, pixels);
  } catch (const OutlineError& error) {
    return 'R' + tame(error.what());
  } catch (const std::bad_alloc&) {
    return "Rit needs more memory than a drawing is given, 200 MB";
  }
}

}  // namespace app
