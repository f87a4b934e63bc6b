#include "app/picture.h"

#include <turbojpeg.h>

#include <algorithm>
#include <cctype>
#include <cerrno>
#include <cstring>
#include <fstream>
#include <memory>
#include <opencv2/imgcodecs.hpp>
#include <optional>
#include <vector>

namespace app {
namespace {

using Bytes = std::vector<unsigned char>;

constexpr std::uintmax_t kLargestFile = 256u << 20;
constexpr std::int64_t kMostPixels = 400'000'000;
constexpr std::string_view kPngMagic{"\x89PNG\r\n\x1a\n", 8};
constexpr std::string_view kJpegMagic{"\xff\xd8\xff", 3};

Picture fault(PictureFault fault, const std::filesystem::path& file, const std::string& says) {
  return {{}, fault, file.string() + " " + says};
}

Picture truncated(const std::filesystem::path& file) {
  return fault(PictureFault::truncated, file, "ends in the middle of the picture; copy or take it again");
}

Picture damaged(const std::filesystem::path& file, const std::string& why) {
  return fault(PictureFault::damaged, file, "is damaged (" + why + "); copy or take it again");
}

// A fault when the size is not the wanted one, or, where any is welcome, when no camera has it.
std::optional<Picture> wrong_size(const std::filesystem::path& file, cv::Size is, cv::Size wanted) {
  if (wanted.empty() && !is.empty() && std::int64_t{is.width} * is.height <= kMostPixels) return std::nullopt;
  if (wanted.empty()) return damaged(file, "no camera's picture has its size");
  if (is == wanted) return std::nullopt;
  const auto text = [](cv::Size size) { return std::to_string(size.width) + " x " + std::to_string(size.height); };
  return fault(PictureFault::wrong_size, file,
               "is " + text(is) + " pixels and the station's camera has " + text(wanted) +
                   "; name a frame of this camera, or the station file of the camera that took it");
}

bool begins_with(const Bytes& bytes, std::string_view magic) {
  return bytes.size() >= magic.size() && std::memcmp(bytes.data(), magic.data(), magic.size()) == 0;
}

std::uint32_t big_endian(const unsigned char* p) {
  return std::uint32_t{p[0]} << 24 | std::uint32_t{p[1]} << 16 | std::uint32_t{p[2]} << 8 | p[3];
}

// The chunks run up to IEND. The decoder checks what is in them.
bool png_is_whole(const Bytes& bytes) {
  constexpr std::size_t kFrame = 12;  // length, type, check sum
  for (std::size_t at = kPngMagic.size(); bytes.size() - at >= kFrame;) {
    const std::size_t length = big_endian(&bytes[at]);
    if (length > bytes.size() - at - kFrame) return false;
    if (std::memcmp(&bytes[at + 4], "IEND", 4) == 0) return true;
    at += kFrame + length;
  }
  return false;
}

Picture decode_png(const Bytes& bytes, const std::filesystem::path& file, cv::Size size) {
  constexpr std::size_t kHeader = 33;  // the magic and the chunk IHDR
  if (bytes.size() < kHeader) return truncated(file);
  if (std::memcmp(&bytes[12], "IHDR", 4) != 0) return damaged(file, "its header is none");
  if (bytes[24] > 8)
    return fault(PictureFault::sixteen_bit, file,
                 "has 16 bits a channel; save it with 8, so that it is known what was done to the light");
  const cv::Size is(static_cast<int>(std::min(big_endian(&bytes[16]), 0x7fffffffu)),
                    static_cast<int>(std::min(big_endian(&bytes[20]), 0x7fffffffu)));
  if (auto other = wrong_size(file, is, size)) return *other;
  if (!png_is_whole(bytes)) return truncated(file);
  Picture picture;
  try {
    picture.grey = cv::imdecode(bytes, cv::IMREAD_GRAYSCALE | cv::IMREAD_IGNORE_ORIENTATION);
  } catch (const cv::Exception& error) {
    return damaged(file, error.err);
  }
  if (picture.grey.size() != is || picture.grey.type() != CV_8UC1)
    return damaged(file, "its pixels cannot be unpacked");
  return picture;
}

// The libjpeg behind OpenCV fills what is missing with grey and goes on; TurboJPEG tells of it.
Picture decode_jpeg(const Bytes& bytes, const std::filesystem::path& file, cv::Size size) {
  const std::unique_ptr<void, int (*)(tjhandle)> jpeg(tjInitDecompress(), tjDestroy);
  if (!jpeg) return fault(PictureFault::unreadable, file, "cannot be unpacked: no memory; close other programs");
  const auto length = static_cast<unsigned long>(bytes.size());
  cv::Size is;
  int subsampling = 0, colours = 0;
  if (tjDecompressHeader3(jpeg.get(), bytes.data(), length, &is.width, &is.height, &subsampling, &colours) != 0 &&
      tjGetErrorCode(jpeg.get()) != TJERR_WARNING)
    return damaged(file, tjGetErrorStr2(jpeg.get()));
  if (auto other = wrong_size(file, is, size)) return *other;
  Picture picture{cv::Mat(is, CV_8UC1), PictureFault::none, {}};
  if (tjDecompress2(jpeg.get(), bytes.data(), length, picture.grey.data, is.width, static_cast<int>(picture.grey.step),
                    is.height, TJPF_GRAY, TJFLAG_STOPONWARNING) == 0)
    return picture;
  const std::string why = tjGetErrorStr2(jpeg.get());
  return why.find("remature end of JPEG file") != std::string::npos ? truncated(file) : damaged(file, why);
}

}  // namespace

std::string_view name(PictureFault fault) {
  switch (fault) {
    case PictureFault::none:
      return "none";
    case PictureFault::missing:
      return "missing";
    case PictureFault::unreadable:
      return "unreadable";
    case PictureFault::empty:
      return "empty";
    case PictureFault::truncated:
      return "truncated";
    case PictureFault::damaged:
      return "damaged";
    case PictureFault::sixteen_bit:
      return "sixteen_bit";
    case PictureFault::wrong_size:
      return "wrong_size";
  }
  return "unknown";
}

bool is_picture_name(const std::filesystem::path& file) {
  std::string ending = file.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return ending == ".jpg" || ending == ".jpeg" || ending == ".png";
}

Picture load_picture(const std::filesystem::path& file, cv::Size size) {
  std::error_code error;
  const auto status = std::filesystem::status(file, error);
  if (status.type() == std::filesystem::file_type::not_found)
    return fault(PictureFault::missing, file, "is not there; check its name");
  if (!std::filesystem::is_regular_file(status))
    return fault(PictureFault::unreadable, file, "is no plain file; name a JPEG or PNG");
  const std::uintmax_t length = std::filesystem::file_size(file, error);
  if (error || length > kLargestFile)
    return fault(PictureFault::unreadable, file, "is larger than 256 MB; name a JPEG or PNG of this camera");
  if (length == 0) return fault(PictureFault::empty, file, "is empty; copy or take it again");
  Bytes bytes(static_cast<std::size_t>(length));
  std::ifstream in(file, std::ios::binary);
  if (!in.read(reinterpret_cast<char*>(bytes.data()), static_cast<std::streamsize>(length)))
    return fault(PictureFault::unreadable, file,
                 std::string("cannot be read (") + std::strerror(errno) + "); check its permissions and its disk");
  if (begins_with(bytes, kPngMagic)) return decode_png(bytes, file, size);
  if (begins_with(bytes, kJpegMagic)) return decode_jpeg(bytes, file, size);
  return fault(PictureFault::unreadable, file, "is neither JPEG nor PNG; save it as one of them");
}

}  // namespace app
