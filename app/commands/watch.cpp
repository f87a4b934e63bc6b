#include "app/commands/watch.h"

#include <exception>
#include <memory>
#include <ostream>
#include <string>
#include <system_error>
#include <utility>

#include "app/advice.h"
#include "app/commands/options.h"
#include "app/format.h"
#include "app/keep/frame_keeper.h"
#include "app/measuring.h"
#include "app/source/open_source.h"
#include "app/stop_signal.h"
#include "app/work/hoop_reader.h"
#include "calib/files.h"

namespace app {
namespace {

constexpr int kFailed = 1;
constexpr auto kPatience = std::chrono::milliseconds(200);

std::string words(const Measured& measured) {
  const vision::FrameResult& result = measured.result;
  const std::string name(vision::name(result.status));
  if (!result.reading)
    return format("frame %ld: %s: ", measured.frame.number, name.c_str()) + std::string(advice(result.status));
  return format("frame %ld: %s: x %+.2f mm, y %+.2f mm, turned %+.2f deg", measured.frame.number, name.c_str(),
                result.reading->offset_x_mm, result.reading->offset_y_mm, result.reading->rotation_deg);
}

class Watch {
 public:
  Watch(const WatchOptions& options, std::ostream& out, std::ostream& err) : options_(options), out_(out), err_(err) {
    if (!options.keep_dir) return;
    std::error_code ignored;
    if (options.frames_dir && std::filesystem::equivalent(*options.frames_dir, *options.keep_dir, ignored))
      throw OptionError("--keep and --frames name the same folder: keep the frames in another one");
    keeper_ =
        std::make_unique<FrameKeeper>(*options.keep_dir, static_cast<std::uintmax_t>(options.size_limit_mb * 1e6));
  }

  int run(Measuring& measuring, const StopSignal& stop) {
    const auto start = Clock::now();
    const auto over = [&] {
      return options_.seconds && std::chrono::duration<double>(Clock::now() - start).count() >= *options_.seconds;
    };
    while (!stop.received() && !over()) {
      const bool last = measuring.ended();
      if (const auto measured = measuring.results().take_within(kPatience)) {
        take(*measured);
      } else if (last) {
        break;
      }
      tell(measuring);
    }
    out_ << measuring.frames_measured() << " frames measured";
    if (keeper_) out_ << ", " << keeper_->kept() << " kept in " << options_.keep_dir->string();
    out_ << std::endl;
    return trouble_.empty() && keep_trouble_.empty() ? 0 : kFailed;
  }

 private:
  void take(const Measured& measured) {
    const bool news = measured.result.status != status_;
    if (news) out_ << words(measured) << std::endl;
    status_ = measured.result.status;
    if (keeper_ && (news || count_ % options_.every == 0)) keeper_->keep(measured);
    ++count_;
  }

  // What is wrong, each once.
  void tell(const Measuring& measuring) {
    if (std::string now = measuring.trouble(); now != trouble_) {
      trouble_ = std::move(now);
      const std::string detail = measuring.trouble_detail();
      if (!trouble_.empty()) err_ << "hoopgauge: " << trouble_ << (detail.empty() ? "" : "\n  ") << detail << std::endl;
      if (trouble_.empty()) out_ << "Frames come again" << std::endl;
    }
    if (!keeper_ || !keep_trouble_.empty()) return;
    keep_trouble_ = keeper_->trouble();
    if (!keep_trouble_.empty())
      err_ << "hoopgauge: no more frames are kept: " << keep_trouble_ << "; the watching goes on" << std::endl;
  }

  const WatchOptions& options_;
  std::ostream& out_;
  std::ostream& err_;
  std::unique_ptr<FrameKeeper> keeper_;
  std::optional<vision::Status> status_;
  long count_ = 0;
  std::string trouble_, keep_trouble_;
};

int watch(const WatchOptions& options, std::ostream& out, std::ostream& err) {
  const StopSignal stop;
  OpenedStation opened = open_station(options);
  Watch watching(options, out, err);
  out << (opened.notice.empty() ? "Running on " + opened.source->title() : opened.notice) << std::endl;
  const auto reader = std::make_shared<HoopReader>(opened.station, opened.hoop, opened.hoops);
  Measuring measuring(std::move(opened.source), [reader](Measured& measured) {
    measured.result = reader->read(measured.frame.grey);
    measured.other_hoop = reader->other_hoop();
  });
  return watching.run(measuring, stop);
}

int complain(std::ostream& err, const std::exception& error, int code) {
  err << "hoopgauge: " << error.what() << '\n';
  return code;
}

}  // namespace

int run_watch(const WatchOptions& options, std::ostream& out, std::ostream& err) {
  try {
    return watch(options, out, err);
  } catch (const OptionError& error) {
    return complain(err, error, kUsage);
  } catch (const calib::FileError& error) {
    return complain(err, error, kUsage);
  } catch (const std::exception& error) {
    return complain(err, error, kFailed);
  }
}

}  // namespace app
