#include "app/sheets/paper.h"

#include <langinfo.h>
#include <locale.h>

#include <cstdint>

namespace app {

cv::Size2d paper_size_mm(Paper paper) {
  return paper == Paper::a4 ? cv::Size2d(210.0, 297.0) : cv::Size2d(215.9, 279.4);
}

std::string paper_name(Paper paper) { return paper == Paper::a4 ? "A4" : "US Letter"; }

Paper local_paper() {
  const locale_t locale = newlocale(LC_PAPER_MASK, "", nullptr);
  if (locale == nullptr) return Paper::a4;  // a locale that is not installed here
  // The C library hands this number over in the place of the pointer.
  const auto height_mm = reinterpret_cast<std::uintptr_t>(nl_langinfo_l(_NL_PAPER_HEIGHT, locale)) & 0xFFFFU;
  freelocale(locale);
  return height_mm == 279 ? Paper::letter : Paper::a4;
}

}  // namespace app
