#include "app/screen/window.h"

#include <algorithm>
#include <cstring>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "app/screen/text.h"

namespace app {
namespace {

constexpr int kDefaultWidth_px = 1280;
constexpr int kDefaultHeight_px = 800;
// SDL's software renderer puts the corners of shapes on whole pixels; drawn larger and made smaller, edges are smooth.
constexpr int kOversampling = 2;

cv::Size or_default(cv::Size size) { return size.empty() ? cv::Size(kDefaultWidth_px, kDefaultHeight_px) : size; }

ScreenError sdl_error(const std::string& what) { return ScreenError(what + ": " + SDL_GetError()); }

// SDL's drivers that draw for nobody.
bool shows_nothing(const char* driver) {
  return driver == nullptr || std::strcmp(driver, "dummy") == 0 || std::strcmp(driver, "offscreen") == 0 ||
         std::strcmp(driver, "evdev") == 0;
}

// Before SDL starts.
void set_hints() {
  SDL_SetHint(SDL_HINT_NO_SIGNAL_HANDLERS, "1");  // the station has its own
  SDL_SetHint(SDL_HINT_VIDEO_ALLOW_SCREENSAVER, "0");
  SDL_SetHint(SDL_HINT_RENDER_SCALE_QUALITY, "linear");
  SDL_SetHint(SDL_HINT_TOUCH_MOUSE_EVENTS, "1");
  SDL_SetHint(SDL_HINT_MOUSE_FOCUS_CLICKTHROUGH, "1");  // the first touch counts
}

void add(WindowEvents& events, const WindowEvents& more) {
  events.quit = events.quit || more.quit;
  events.closed = events.closed || more.closed;
  events.redraw = events.redraw || more.redraw;
  events.textures_lost = events.textures_lost || more.textures_lost;
  events.input.insert(events.input.end(), more.input.begin(), more.input.end());
}

}  // namespace

DisplayHold::DisplayHold() {
  set_hints();
  held_ = SDL_InitSubSystem(SDL_INIT_VIDEO) == 0;
}

DisplayHold::~DisplayHold() {
  if (held_) SDL_QuitSubSystem(SDL_INIT_VIDEO);
}

std::unique_ptr<Window> Window::open(bool full_screen, cv::Size size, std::string& why) {
  set_hints();
  if (SDL_InitSubSystem(SDL_INIT_VIDEO) != 0) {
    why = std::string("No display found (") + SDL_GetError() + ")";
    return nullptr;
  }
  std::unique_ptr<Window> w(new Window);
  w->started_video_ = true;
  if (shows_nothing(SDL_GetCurrentVideoDriver())) {
    why = "No display found";
    return nullptr;
  }
  size = or_default(size);
  // Made in its final size: without a window manager nobody tells the renderer of a later change.
  SDL_DisplayMode desktop{};
  if (full_screen && SDL_GetDesktopDisplayMode(0, &desktop) == 0) size = {desktop.w, desktop.h};
  const Uint32 flags =
      SDL_WINDOW_ALLOW_HIGHDPI | (full_screen ? Uint32{SDL_WINDOW_FULLSCREEN_DESKTOP} : Uint32{SDL_WINDOW_RESIZABLE});
  w->window_ =
      SDL_CreateWindow("hoopgauge", SDL_WINDOWPOS_CENTERED, SDL_WINDOWPOS_CENTERED, size.width, size.height, flags);
  if (w->window_ == nullptr) throw sdl_error("the screen's window cannot be opened");
  w->renderer_ = SDL_CreateRenderer(w->window_, -1, SDL_RENDERER_ACCELERATED | SDL_RENDERER_PRESENTVSYNC);
  if (w->renderer_ == nullptr) w->renderer_ = SDL_CreateRenderer(w->window_, -1, SDL_RENDERER_SOFTWARE);
  if (w->renderer_ == nullptr) throw sdl_error("the screen cannot be drawn on");
  if (full_screen) SDL_ShowCursor(SDL_DISABLE);
  return w;
}

std::unique_ptr<Window> Window::in_memory(cv::Size size) {
  size = or_default(size);
  std::unique_ptr<Window> w(new Window);
  w->oversampling_ = kOversampling;
  w->surface_ = SDL_CreateRGBSurfaceWithFormat(0, kOversampling * size.width, kOversampling * size.height, 32,
                                               SDL_PIXELFORMAT_ARGB8888);
  if (w->surface_ == nullptr) throw sdl_error("no memory for the screen's picture");
  w->renderer_ = SDL_CreateSoftwareRenderer(w->surface_);
  if (w->renderer_ == nullptr) throw sdl_error("the screen's picture cannot be drawn");
  return w;
}

Window::~Window() {
  if (renderer_ != nullptr) SDL_DestroyRenderer(renderer_);
  if (surface_ != nullptr) SDL_FreeSurface(surface_);
  if (window_ != nullptr) SDL_DestroyWindow(window_);
  if (started_video_) SDL_QuitSubSystem(SDL_INIT_VIDEO);
}

cv::Size Window::size() const {
  cv::Size size;
  SDL_GetRendererOutputSize(renderer_, &size.width, &size.height);
  return size;
}

SDL_FPoint Window::output_point(int x, int y) const {
  int width = 0, height = 0;
  SDL_GetWindowSize(window_, &width, &height);
  const cv::Size output = size();
  return {(static_cast<float>(x) + 0.5F) * static_cast<float>(output.width) / static_cast<float>(std::max(1, width)),
          (static_cast<float>(y) + 0.5F) * static_cast<float>(output.height) / static_cast<float>(std::max(1, height))};
}

// SDL makes mouse events of the first finger's touches (SDL_HINT_TOUCH_MOUSE_EVENTS), so these are all there is.
void Window::take_event(const SDL_Event& event, WindowEvents& events) {
  using Kind = InputEvent::Kind;
  switch (event.type) {
    case SDL_QUIT:
      events.quit = events.closed = true;
      break;
    case SDL_KEYDOWN: {
      const SDL_Keysym& key = event.key.keysym;
      events.quit = events.quit || key.sym == SDLK_ESCAPE || key.sym == SDLK_q;
      events.input.push_back(key_event(key.sym, (key.mod & KMOD_SHIFT) != 0));
      events.input.back().repeated = event.key.repeat != 0;
      break;
    }
    case SDL_KEYUP:
      events.input.push_back(key_event(event.key.keysym.sym));
      events.input.back().kind = Kind::key_up;
      break;
    case SDL_TEXTINPUT: {
      InputEvent text;
      text.kind = Kind::text;
      text.text = event.text.text;
      events.input.push_back(text);
      break;
    }
    case SDL_MOUSEBUTTONDOWN:
    case SDL_MOUSEBUTTONUP:
      if (event.button.button != SDL_BUTTON_LEFT) break;
      events.input.push_back(pointer_event(event.type == SDL_MOUSEBUTTONDOWN ? Kind::pointer_down : Kind::pointer_up,
                                           output_point(event.button.x, event.button.y)));
      break;
    case SDL_MOUSEMOTION:
      events.input.push_back(pointer_event(Kind::pointer_move, output_point(event.motion.x, event.motion.y)));
      break;
    case SDL_WINDOWEVENT:
      events.redraw = true;
      break;
    case SDL_RENDER_TARGETS_RESET:
    case SDL_RENDER_DEVICE_RESET:
      events.textures_lost = events.redraw = true;
      break;
    default:
      break;
  }
}

WindowEvents Window::poll() {
  WindowEvents events;
  SDL_Event event;
  while (window_ != nullptr && SDL_PollEvent(&event) != 0) take_event(event, events);
  const std::scoped_lock lock(put_gate_);
  add(events, std::exchange(put_, {}));
  return events;
}

void Window::put(const WindowEvents& events) {
  const std::scoped_lock lock(put_gate_);
  add(put_, events);
}

void Window::show_pointer(bool shown) { SDL_ShowCursor(shown ? SDL_ENABLE : SDL_DISABLE); }

cv::Mat Window::picture() const {
  const cv::Size s = size();
  cv::Mat bgr(s, CV_8UC3);
  if (SDL_RenderReadPixels(renderer_, nullptr, SDL_PIXELFORMAT_BGR24, bgr.data, static_cast<int>(bgr.step)) != 0) {
    return {};
  }
  if (oversampling_ > 1) cv::resize(bgr, bgr, s / oversampling_, 0.0, 0.0, cv::INTER_AREA);
  return bgr;
}

void Window::present() { SDL_RenderPresent(renderer_); }

}  // namespace app
