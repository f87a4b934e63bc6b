// What the commands that make sheets and files share: their end.
#pragma once

#include <ostream>

#include "app/sheets/sheet_error.h"
#include "calib/files.h"

namespace app {

// Does the work; says what sheets or files refuse. The exit code.
template <class Work>
int refused_or_done(std::ostream& err, const Work& work) {
  constexpr int kRefused = 2;
  try {
    work();
    return 0;
  } catch (const SheetError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  } catch (const calib::FileError& error) {
    err << "hoopgauge: " << error.what() << '\n';
  }
  return kRefused;
}

}  // namespace app
