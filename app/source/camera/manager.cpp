#include "app/source/camera/manager.h"

#include <condition_variable>
#include <cstdlib>
#include <mutex>

namespace app {
namespace {

// libcamera ends the program when a second manager is made before the first is gone, and the first goes on whichever
// thread lets go of the last frame.
struct Only {
  std::mutex gate;
  std::condition_variable gone;
  std::weak_ptr<Cameras::State> state;
  bool there = false;
};

Only& only() {
  static auto& one = *new Only;  // never destroyed: a frame may be let go of while the program ends
  return one;
}

void take_down(Cameras::State* state) {
  delete state;
  {
    const std::scoped_lock lock(only().gate);
    only().there = false;
  }
  only().gone.notify_all();
}

}  // namespace

Cameras::State::State() { started = manager.start() == 0; }

Cameras::State::~State() {
  if (started) manager.stop();
}

std::shared_ptr<Cameras::State> camera_manager() {
  Only& one = only();
  std::unique_lock lock(one.gate);
  while (one.there) {
    if (auto state = one.state.lock()) return state;
    one.gone.wait(lock);
  }
  std::shared_ptr<Cameras::State> state(new Cameras::State, take_down);
  one.state = state;
  one.there = true;
  return state;
}

CameraInfo camera_info(const libcamera::Camera& camera) {
  return {camera.id(), camera.properties().get(libcamera::properties::Model).value_or("")};
}

}  // namespace app
