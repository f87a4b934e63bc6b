#include "app/screen/measure_view.h"

#include <cstdio>
#include <utility>

#include "app/advice.h"
#include "app/format.h"
#include "app/screen/notice.h"
#include "app/screen/symbols.h"

namespace app {
namespace {

constexpr std::string_view kCaution =
    "Keep hands, hair and sleeves away from the needle. The machine's manual comes first.";

// Two figures are enough for an uncertainty; it is never rounded to nothing.
std::string uncertainty(double u) { return format(u < 0.995 ? "±%.2f" : "±%.1f", std::max(u, 0.005)); }

}  // namespace

MeasureView::MeasureView(vision::Station station, vision::Hoop hoop)
    : station_(std::move(station)), hoop_(std::move(hoop)), board_(station_) {}

void MeasureView::take(Measured measured) {
  const vision::FrameResult& result = measured.result;
  chooser_.update(station_, result);
  kept_.update(result);
  board_.update(result);
  shown_ =
      result.reading && result.board_from_hoop ? Guide{*result.reading, *result.board_from_hoop} : kept_.guide(result);
  if (shown_) {
    readout_.update(shown_->reading, shown_->board_from_hoop, tolerance_);
  } else {
    readout_.forget();
  }
  pending_ = std::move(measured.frame);
  frame_size_ = pending_.grey.size();
  result_ = std::move(measured.result);
}

const Guide* MeasureView::shown(const StationState& state) const {
  return !state.stale && state.trouble.empty() && shown_ ? &*shown_ : nullptr;
}

void MeasureView::draw(Canvas& canvas, Text& text, cv::Size screen, const StationState& state) {
  tolerance_ = state.tolerance;
  const MeasureLayout layout = measure_layout(screen.width, screen.height);
  canvas.clear(theme::kGround);
  draw_picture(canvas, text, layout, state);
  draw_readout(canvas, text, layout, state);
  const Guide* guide = shown(state);
  const bool ring = !state.stale && result_ && result_->board_from_hoop;
  diagram_.draw(canvas, text, layout.scale, layout.diagram, tolerance_, guide != nullptr ? &guide->reading : nullptr,
                guide != nullptr ? &guide->board_from_hoop
                : ring           ? &*result_->board_from_hoop
                                 : nullptr);
  draw_verdict(canvas, text, layout, state);
  draw_status(text, layout, state);
}

std::string MeasureView::notice(const StationState& state) const {
  std::string said = state.notice;
  if (!state.stale)
    for (const std::string& note : board_.notes()) said += (said.empty() ? "" : "  ") + note;
  return said;
}

void MeasureView::draw_picture(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state) {
  SDL_FRect area = layout.picture;
  if (const std::string said = notice(state); !said.empty()) {
    const float band = layout.scale.mm(kNotice_mm);
    draw_notice(canvas, text, layout.scale, {area.x, area.y, area.w, band}, said);
    area.y += band;
    area.h -= band;
  }
  canvas.rect(area, theme::kPanel);
  if (!pending_.grey.empty()) {
    const PictureRegion region = fit_region(frame_size_, chooser_.wanted(frame_size_), chooser_.quarter_turns(), area);
    picture_.upload(canvas.renderer(), pending_.grey, region);
    pending_ = {};  // back to its source
  }
  picture_.draw(canvas);
  if (result_ && !picture_.empty() && !state.stale) {
    if (shown_ && !result_->reading) draw_kept_ring(canvas, layout.scale, picture_.region(), kept_);
    draw_overlay(canvas, text, layout.scale, picture_.region(), station_, hoop_, *result_);
  }
  draw_proof(canvas, text, layout, state);
}

// Over the picture's upper edge, so that nothing jumps when the hoop comes.
void MeasureView::draw_proof(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state) const {
  const bool working = result_ && result_->board_from_hoop;
  if (state.proof.empty() || !state.notice.empty() || working) return;
  const SDL_FRect band{layout.picture.x, layout.picture.y, layout.picture.w, layout.scale.mm(kNotice_mm)};
  if (state.proof_wanted) return draw_notice(canvas, text, layout.scale, band, state.proof);
  draw_quiet_notice(canvas, text, layout.scale, band, state.proof);
}

void MeasureView::draw_readout(Canvas& canvas, Text& text, const MeasureLayout& layout, const StationState& state) {
  if (shown(state) != nullptr) return readout_.draw_rows(canvas, text, layout);
  if (!state.trouble.empty()) {
    return readout_.draw_reason(canvas, text, layout, vision::Status::no_board, "No picture", state.trouble);
  }
  if (state.stale || !result_) {
    const std::string_view sentence = result_ ? "No new picture has come for two seconds. Check the camera's cable."
                                              : "The first picture has not come yet.";
    return readout_.draw_reason(canvas, text, layout, vision::Status::too_dark, result_ ? "No picture" : "Starting",
                                sentence);
  }
  readout_.draw_reason(canvas, text, layout, result_->status, headline(result_->status), advice(result_->status));
}

void MeasureView::draw_verdict(Canvas& canvas, Text& text, const MeasureLayout& layout,
                               const StationState& state) const {
  const Scale& scale = layout.scale;
  const SDL_FRect& area = layout.verdict;
  canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
  const float pad = scale.mm(3.2);
  const float radius = scale.mm(3.6);
  const SDL_FPoint sign{area.x + pad + radius, area.y + pad + radius};
  std::string words = "No reading";
  Colour colour = theme::kTrouble;
  if (shown(state) != nullptr) {
    words = readout_.within().both() && !result_->reading ? "Press the ring" : readout_.verdict();
    colour = readout_.within().both() ? theme::kWithin : theme::kMove;
    readout_.draw_verdict_sign(canvas, sign, radius);
  } else {
    canvas.circle(sign, 0.8F * radius, scale.mm(0.7), colour);
    canvas.line({sign.x - 0.4F * radius, sign.y}, {sign.x + 0.4F * radius, sign.y}, scale.mm(0.9), colour);
  }
  const float left = sign.x + radius + scale.mm(2.4);
  const TextStyle large = text.fitted({Weight::bold, scale.text_mm(4.2)}, words, area.x + area.w - pad - left);
  text.draw(large, {left, sign.y + static_cast<float>(large.height_px) / 2.0F}, words, colour);

  const TextStyle small{Weight::regular, scale.text_mm(2.2)};
  float y = sign.y + radius + scale.mm(1.2);
  for (const std::string& line : details(state)) {
    y += scale.mm(4.9);
    text.draw(text.fitted(small, line, area.w - 2.0F * pad), {area.x + pad, y}, line, theme::kTextQuiet);
  }
}

std::vector<std::string> MeasureView::details(const StationState& state) const {
  std::vector<std::string> lines;
  if (shown(state) != nullptr && result_->reading) {
    const vision::Reading& r = *result_->reading;
    lines.push_back("Sure to " + uncertainty(r.u_offset_mm) + " mm and " + uncertainty(r.u_rotation_deg) + "°");
  } else if (shown(state) != nullptr) {
    lines.emplace_back("A guide to the hoop as set, no reading yet");
  }
  lines.push_back(format("Tolerance %g mm, %g°", tolerance_.offset_mm, tolerance_.rotation_deg));
  if (result_ && !state.stale) {
    lines.push_back(format("%d of %d board marks, %d of 4 notches", static_cast<int>(result_->board_marks.size()),
                           static_cast<int>(station_.board_marks.size()), result_->notches_seen));
  }
  lines.push_back("Hoop " + hoop_.name);
  return lines;
}

void MeasureView::draw_status(Text& text, const MeasureLayout& layout, const StationState& state) const {
  const SDL_FRect& area = layout.status;
  const TextStyle style{Weight::regular, layout.scale.text_mm(1.9)};
  std::string service = state.source;
  if (state.frames_per_s > 0.0) service += format("  ·  %.1f frames/s, %.0f ms", state.frames_per_s, state.latency_ms);
  const float half_digit = static_cast<float>(style.height_px) / 2.0F;
  // Where there is no room for both on one line, there is room for two lines.
  const bool two_lines = area.h > 9.0F * half_digit;
  const float upper = area.y + (two_lines ? area.h * 0.3F : area.h * 0.5F) + half_digit;
  const float lower = area.y + (two_lines ? area.h * 0.72F : area.h * 0.5F) + half_digit;
  const float service_width = text.draw_right(style, {area.x + area.w, lower}, service, theme::kTextQuiet);
  const float room = two_lines ? area.w : area.w - service_width - layout.scale.mm(4.0);
  text.draw(text.fitted(style, kCaution, room), {area.x, upper}, kCaution, theme::kTextQuiet);
}

}  // namespace app
