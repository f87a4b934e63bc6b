// The work view over a desk, drawn into memory, with frames made up or rendered.
#pragma once

#include <filesystem>
#include <memory>
#include <opencv2/core.hpp>
#include <string>
#include <vector>

#include "app/desk/desk.h"
#include "app/screen/window.h"
#include "app/views/work_view.h"
#include "tests/app/fake_result.h"
#include "tests/temporary_folder.h"

class WorkBench {
 public:
  explicit WorkBench(cv::Size size, vision::Station station = fake::station(), vision::Hoop hoop = fake::hoop());

  void use_language(const std::string& code);
  // The same result frame after frame, ten a second.
  WorkBench& show(const vision::FrameResult& result, double seconds);
  WorkBench& show(const vision::FrameResult& result, double seconds, const cv::Mat& grey);
  // Up to and into each phase, with the cloth laid and pressed at a reading.
  WorkBench& ring_set(double hoop_deg = 0.0);
  WorkBench& cloth_laid(double x_mm, double y_mm, double deg, double hoop_deg = 0.0);
  WorkBench& pressed(double x_mm, double y_mm, double deg, double seconds, double hoop_deg = 0.0);
  WorkBench& held(double x_mm, double y_mm, double deg);

  // As a person sees it, 8 bit BGR, of the size asked for.
  cv::Mat draw();
  // The drawing alone, all of it done; its picture is not taken.
  void draw_only();
  // Texts that were too wide for their place since the last call.
  std::vector<std::string> unfit() { return text_.take_unfit(); }
  // A part of the last picture, of an area of the view's layout.
  cv::Mat part(const SDL_FRect& area) const;
  const app::WorkLayout& layout() const { return view.layout(); }
  // Down and up in the middle of an area, or of a button; false: there is no such button, or it cannot be pressed.
  void touch(const SDL_FRect& area);
  bool press(app::WorkView::Id id);
  const app::Button* button(app::WorkView::Id id) const;
  void key(SDL_Keycode code) { view.handle(app::key_event(code), desk); }

  double now_s = 100.0;  // the shell's clock
  TemporaryFolder folder;
  app::Desk desk;
  app::WorkView view;

 private:
  cv::Size size_;
  std::unique_ptr<app::Window> window_;
  app::Canvas canvas_;
  app::Text text_;
  cv::Mat picture_, grey_;
  double frame_s_ = 0.0;
};
