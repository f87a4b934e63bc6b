// What the station read of the proof sheet, sorted by place and turn.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "calib/proof_sheet.h"
#include "vision/geometry.h"

namespace calib {

inline constexpr std::size_t kProofStickerCount = kProofStickers.size();

// One frame of the sheet in which the ring and all five stickers were read, in the order of kProofStickers.
struct ProofFrame {
  std::string name;  // of the picture; empty for live ones
  vision::Pose2 board_from_sheet;
  std::array<vision::Pose2, kProofStickerCount> sheet_from_sticker;
  // As the readings state them, k = 2.
  std::array<double, kProofStickerCount> u_offset_mm{}, u_rotation_deg{};
};

enum class ProofTurn { upright, turned };

// How far the sheet's turn on the board may be off upright or half a turn, and what counts as the same place of its
// middle.
inline constexpr double kProofTurnLimitDeg = 30.0;
inline constexpr double kProofPlaceMm = 25.0;

// Nothing for a sheet that lies sideways.
std::optional<ProofTurn> turn_of(const vision::Pose2& board_from_sheet);

struct ProofPlace {
  cv::Point2d middle_mm;  // of its first frame, board frame
  std::array<std::vector<ProofFrame>, 2> frames;

  const std::vector<ProofFrame>& at(ProofTurn turn) const { return frames[static_cast<std::size_t>(turn)]; }
  std::vector<ProofFrame>& at(ProofTurn turn) { return frames[static_cast<std::size_t>(turn)]; }
  bool has_both() const { return !frames[0].empty() && !frames[1].empty(); }
};

class ProofReadings {
 public:
  // Sorted in by the sheet's pose: the nearest place within kProofPlaceMm, else a new one. False for a sheet that lies
  // sideways.
  bool add(ProofFrame frame);
  // Takes the last one back; false when there is none.
  bool undo();

  const std::vector<ProofPlace>& places() const { return places_; }
  // The place that a sheet there belongs to.
  std::optional<std::size_t> place_at(cv::Point2d middle_mm) const;
  std::size_t frames() const { return order_.size(); }

 private:
  std::vector<ProofPlace> places_;
  std::vector<std::pair<std::size_t, ProofTurn>> order_;
};

}  // namespace calib
