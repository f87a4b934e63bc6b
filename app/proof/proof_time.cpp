#include "app/proof/proof_time.h"

namespace app {
namespace {

std::string written(std::time_t time, const char* format) {
  std::tm parts{};
  gmtime_r(&time, &parts);
  char text[40];
  std::strftime(text, sizeof text, format, &parts);
  return text;
}

}  // namespace

std::string utc_text(std::time_t time) { return written(time, "%Y-%m-%dT%H:%M:%SZ"); }
std::string utc_name(std::time_t time) { return written(time, "%Y-%m-%dT%H%M%S"); }

}  // namespace app
