// A hoop while it is being taught: what its pictures show, what a person says about it, what is missing yet and what is
// doubtful. Every change can be taken back.
#pragma once

#include <array>
#include <opencv2/core.hpp>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "calib/teach_check.h"
#include "calib/teach_height.h"
#include "calib/teach_ring.h"
#include "vision/camera.h"
#include "vision/station.h"

namespace app {

// A picture of the bare rings on the board.
struct TeachingFrame {
  cv::Mat grey;  // 8 bit, one channel, of the lens's size; its own pixels
  vision::CameraPose camera_from_board;
  std::string name;  // of its file; empty when live
};

// What a person says of the hoop.
struct TeachingWords {
  enum class Height { usual, typed, measured };
  std::string name;
  Height height = Height::usual;  // where the rim's height comes from
  double cloth_height_mm = calib::kUsualClothHeightMm;
  cv::Size2d field_mm;  // empty: the suggested one
  bool field_is_round = false;
  vision::NorthBy north_by = vision::NorthBy::taught;
  int north_mark = 450;
};

class Teaching {
 public:
  // `ring` as it was found in `first`, at any rim height; notches that were not found are for a person to show.
  Teaching(vision::Station station, TeachingFrame first, calib::TaughtRing ring);

  const vision::Station& station() const { return station_; }
  // 0: the first one, in which the outlines are drawn and mended.
  const TeachingFrame& frame(std::size_t number = 0) const { return frames_[number]; }
  const calib::TaughtRing& ring() const { return now_.ring; }
  const TeachingWords& words() const { return now_.words; }
  // Outlines and notches in the first frame.
  const calib::RingPicture& picture() const { return picture_; }
  double rim_height_mm() const { return now_.ring.hoop.rim_height_mm; }
  cv::Size2d field_mm() const;
  bool field_is_round() const;

  // Each is one step to take back.
  void set_north(vision::Side side);
  void put_notch(vision::Side side, cv::Point2d image_px, int teeth = 0);
  void drag_outline(bool inner, cv::Point2d image_px);
  // Held within calib's least and most height.
  void set_rim_height(double height_mm, TeachingWords::Height where_from = TeachingWords::Height::typed);
  void set_cloth_height(double height_mm);
  void set_field(cv::Size2d field_mm, bool is_round);
  void set_north_by(vision::NorthBy north_by, int north_mark = 450);
  void set_name(const std::string& name);
  // What was changed so far is where the person begins: it is not taken back.
  void forget_steps();
  bool can_undo() const { return !before_.empty(); }
  bool undo();

  // Whether this notch was found or put by a person.
  bool notch_is_known(vision::Side side) const;

  // More pictures, the hoop shifted and turned by hand.
  void add_frame(TeachingFrame frame);
  std::size_t frame_count() const { return frames_.size(); }
  // By parallax over all frames; may take a second. Nothing with one frame.
  std::optional<calib::RimHeight> found_height() const;
  // Whether the hoop is found again in the other frames; may take a second. Nothing with one frame.
  std::optional<calib::CheckOutcome> check() const;

  // Why the hoop cannot be kept yet, a sentence each; empty when it can be. The name is not looked at without
  // `with_name`.
  std::vector<std::string> missing(bool with_name = true) const;
  // Something that holds whatever is changed, such as that the pictures are rendered ones.
  void add_doubt(std::string sentence) { lasting_doubts_.push_back(std::move(sentence)); }
  // What a person should look at.
  std::vector<std::string> doubts() const;
  // Only with nothing missing it is a hoop file.
  vision::Hoop hoop() const;

 private:
  struct State {
    calib::TaughtRing ring;
    TeachingWords words;
    std::array<bool, 4> put{};  // notches that a person put
  };
  // Remembers how it was. Changes of one name that follow one another are one step; "" is always a step.
  void step(const char* what);
  void changed();

  vision::Station station_;
  std::vector<TeachingFrame> frames_;
  std::vector<std::string> lasting_doubts_;
  State now_;
  std::vector<State> before_;
  const char* last_step_ = "";
  calib::RingPicture picture_;
  mutable std::optional<calib::RimHeight> height_;
  mutable std::optional<calib::CheckOutcome> check_;
};

}  // namespace app
