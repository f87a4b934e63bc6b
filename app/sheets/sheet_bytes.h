// Pages as the bytes of a file, made in memory: nothing is half written.
#pragma once

#include <string>

#include "app/sheets/page.h"

namespace app {

// Vector PDF at true scale with the typeface inside. Throws SheetError.
std::string pdf_bytes(const Document& document);
// One page, sizes in mm.
std::string svg_bytes(const Page& page);
// One page in grey, which says its resolution, so that it is placed at its true size.
std::string png_bytes(const Page& page, double dpi);

}  // namespace app
