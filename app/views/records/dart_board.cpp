#include "app/views/records/dart_board.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "app/units.h"

namespace app {
namespace {

constexpr double kLeastTolerances = 1.35, kMostTolerances = 3.0;  // from the middle to the rim
constexpr double kCaption_mm = 2.1;
constexpr int kMostRings = 5;
constexpr double kLabelled = 0.98;  // of the reach: the rim itself has no number
constexpr Colour kBoard{23, 32, 40};
constexpr Colour kInside{27, 45, 47};  // within the tolerance

// Round distances, in the unit of the screen.
double ring_step_mm(double reach_mm, Units units) {
  constexpr std::array kMm{0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0};
  constexpr std::array kInch{0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0};
  for (const double step : units == Units::mm ? kMm : kInch)
    if (reach_mm / mm_from(step, units) <= kMostRings) return mm_from(step, units);
  return reach_mm;
}

void draw_rings(Canvas& canvas, Text& text, const Scale& scale, const DartBoardScale& board, Units units) {
  const float rim = board.px_per_mm * static_cast<float>(board.reach_mm), line = scale.mm(0.2);
  canvas.disc(board.middle, rim, kBoard);
  if (board.tolerance_mm > 0.0)
    canvas.disc(board.middle, board.px_per_mm * static_cast<float>(board.tolerance_mm), kInside);
  const double step = ring_step_mm(board.reach_mm, units);
  const TextStyle small{Weight::regular, scale.text_mm(kCaption_mm)};
  canvas.line({board.middle.x - rim, board.middle.y}, {board.middle.x + rim, board.middle.y}, line, theme::kRule);
  canvas.line({board.middle.x, board.middle.y - rim}, {board.middle.x, board.middle.y + rim}, line, theme::kRule);
  for (double r = step; r <= board.reach_mm * 1.001; r += step)
    canvas.circle(board.middle, board.px_per_mm * static_cast<float>(r), line, theme::kRule);
  canvas.circle(board.middle, rim, scale.mm(0.3), theme::kRule);
  // Inside of its ring, below the line across, where it has room; the outermost says the unit.
  const int rings = static_cast<int>(kLabelled * board.reach_mm / step);
  float room = board.middle.x + rim;
  for (int i = rings; i > 0; --i) {
    const double r = step * i;
    const SDL_FPoint at = board.at(r, 0.0);
    const std::string label =
        i == rings ? length_text(r, LengthKind::guide, units) : length_number(r, LengthKind::guide, units);
    const float right = at.x - scale.mm(0.7), left = right - static_cast<float>(text.width(small, label));
    if (right > room || left < board.middle.x) continue;
    text.draw_right(small, {right, at.y + static_cast<float>(small.height_px) + scale.mm(0.8)}, label,
                    theme::kTextQuiet);
    room = left - scale.mm(0.7);
  }
  if (board.tolerance_mm > 0.0)
    canvas.circle(board.middle, board.px_per_mm * static_cast<float>(board.tolerance_mm), scale.mm(0.6), theme::kText);
}

// A disc within, a triangle outside; hollow on the rim where it lies beyond.
void draw_piece(Canvas& canvas, const Scale& scale, const DartBoardScale& board, const PieceRow& row, bool newest) {
  SDL_FPoint at = board.at(row.offset_x_mm, row.offset_y_mm);
  const double distance = std::hypot(row.offset_x_mm, row.offset_y_mm);
  const bool beyond = distance > board.reach_mm;
  if (beyond) {
    const double shrink = board.reach_mm / distance;
    at = board.at(shrink * row.offset_x_mm, shrink * row.offset_y_mm);
  }
  const float size = scale.mm(1.15);
  if (placed(row).within()) {
    canvas.disc(at, scale.mm(1.1), theme::kGround);
    canvas.disc(at, scale.mm(0.85), theme::kWithin);
  } else {
    const auto triangle = [at](float s) {
      return std::array<SDL_FPoint, 3>{{{at.x, at.y - s}, {at.x + s, at.y + 0.8F * s}, {at.x - s, at.y + 0.8F * s}}};
    };
    canvas.polygon(triangle(size * 1.35F), theme::kGround);
    canvas.polygon(triangle(size), theme::kTrouble);
    if (beyond) canvas.polygon(triangle(size * 0.5F), kBoard);
  }
  if (newest) canvas.circle(at, scale.mm(2.2), scale.mm(0.5), theme::kText);
}

// The mean, with the interval that holds it in 95 of 100 cases, right and up each by itself.
void draw_mean(Canvas& canvas, const Scale& scale, const DartBoardScale& board, const OffsetScatter& offset) {
  if (!std::isfinite(offset.mean_x_mm.low) || !std::isfinite(offset.mean_y_mm.low)) return;
  const auto held = [&](double mm) { return std::clamp(mm, -board.reach_mm, board.reach_mm); };
  const SDL_FPoint mean = board.at(held(offset.mean_mm.x), held(offset.mean_mm.y));
  const SDL_FPoint low = board.at(held(offset.mean_x_mm.low), held(offset.mean_y_mm.low));
  const SDL_FPoint high = board.at(held(offset.mean_x_mm.high), held(offset.mean_y_mm.high));
  const float cap = scale.mm(1.0);
  for (const auto& [width, colour] : {std::pair{scale.mm(1.2), theme::kGround}, {scale.mm(0.6), theme::kMove}}) {
    canvas.line({low.x, mean.y}, {high.x, mean.y}, width, colour);
    canvas.line({mean.x, low.y}, {mean.x, high.y}, width, colour);
    for (const float x : {low.x, high.x}) canvas.line({x, mean.y - cap}, {x, mean.y + cap}, width, colour);
    for (const float y : {low.y, high.y}) canvas.line({mean.x - cap, y}, {mean.x + cap, y}, width, colour);
  }
}

void draw_dashed_circle(Canvas& canvas, SDL_FPoint middle, float radius, float width, Colour colour) {
  constexpr int kDashes = 36;
  for (int i = 0; i < kDashes; ++i) {
    const double from = 360.0 * i / kDashes;
    canvas.arc(middle, radius, from, from + 180.0 / kDashes, width, colour);
  }
}

}  // namespace

DartBoardScale dart_board_scale(const SDL_FRect& area, std::span<const PieceRow> pieces) {
  DartBoardScale board;
  board.middle = {area.x + area.w / 2.0F, area.y + area.h / 2.0F};
  std::vector<double> distances;
  for (const PieceRow& row : pieces) distances.push_back(std::hypot(row.offset_x_mm, row.offset_y_mm));
  if (!pieces.empty()) board.tolerance_mm = pieces.back().tolerance_mm;
  const double largest = distances.empty() ? 0.0 : *std::max_element(distances.begin(), distances.end());
  board.reach_mm = std::max(1.12 * largest, 0.5);
  if (board.tolerance_mm > 0.0)
    board.reach_mm =
        std::clamp(board.reach_mm, kLeastTolerances * board.tolerance_mm, kMostTolerances * board.tolerance_mm);
  board.px_per_mm = std::min(area.w, area.h) / 2.0F / static_cast<float>(board.reach_mm);
  return board;
}

bool circle_shown(const PlacementFigures& figures) {
  return figures.count >= kPiecesForCircle && std::isfinite(figures.circle.radius_mm);
}

void draw_dart_board(Canvas& canvas, Text& text, const Scale& scale, const SDL_FRect& area,
                     std::span<const PieceRow> pieces, const PlacementFigures* figures, Units units) {
  const float margin = scale.mm(1.5);
  const SDL_FRect inner{area.x + margin, area.y + margin, area.w - 2.0F * margin, area.h - 2.0F * margin};
  const DartBoardScale board = dart_board_scale(inner, pieces);
  draw_rings(canvas, text, scale, board, units);
  if (figures != nullptr && circle_shown(*figures) && figures->circle.radius_mm <= board.reach_mm)
    draw_dashed_circle(canvas, board.middle, board.px_per_mm * static_cast<float>(figures->circle.radius_mm),
                       scale.mm(0.5), theme::kRing);
  for (std::size_t i = 0; i < pieces.size(); ++i) draw_piece(canvas, scale, board, pieces[i], i + 1 == pieces.size());
  if (figures != nullptr && figures->count >= 3) draw_mean(canvas, scale, board, figures->offset);
}

}  // namespace app
