// What can be wrong with the frames, in the operator's words: whole sentences, English, translated where they are
// shown. What the system said besides goes along as `detail`, for the log and the service page.
#pragma once

#include <stdexcept>
#include <string>

#include "app/words/words.h"

namespace app {

inline constexpr const char* kNoCamera = noop("No camera is found: check its cable.");
inline constexpr const char* kCameraUnplugged = noop("The camera was unplugged: check its cable.");
inline constexpr const char* kCameraSilent = noop("The camera gives no pictures: check its cable.");
inline constexpr const char* kCameraBusy = noop("The camera is in use by another program: close that program.");
inline constexpr const char* kCameraFails =
    noop("The camera cannot be started: check its cable, then switch the station off and on.");
inline constexpr const char* kOtherCamera =
    noop("The station's camera is not found, another one is: plug in the station's camera.");
inline constexpr const char* kSeveralCameras = noop("Several cameras are plugged in: leave only the station's.");
inline constexpr const char* kCameraUnfit =
    noop("The camera gives no pictures of the station's size: set the station up with this camera.");
inline constexpr const char* kWrongPictures =
    noop("The camera's pictures cannot be measured: switch the station off and on.");

// Why a source cannot be opened. what() is the system's side of it, `sentence` the operator's.
class SourceError : public std::runtime_error {
 public:
  SourceError(const char* sentence_to_show, const std::string& detail)
      : std::runtime_error(detail), sentence(sentence_to_show) {}
  const char* sentence;
};

}  // namespace app
