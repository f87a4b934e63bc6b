#include "app/setup/run_pictures.h"

#include <filesystem>
#include <ostream>

#include "app/commands/frame_list.h"
#include "app/picture.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr int kGood = 0, kFailed = 1, kUnusable = 2;

std::string size_text(cv::Size size) { return std::to_string(size.width) + " x " + std::to_string(size.height); }

class PictureRun {
 public:
  PictureRun(SetupStep& step, std::ostream& out, std::ostream& err) : step_(step), out_(out), err_(err) {}

  int run(const std::vector<std::string>& files) {
    bool all_read = true;
    for (const std::string& file : files) all_read = feed(file) && all_read;
    if (missing_ == files.size()) {
      err_ << "hoopgauge: there is no picture to work on; name JPEGs or PNGs, or a folder of them\n";
      return kUnusable;
    }
    if (!all_read) {
      err_ << "hoopgauge: nothing was computed, since a picture could not be read; mend its name or leave it out\n";
      return kFailed;
    }
    return finish();
  }

 private:
  bool feed(const std::string& file) {
    Picture picture = load_picture(file, {});
    if (picture.fault == PictureFault::none && size_.empty()) size_ = picture.grey.size();
    if (picture.fault == PictureFault::none && picture.grey.size() != size_) {
      picture.fault = PictureFault::wrong_size;
      picture.detail = file + " is " + size_text(picture.grey.size()) + " pixels and the first picture is " +
                       size_text(size_) + "; name pictures of one camera at one size";
    }
    if (picture.fault == PictureFault::missing) ++missing_;
    if (picture.fault != PictureFault::none) {
      err_ << "hoopgauge: " << picture.detail << '\n';
      return false;
    }
    const StepAdvice advice = step_.take(picture.grey, static_cast<double>(fed_++), file);
    out_ << file << (advice.taken ? ": + " : ": ") << advice.headline << '\n' << std::flush;
    return true;
  }

  int finish() {
    try {
      const StepOutcome outcome = step_.finish();
      out_ << outcome.headline << '\n';
      for (const std::string& line : outcome.lines) out_ << "  " << line << '\n';
      for (const std::filesystem::path& file : outcome.files) out_ << "  wrote " << file.string() << '\n';
      out_.flush();
      return outcome.good ? kGood : kFailed;
    } catch (const StepError& error) {
      err_ << "hoopgauge: " << error.what() << '\n';
      return kFailed;
    } catch (const calib::FileError& error) {
      err_ << "hoopgauge: " << error.what() << '\n';
      return kUnusable;
    }
  }

  SetupStep& step_;
  std::ostream& out_;
  std::ostream& err_;
  cv::Size size_;
  std::size_t missing_ = 0;
  long fed_ = 0;
};

}  // namespace

int run_step_on_pictures(SetupStep& step, const std::vector<std::string>& frames, std::ostream& out,
                         std::ostream& err) {
  return PictureRun(step, out, err).run(frame_list(frames));
}

}  // namespace app
