#include "app/hoops/teaching.h"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <string_view>
#include <utility>

#include "app/format.h"
#include "app/hoops/catalogue.h"
#include "app/hoops/hoop_words.h"
#include "app/names.h"
#include "app/words/words.h"
#include "calib/file_text.h"

namespace app {
namespace {

constexpr std::size_t kMostSteps = 200;
constexpr double kMostCloth_mm = 10.0;
constexpr double kLeastField_mm = 5.0, kMostField_mm = 2000.0;

std::size_t index(vision::Side side) { return static_cast<std::size_t>(side); }

// The message of a hoop file's fault without the file's name and line, which a person at the screen has not.
std::string without_place(const std::string& message) {
  const auto at = message.find(": ");
  return at == std::string::npos ? message : message.substr(at + 2);
}

}  // namespace

Teaching::Teaching(vision::Station station, TeachingFrame first, calib::TaughtRing ring)
    : station_(std::move(station)) {
  frames_.push_back(std::move(first));
  now_.ring = std::move(ring);
  changed();
}

void Teaching::step(const char* what) {
  // Typing a name or stepping a number goes back as one.
  const bool goes_on = !before_.empty() && std::string_view(what) == last_step_ && *what != '\0';
  last_step_ = what;
  if (goes_on) return;
  before_.push_back(now_);
  if (before_.size() > kMostSteps) before_.erase(before_.begin());
}

void Teaching::changed() {
  picture_ = calib::picture_of(now_.ring, station_, frame().camera_from_board);
  check_.reset();
}

cv::Size2d Teaching::field_mm() const {
  return now_.words.field_mm.empty() ? calib::suggested_field_mm(now_.ring) : now_.words.field_mm;
}

bool Teaching::field_is_round() const {
  return now_.words.field_mm.empty() ? now_.ring.shape == calib::RingShape::round : now_.words.field_is_round;
}

void Teaching::set_north(vision::Side side) {
  if (side == vision::Side::north) return;
  step("");
  now_.ring = calib::with_north(now_.ring, side);
  // The names turned with it: what was put at `side` is north now.
  std::rotate(now_.put.begin(), now_.put.begin() + static_cast<std::ptrdiff_t>(index(side)), now_.put.end());
  changed();
}

void Teaching::put_notch(vision::Side side, cv::Point2d image_px, int teeth) {
  step("");
  now_.ring = calib::with_notch(now_.ring, frame().grey, station_, frame().camera_from_board, side, image_px, teeth);
  now_.put[index(side)] = true;
  changed();
}

void Teaching::drag_outline(bool inner, cv::Point2d image_px) {
  step("");
  now_.ring = calib::with_outline_point(now_.ring, frame().grey, station_, frame().camera_from_board, inner, image_px);
  height_.reset();
  changed();
}

void Teaching::set_rim_height(double height_mm, TeachingWords::Height where_from) {
  if (!std::isfinite(height_mm)) return;
  step("rim");
  height_mm = std::clamp(height_mm, calib::kLeastRimHeightMm, calib::kMostRimHeightMm);
  now_.ring = calib::with_rim_height(now_.ring, station_, frame().camera_from_board, height_mm);
  now_.words.height = where_from;
  changed();
}

void Teaching::set_cloth_height(double height_mm) {
  if (!std::isfinite(height_mm)) return;
  step("cloth");
  now_.words.cloth_height_mm = std::clamp(height_mm, 0.0, kMostCloth_mm);
}

void Teaching::set_field(cv::Size2d field, bool is_round) {
  if (!std::isfinite(field.width) || !std::isfinite(field.height)) return;
  step("field");
  now_.words.field_mm = {std::clamp(field.width, kLeastField_mm, kMostField_mm),
                         std::clamp(field.height, kLeastField_mm, kMostField_mm)};
  if (is_round) now_.words.field_mm.height = now_.words.field_mm.width;
  now_.words.field_is_round = is_round;
}

void Teaching::set_north_by(vision::NorthBy north_by, int north_mark) {
  step("north by");
  check_.reset();
  now_.words.north_by = north_by;
  now_.words.north_mark = std::clamp(north_mark, 450, 479);
}

void Teaching::set_name(const std::string& name) {
  step("name");
  now_.words.name = name;
}

void Teaching::forget_steps() {
  before_.clear();
  last_step_ = "";
}

bool Teaching::undo() {
  if (before_.empty()) return false;
  now_ = std::move(before_.back());
  before_.pop_back();
  last_step_ = "";
  height_.reset();
  changed();
  return true;
}

bool Teaching::notch_is_known(vision::Side side) const {
  return now_.ring.notch_found[index(side)] || now_.put[index(side)];
}

void Teaching::add_frame(TeachingFrame frame) {
  frames_.push_back(std::move(frame));
  height_.reset();
  check_.reset();
}

std::optional<calib::RimHeight> Teaching::found_height() const {
  if (frames_.size() < 2) return std::nullopt;
  if (!height_) {
    std::vector<calib::HeightFrame> frames;
    for (const TeachingFrame& one : frames_) frames.push_back({one.grey, one.camera_from_board});
    height_ = calib::rim_height_from(now_.ring, station_, frames);
  }
  return height_;
}

std::optional<calib::CheckOutcome> Teaching::check() const {
  if (frames_.size() < 2) return std::nullopt;
  if (!check_) {
    calib::TaughtRing ring = now_.ring;
    ring.hoop.north_by = now_.words.north_by;
    calib::HoopCheck check(ring, station_);
    for (std::size_t i = 1; i < frames_.size(); ++i) check.take(frames_[i].grey);
    check_ = check.outcome();
  }
  return check_;
}

vision::Hoop Teaching::hoop() const {
  const TeachingWords& words = now_.words;
  vision::Hoop hoop = calib::hoop_file_from(now_.ring, tidy_name(words.name), field_mm(), words.cloth_height_mm);
  hoop.field_mm = field_mm();
  hoop.field_is_round = field_is_round();
  hoop.north_by = words.north_by;
  hoop.north_mark = words.north_by == vision::NorthBy::mark ? words.north_mark : 0;
  return hoop;
}

std::vector<std::string> Teaching::missing(bool with_name) const {
  std::vector<std::string> out;
  std::string notches;
  for (const vision::Side side : vision::kSides)
    if (!notch_is_known(side)) notches.append(notches.empty() ? "" : ", ").append(tr(std::string(side_name(side))));
  if (!notches.empty()) out.push_back(format(tr("Not all notches are known: show where these are: %s."), notches));
  if (now_.words.north_by == vision::NorthBy::taught && !calib::north_can_be_told(now_.ring))
    out.push_back(
        tr("The notches do not tell north from the other sides: stick a north mark on the rim, or use a fixture."));
  if (with_name) {
    const std::string fault = fault_of_name(tidy_name(now_.words.name));
    if (!fault.empty()) out.push_back(format(tr("The name does not do: %s."), tr(fault)));
  }
  if (!out.empty()) return out;
  vision::Hoop as_file = hoop();
  if (!with_name) as_file.name = std::string("not named yet");
  try {
    calib::hoop_from_text(calib::text_of(as_file), "hoop");
  } catch (const calib::FileError& error) {
    out.push_back(without_place(error.what()).append("."));
  }
  return out;
}

std::vector<std::string> Teaching::doubts() const {
  std::vector<std::string> out = lasting_doubts_;
  for (const std::string& doubt : now_.ring.doubts) out.push_back(tr(doubt));
  if (std::string doubt = doubt_of_field(field_mm(), field_is_round(), opening_mm(now_.ring.hoop)); !doubt.empty())
    out.push_back(std::move(doubt));
  if (now_.words.height == TeachingWords::Height::usual)
    out.emplace_back(
        tr("The rim's height was not given: the usual one was taken. Measure it, for it moves the outlines."));
  if (now_.words.height == TeachingWords::Height::typed) {
    const auto found = found_height();
    if (found && found->fault == calib::HeightFault::none) {
      const calib::HeightComparison comparison = calib::compare_heights(*found, rim_height_mm());
      if (!comparison.agree) out.push_back(comparison.sentence);
    }
  }
  if (const auto checked = check()) {
    const auto lost = std::count_if(checked->frames.begin(), checked->frames.end(),
                                    [](const calib::CheckedFrame& frame) { return !frame.found; });
    if (lost > 0)
      out.push_back(
          format(tr("In %d of %d other pictures the hoop was not found again: check the outlines and the rim's "
                    "height."),
                 static_cast<int>(lost), static_cast<int>(checked->frames.size())));
    if (checked->complete && !checked->good) out.push_back(checked->sentence);
  }
  return out;
}

}  // namespace app
