// One picture file as a grey frame, or why it is none. Half a picture is no picture.
#pragma once

#include <filesystem>
#include <opencv2/core.hpp>
#include <string>
#include <string_view>

namespace app {

enum class PictureFault { none, missing, unreadable, empty, truncated, damaged, sixteen_bit, wrong_size };

// The name used in files and on the wire, such as "sixteen_bit".
std::string_view name(PictureFault fault);

struct Picture {
  cv::Mat grey;  // 8 bit, one channel; empty with a fault
  PictureFault fault = PictureFault::none;
  std::string detail;  // with a fault: the file's name, what is wrong with it, what to do
};

// Reads a JPEG or PNG of 8 bits a channel; colour becomes grey; a camera's orientation tag is not followed, since the
// lens is known in the sensor's own pixels. `size`: the picture's size, px; another one is a fault, told before the
// pixels are unpacked; empty: any. Never throws for what the file holds.
Picture load_picture(const std::filesystem::path& file, cv::Size size);

// Whether the name ends as a JPEG's or PNG's does.
bool is_picture_name(const std::filesystem::path& file);

}  // namespace app
