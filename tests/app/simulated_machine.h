// An embroidery machine as its file describes it, that does literally what is pressed. Written apart from the program's
// own geometry: points are complex numbers, and nothing is computed but what one press does.
#pragma once

#include <cmath>
#include <complex>
#include <vector>

#include "app/machine/machine.h"

class SimulatedMachine {
 public:
  using Point = std::complex<double>;

  // The design's points as they shall come on the cloth. Where the machine stitches everything mirrored, the design is
  // stored mirrored.
  SimulatedMachine(const app::Machine& machine, const std::vector<Point>& design) : machine_(machine) {
    for (const Point& p : design) screen_.push_back(mirrored(p));
  }

  void press_turn_key(double key_deg) { turn_picture(key_deg); }
  void type_rotation(double number) { turn_picture(number - shown_rotation()); }
  void press_right(int direction) { jog({direction * machine_.jog_step_mm, 0.0}); }
  void press_up(int direction) { jog({0.0, direction * machine_.jog_step_mm}); }

  double shown_rotation() const {
    double number = std::fmod(number_, 360.0);
    if (number < -1e-6) number += 360.0;
    if (number > 360.0 - 1e-6) number = 0.0;
    if (machine_.range == app::Machine::Range::half_turns && number > 180.0 + 1e-6) number -= 360.0;
    return number;
  }
  // A machine that was told to go beyond its limit stays where it is and beeps.
  int beeps() const { return beeps_; }

  // Where the needle goes in, in the hoop's frame.
  std::vector<Point> stitched() const {
    std::vector<Point> cloth;
    for (const Point& p : screen_) cloth.push_back(mirrored(p) - hoop_at_);
    return cloth;
  }

 private:
  Point mirrored(Point p) const {
    switch (machine_.mirror) {
      case app::Machine::Mirror::left_right:
        return {-p.real(), p.imag()};
      case app::Machine::Mirror::top_bottom:
        return {p.real(), -p.imag()};
      case app::Machine::Mirror::none:
        break;
    }
    return p;
  }

  void turn_picture(double by) {
    number_ += by;
    const bool clockwise = machine_.sense == app::Machine::Sense::clockwise;
    const Point turn = std::polar(1.0, (clockwise ? -by : by) * std::acos(-1.0) / 180.0);
    // The hoop may have been moved away from under the needle's middle: its own middle is then shown elsewhere.
    const Point pivot = machine_.about == app::Machine::About::design_centre ? design_centre_ : mirrored(hoop_at_);
    for (Point& p : screen_) p = pivot + turn * (p - pivot);
    design_centre_ = pivot + turn * (design_centre_ - pivot);
  }

  void jog(Point by) {
    const Point jogged = jogged_ + by;
    const auto beyond = [](double at, double limit) { return limit > 0.0 && std::abs(at) > limit + 1e-6; };
    if (beyond(jogged.real(), machine_.jog_limit_mm.width) || beyond(jogged.imag(), machine_.jog_limit_mm.height)) {
      ++beeps_;
      return;
    }
    jogged_ = jogged;
    if (machine_.moves == app::Machine::Moves::hoop) {
      hoop_at_ += by;
      return;
    }
    for (Point& p : screen_) p += by;
    design_centre_ += by;
  }

  app::Machine machine_;
  std::vector<Point> screen_;  // the picture that the machine holds, right and up on its screen
  Point design_centre_{0, 0};  // on the screen
  Point hoop_at_{0, 0};        // the hoop's middle, as the operator sees it from above
  Point jogged_{0, 0};
  double number_ = 0.0;
  int beeps_ = 0;
};
