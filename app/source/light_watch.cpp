#include "app/source/light_watch.h"

namespace app {

bool LightWatch::see(vision::Status status, double now_s) {
  if (status != vision::Status::too_dark && status != vision::Status::too_bright) {
    wrong_since_s_.reset();
    return false;
  }
  if (!wrong_since_s_) wrong_since_s_ = now_s;
  if (now_s - *wrong_since_s_ < kWrong_s || (asked_s_ && now_s - *asked_s_ < kPause_s)) return false;
  asked_s_ = now_s;
  return true;
}

}  // namespace app
