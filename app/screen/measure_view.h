// The first view: the live picture, the nudge in large digits, how sure it is, and what the station runs on.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/board_watch.h"
#include "app/kept_hoop.h"
#include "app/screen/layout.h"
#include "app/screen/live_picture.h"
#include "app/screen/readout.h"
#include "app/screen/target_diagram.h"
#include "app/screen/view.h"
#include "vision/station.h"

namespace app {

class MeasureView : public View {
 public:
  MeasureView(vision::Station station, vision::Hoop hoop);

  void take(Measured measured) override;
  void draw(Canvas& canvas, Text& text, cv::Size screen, const StationState& state) override;
  void textures_lost() override { picture_.textures_lost(); }

 private:
  void draw_picture(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state);
  void draw_proof(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state) const;
  void draw_readout(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state);
  void draw_verdict(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state) const;
  void draw_status(Text& text, const MeasureLayout& layout, const StationState& state) const;
  // The small lines of the verdict.
  std::vector<std::string> details(const StationState& state) const;
  // What is to be said plainly over the picture: of the frames' source, of the board.
  std::string notice(const StationState& state) const;
  // What the digits show now, if anything.
  const Guide* shown(const StationState& state) const;

  vision::Station station_;
  vision::Hoop hoop_;
  Tolerance tolerance_;
  std::optional<vision::FrameResult> result_;
  KeptHoop kept_;
  BoardWatch board_;
  std::optional<Guide> shown_;  // the reading, or the way to a hoop that the cloth hides
  Frame pending_;               // pixels that are not yet on the texture
  cv::Size frame_size_;
  RegionChooser chooser_;
  LivePicture picture_;
  Readout readout_;
  TargetDiagram diagram_;
};

}  // namespace app
