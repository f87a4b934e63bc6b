#include "app/sounds.h"

#include <SDL.h>
#include <spdlog/spdlog.h>

#include <chrono>
#include <utility>
#include <vector>

#include "app/tones.h"

namespace app {
namespace {

using namespace std::chrono_literals;

constexpr auto kKeptOpen = 5s;                                      // after the last sound
constexpr auto kLetFinish = 1s;                                     // at the end, at most
constexpr auto kLook = 10ms;                                        // how often it is looked whether a sound is over
constexpr Uint16 kBuffer = 1024;                                    // samples the device takes at once: 21 ms
constexpr Uint32 kMostWaiting = kSoundRate_hz / 2 * sizeof(float);  // bytes: half a second

// SDL's audio with one device open. SDL_InitSubSystem would count users of the events as well, in the main thread's
// way.
class Device {
 public:
  Device() {
    started_ = SDL_AudioInit(nullptr) == 0;
    if (!started_) return;
    SDL_AudioSpec wanted{};
    wanted.freq = kSoundRate_hz;
    wanted.format = AUDIO_F32SYS;
    wanted.channels = 1;
    wanted.samples = kBuffer;
    id_ = SDL_OpenAudioDevice(nullptr, 0, &wanted, nullptr, 0);
    if (id_ != 0) SDL_PauseAudioDevice(id_, 0);
  }
  ~Device() {
    if (id_ != 0) SDL_CloseAudioDevice(id_);
    if (started_) SDL_AudioQuit();
  }
  Device(const Device&) = delete;
  Device& operator=(const Device&) = delete;

  bool open() const { return id_ != 0 && SDL_GetAudioDeviceStatus(id_) == SDL_AUDIO_PLAYING; }
  // After what still plays, for cut short it would click; not where that takes too long.
  void play(const std::vector<float>& samples) {
    if (SDL_GetQueuedAudioSize(id_) < kMostWaiting)
      SDL_QueueAudio(id_, samples.data(), static_cast<Uint32>(samples.size() * sizeof(float)));
  }
  bool playing() const { return open() && SDL_GetQueuedAudioSize(id_) > 0; }

 private:
  bool started_ = false;
  SDL_AudioDeviceID id_ = 0;
};

// Said once: a station without a loudspeaker is in order.
void note_silence() {
  static const bool said = [] {
    spdlog::warn("no sounds: {}; check that a loudspeaker is there and that this user may use it (group audio)",
                 SDL_GetError());
    return true;
  }();
  static_cast<void>(said);
}

}  // namespace

Sounds::Sounds() : thread_([this] { run(); }) {}

Sounds::~Sounds() {
  {
    const std::lock_guard lock(gate_);
    over_ = true;
  }
  news_.notify_one();
  thread_.join();
}

void Sounds::play(Sound sound) {
  {
    const std::lock_guard lock(gate_);
    wanted_ = sound;
  }
  news_.notify_one();
}

void Sounds::run() {
  std::optional<Device> device;
  std::unique_lock lock(gate_);
  const auto called = [this] { return wanted_ || over_; };
  while (true) {
    if (!device) {
      news_.wait(lock, called);
    } else if (!news_.wait_for(lock, kKeptOpen, called)) {
      device.reset();
      continue;
    }
    const std::optional<Sound> sound = std::exchange(wanted_, std::nullopt);
    if (!sound) break;
    lock.unlock();
    if (device && !device->open()) device.reset();  // unplugged
    if (!device) device.emplace();
    if (device->open()) {
      device->play(tone(*sound));
    } else {
      note_silence();
      device.reset();
    }
    lock.lock();
  }
  lock.unlock();
  const auto end = std::chrono::steady_clock::now() + kLetFinish;
  while (device && device->playing() && std::chrono::steady_clock::now() < end) std::this_thread::sleep_for(kLook);
  device.reset();
  SDL_TLSCleanup();  // what SDL keeps for a thread that is not its own
}

}  // namespace app
