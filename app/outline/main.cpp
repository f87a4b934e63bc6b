// hoopgauge-outline PIXELS MILLISECONDS: a drawing on the standard input, its outlines (app/outline/wire.h) on the
// standard output. Started by hoopgauge; reads nothing else but the system's fonts.
#include <unistd.h>

#include <cstdlib>
#include <string>

#include "app/outline/confine.h"
#include "app/outline/limits.h"
#include "app/outline/outline_of.h"
#include "app/outline/wire.h"

namespace {

std::string standard_input() {
  std::string bytes;
  char part[65536];
  ssize_t count = 0;
  while (bytes.size() <= app::kLargestDrawing && (count = ::read(STDIN_FILENO, part, sizeof part)) > 0)
    bytes.append(part, static_cast<std::size_t>(count));
  return bytes;
}

bool write_all(const std::string& bytes) {
  for (std::size_t done = 0; done < bytes.size();) {
    const ssize_t count = ::write(STDOUT_FILENO, bytes.data() + done, bytes.size() - done);
    if (count <= 0) return false;
    done += static_cast<std::size_t>(count);
  }
  return true;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) return 2;
  app::limit_this_process(std::atoi(argv[2]));
  app::confine_this_process();
  const bool said = write_all(app::outline_of(standard_input(), std::atof(argv[1])));
  // Without taking everything apart first.
  std::_Exit(said ? 0 : 1);
}
