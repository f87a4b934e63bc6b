// What tests of the whole program on a display share.
#pragma once

#include <SDL.h>

#include <functional>
#include <map>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/screen/theme.h"
#include "tests/station/process.h"

namespace station {

// False, and said plainly, where there is no Xvfb; in CI that is a failure.
bool can_show();

// The program's environment on this display, and without one.
std::map<std::string, std::string> on(const Display& display);
extern const std::map<std::string, std::string> kNoDisplay;

// The sample frames' station file in a folder of the tests' own: what the station keeps lies beside it.
const std::string& sample_station_file();

// How much there is to be seen: an empty ground has none.
double spread(const cv::Mat& picture);
cv::Mat part(const cv::Mat& picture, const SDL_FRect& area);
// Share of pixels that differ by more than a trace.
double difference(const cv::Mat& a, const cv::Mat& b);
// Share of pixels of nearly this colour.
double share_of(const cv::Mat& picture, app::Colour colour);

// Looks at the screen until it is as wanted; false after a minute.
bool wait_for(const Display& display, const std::function<bool(const cv::Mat& screen)>& wanted);
// Until the screen shows more than an empty ground.
bool wait_for_picture(const Display& display);

// With xdotool; returns once the server has it.
bool press_key(const Display& display, const std::string& key);
bool click(const Display& display, SDL_FPoint at);

}  // namespace station
