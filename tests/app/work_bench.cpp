#include "tests/app/work_bench.h"

#include <utility>

namespace {

// In memory a window is drawn at twice its size.
constexpr float kOver = 2.0F;

app::DeskParts parts(vision::Station station, vision::Hoop hoop, const std::filesystem::path& folder) {
  app::DeskParts p;
  p.station = std::move(station);
  p.hoop = hoop;
  p.hoops = {std::move(hoop)};
  p.station_file = folder / "station.toml";
  return p;
}

vision::FrameResult seen(double x_mm, double y_mm, double deg, double hoop_deg) {
  return fake::result(fake::station(), fake::hoop(), fake::straight_down(),
                      {{3.0, -2.0}, hoop_deg * vision::kRadPerDeg}, x_mm, y_mm, deg);
}

}  // namespace

WorkBench::WorkBench(cv::Size size, vision::Station station, vision::Hoop hoop)
    : desk(parts(std::move(station), std::move(hoop), folder.path)),
      size_(size),
      window_(app::Window::in_memory(size)),
      canvas_(window_->renderer()),
      text_(window_->renderer()),
      grey_(1296, 2304, CV_8UC1, cv::Scalar(90)) {
  use_language("en");  // whatever this system's is
}

void WorkBench::use_language(const std::string& code) {
  app::Settings settings = desk.settings();
  settings.language = code;
  desk.set(settings);
}

WorkBench& WorkBench::show(const vision::FrameResult& result, double seconds) { return show(result, seconds, grey_); }

WorkBench& WorkBench::show(const vision::FrameResult& result, double seconds, const cv::Mat& grey) {
  const double end_s = frame_s_ + seconds - 0.05;
  do {
    frame_s_ += 0.1;
    app::Measured measured;
    measured.frame.grey = grey;
    measured.frame.time_s = frame_s_;
    measured.result = result;
    desk.see(std::move(measured));
  } while (frame_s_ < end_s);
  return *this;
}

WorkBench& WorkBench::ring_set(double hoop_deg) {
  vision::FrameResult ring = seen(0.0, 0.0, 0.0, hoop_deg);
  ring.status = vision::Status::no_sticker;
  ring.reading.reset();
  ring.stickers.clear();
  return show(ring, 1.2);
}

WorkBench& WorkBench::cloth_laid(double x_mm, double y_mm, double deg, double hoop_deg) {
  ring_set(hoop_deg);
  const vision::FrameResult all = seen(x_mm, y_mm, deg, hoop_deg);
  vision::FrameResult cloth = fake::no_reading(fake::station(), fake::straight_down(), vision::Status::no_ring);
  cloth.stickers = all.stickers;
  return show(cloth, 0.5);
}

WorkBench& WorkBench::pressed(double x_mm, double y_mm, double deg, double seconds, double hoop_deg) {
  return show(seen(x_mm, y_mm, deg, hoop_deg), seconds);
}

WorkBench& WorkBench::held(double x_mm, double y_mm, double deg) {
  return cloth_laid(x_mm, y_mm, deg).pressed(x_mm, y_mm, deg, 2.0);
}

void WorkBench::draw_only() {
  view.draw(canvas_, text_, window_->size(), desk, now_s);
  SDL_RenderFlush(window_->renderer());
}

cv::Mat WorkBench::draw() {
  draw_only();
  desk.picture_drawn();
  picture_ = window_->picture();
  return picture_.clone();
}

cv::Mat WorkBench::part(const SDL_FRect& r) const {
  return picture_(cv::Rect(cvRound(r.x / kOver), cvRound(r.y / kOver), cvRound(r.w / kOver), cvRound(r.h / kOver)) &
                  cv::Rect({0, 0}, size_))
      .clone();
}

void WorkBench::touch(const SDL_FRect& area) {
  const SDL_FPoint at{area.x + area.w / 2.0F, area.y + area.h / 2.0F};
  view.handle(app::pointer_event(app::InputEvent::Kind::pointer_down, at), desk);
  view.handle(app::pointer_event(app::InputEvent::Kind::pointer_up, at), desk);
}

const app::Button* WorkBench::button(app::WorkView::Id id) const {
  for (const app::Button& one : view.buttons().all())
    if (one.id == id) return &one;
  return nullptr;
}

bool WorkBench::press(app::WorkView::Id id) {
  draw();
  const app::Button* found = button(id);
  if (found == nullptr || !found->enabled) return false;
  touch(found->area);
  return true;
}
