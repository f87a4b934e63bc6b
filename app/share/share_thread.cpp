#include "app/share/share_thread.h"

#include <spdlog/spdlog.h>

#include <chrono>
#include <condition_variable>
#include <ctime>
#include <mutex>
#include <thread>

#include "app/format.h"
#include "app/records/piece_log.h"
#include "app/records/piece_table.h"
#include "app/share/share.h"
#include "app/share/share_state.h"
#include "app/words/words.h"

namespace app {
namespace {

constexpr auto kFirst = std::chrono::seconds(20);  // the station comes up first
constexpr std::int64_t kSecondsOfDay = 24 * 60 * 60;

std::optional<std::int64_t> shared_before(const std::filesystem::path& log) {
  try {
    SQLite::Database database = open_to_read(log);
    return last_shared_s(database);
  } catch (const std::exception&) {
    return std::nullopt;  // no file yet, or an older one
  }
}

// How long ago, in the words of the screen.
std::string ago(std::int64_t seconds) {
  const auto minutes = static_cast<long>(seconds / 60);
  if (minutes < 60) return format(tr("%ld min"), minutes);
  if (minutes < 48 * 60) return format(tr("%ld h"), minutes / 60);
  return format(tr("%ld day", "%ld days", minutes / 1440), minutes / 1440);
}

std::string weekday(std::int64_t at_s) {
  static constexpr const char* kDays[]{noop("Sunday"),   noop("Monday"), noop("Tuesday"), noop("Wednesday"),
                                       noop("Thursday"), noop("Friday"), noop("Saturday")};
  const std::time_t at = at_s;
  std::tm parts{};
  localtime_r(&at, &parts);
  return tr(kDays[parts.tm_wday]);
}

const char* trouble_pattern(ShareError::Kind trouble) {
  switch (trouble) {
    case ShareError::Kind::not_reached:
      return noop("The shop's server is not reached; nothing is lost.");
    case ShareError::Kind::refused:
      return noop("The shop's server refuses this station's user; nothing is lost.");
    case ShareError::Kind::not_trusted:
      return noop("The shop's server cannot be trusted: its certificate; nothing is lost.");
    case ShareError::Kind::newer:
      return noop("The shop's server has a newer program's records: update this station; nothing is lost.");
    case ShareError::Kind::no_right:
    case ShareError::Kind::busy:
    case ShareError::Kind::stopped:
    case ShareError::Kind::other:
      break;
  }
  return noop("Sharing fails; hoopgauge records share says why. Nothing is lost.");
}

}  // namespace

std::string share_words(const ShareNews& news, std::int64_t now_s) {
  if (news.sharing) return tr("Sharing with the shop now");
  const std::int64_t since_s = news.shared_s ? std::max<std::int64_t>(0, now_s - *news.shared_s) : 0;
  if (!news.trouble) {
    if (!news.shared_s) return tr("Not shared with the shop yet");
    if (since_s < 60) return tr("Shared with the shop just now");
    return format(tr("Shared with the shop %s ago"), ago(since_s));
  }
  if (*news.trouble == ShareError::Kind::not_reached && news.shared_s && since_s >= 60) {
    if (since_s >= kSecondsOfDay && since_s < 6 * kSecondsOfDay)
      return format(tr("The shop's server is not reached since %s; nothing is lost."), weekday(*news.shared_s));
    return format(tr("The shop's server is not reached; last shared %s ago. Nothing is lost."), ago(since_s));
  }
  return tr(trouble_pattern(*news.trouble));
}

struct ShareThread::State {
  void run();
  void share_once();

  std::filesystem::path station_file;
  std::chrono::minutes every{0};
  mutable std::mutex mutex;
  std::condition_variable wake;
  ShareNews news;     // under the mutex
  bool stop = false;  // likewise
  std::string logged;
  std::thread thread;
};

void ShareThread::State::run() {
  {
    const auto before = shared_before(log_file(station_file));
    const std::scoped_lock lock(mutex);
    news.shared_s = before;
  }
  std::unique_lock lock(mutex);
  for (std::chrono::seconds wait = kFirst; !wake.wait_for(lock, wait, [this] { return stop; }); wait = every) {
    news.sharing = true;
    lock.unlock();
    share_once();
    lock.lock();
    news.sharing = false;
  }
}

void ShareThread::State::share_once() {
  std::optional<ShareError::Kind> trouble;
  std::string said;
  try {
    const auto settings = calib::load_share(station_file);
    if (!settings) return;
    ShareOptions options;
    options.settings = *settings;
    options.log_file = log_file(station_file);
    options.stopped = [this] {
      const std::scoped_lock lock(mutex);
      return stop;
    };
    if (const ShareOutcome outcome = share(options); !outcome.notice.empty()) spdlog::warn("{}", outcome.notice);
  } catch (const ShareError& error) {
    if (error.kind() == ShareError::Kind::stopped || error.kind() == ShareError::Kind::busy) return;
    trouble = error.kind();
    said = error.what();
  } catch (const std::exception& error) {
    trouble = ShareError::Kind::other;
    said = error.what();
  }
  if (!said.empty() && said != logged) spdlog::warn("records are not shared: {}", said);
  logged = said;
  const std::scoped_lock lock(mutex);
  news.trouble = trouble;
  if (!trouble) news.shared_s = std::time(nullptr);
}

ShareThread::ShareThread(std::filesystem::path station_file, int every_min) : state_(std::make_unique<State>()) {
  state_->station_file = std::move(station_file);
  state_->every = std::chrono::minutes(every_min);
  state_->thread = std::thread([state = state_.get()] { state->run(); });
}

ShareThread::~ShareThread() {
  {
    const std::scoped_lock lock(state_->mutex);
    state_->stop = true;
  }
  state_->wake.notify_all();
  state_->thread.join();
}

ShareNews ShareThread::news() const {
  const std::scoped_lock lock(state_->mutex);
  return state_->news;
}

std::string ShareThread::words() const { return share_words(news(), std::time(nullptr)); }

}  // namespace app
