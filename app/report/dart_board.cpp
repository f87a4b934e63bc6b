#include <algorithm>
#include <cmath>

#include "app/report/plot_axis.h"
#include "app/report/plots.h"

namespace app {
namespace {

constexpr double kSide = 420.0, kHalf = 196.0, kLegend = 66.0;
const cv::Point2d kMiddle{kSide / 2.0, kSide / 2.0 - 6.0};

class Board {
 public:
  Board(const DartBoard& board, const ReportWords& words)
      : board_(board),
        words_(words),
        reach_mm_(reach_mm(board)),
        svg_(kSide, kSide + kLegend, "Where the pieces lie about the mark",
             counted(board.pieces.size(), "piece", "pieces") + "; mean " + words.signed_length(board.mean_mm.x) + ' ' +
                 words.unit() + " to the right, " + words.signed_length(board.mean_mm.y) + ' ' + words.unit() +
                 " upward") {}

  Svg drawn() {
    rings();
    const double tolerance = board_.tolerance_mm * scale();
    if (tolerance > 0.0 && tolerance <= kHalf) svg_.circle("tolerance", kMiddle, tolerance);
    for (const PlacedPiece& piece : board_.pieces) mark(piece);
    if (board_.holding_mm * scale() <= kHalf) svg_.circle("holds", kMiddle, board_.holding_mm * scale());
    if (!board_.pieces.empty()) {
      svg_.cross("halo", at(board_.mean_mm), 10.0);
      svg_.cross("mean", at(board_.mean_mm), 9.0);
    }
    legend();
    return svg_;
  }

 private:
  static double reach_mm(const DartBoard& board) {
    double reach = std::max(1.45 * board.tolerance_mm, 0.5);
    if (std::isfinite(board.holding_mm)) reach = std::max(reach, 1.12 * board.holding_mm);
    return board.tolerance_mm > 0.0 ? std::min(reach, 3.0 * board.tolerance_mm) : reach;
  }
  double scale() const { return kHalf / reach_mm_; }
  cv::Point2d at(cv::Point2d mm) const { return {kMiddle.x + mm.x * scale(), kMiddle.y - mm.y * scale()}; }

  void rings() {
    svg_.circle("ground", kMiddle, kHalf);
    const double reach = in_units(reach_mm_, words_.units()), step = tick_step(reach, 5);
    for (const double ring : ticks(step, reach, 5)) {
      const double radius = mm_from(ring, words_.units()) * scale();
      svg_.circle("grid", kMiddle, radius);
      if (radius < kHalf - 12.0)
        svg_.text("quiet", {kMiddle.x + 3.0, kMiddle.y - radius + 12.0}, Anchor::start,
                  tick_text(ring, step) + ' ' + words_.unit());
    }
    svg_.line("grid", {kMiddle.x - kHalf, kMiddle.y}, {kMiddle.x + kHalf, kMiddle.y});
    svg_.line("grid", {kMiddle.x, kMiddle.y - kHalf}, {kMiddle.x, kMiddle.y + kHalf});
  }

  void mark(const PlacedPiece& piece) {
    const double distance = std::hypot(piece.offset_mm.x, piece.offset_mm.y);
    if (distance > reach_mm_)
      svg_.diamond("far", at(piece.offset_mm * (reach_mm_ / distance)), 5.0);
    else if (piece.within())
      svg_.disc("in", at(piece.offset_mm), 3.2);
    else
      svg_.triangle("out", at(piece.offset_mm), 5.0);
  }

  void legend() {
    const double first = kSide + 10.0, second = first + 22.0, third = second + 22.0;
    svg_.disc("in", {14.0, first - 4.0}, 3.6);
    svg_.text("", {26.0, first}, Anchor::start, "within its tolerance");
    svg_.triangle("out", {14.0, second - 4.0}, 5.0);
    svg_.text("", {26.0, second}, Anchor::start, "out of it, in place or turn");
    svg_.diamond("far", {14.0, third - 4.0}, 5.0);
    svg_.text("", {26.0, third}, Anchor::start, "beyond the board");
    const double left = 220.0;
    svg_.cross("mean", {left + 10.0, first - 4.0}, 7.0);
    svg_.text("", {left + 28.0, first}, Anchor::start, "mean of all pieces");
    if (board_.tolerance_mm > 0.0) {
      svg_.line("tolerance", {left, second - 4.0}, {left + 20.0, second - 4.0});
      svg_.text("", {left + 28.0, second}, Anchor::start, "tolerance, " + words_.length(board_.tolerance_mm));
    }
    if (std::isfinite(board_.holding_mm)) {
      svg_.line("holds", {left, third - 4.0}, {left + 20.0, third - 4.0});
      svg_.text("", {left + 28.0, third}, Anchor::start, "holds 95 of 100, " + words_.length(board_.holding_mm));
    }
  }

  const DartBoard& board_;
  const ReportWords& words_;
  double reach_mm_;
  Svg svg_;
};

}  // namespace

Svg dart_board(const DartBoard& board, const ReportWords& words) { return Board(board, words).drawn(); }

}  // namespace app
