#include "app/work/card_watch.h"

#include <algorithm>

namespace app {
namespace {

// Of a tag's side: further is a move.
constexpr double kMoveShare = 0.05;

cv::Point2d centre_px(const vision::SeenTag& tag) {
  return 0.25 * (tag.corners_px[0] + tag.corners_px[1] + tag.corners_px[2] + tag.corners_px[3]);
}

}  // namespace

void CardWatch::put(const vision::SeenTag& tag) {
  auto card = std::find_if(cards_.begin(), cards_.end(), [&](const Card& one) { return one.id == tag.id; });
  if (card == cards_.end()) {
    cards_.push_back({});
    card = std::prev(cards_.end());
    card->id = tag.id;
  }
  const cv::Point2d place_px = centre_px(tag);
  const double side_px = cv::norm(tag.corners_px[1] - tag.corners_px[0]);
  const bool rests = card->frames > 0 && cv::norm(place_px - card->rest_px) < kMoveShare * side_px;
  if (!rests) {
    card->rest_px = place_px;
    card->rests_since_s = now_s_;
    card->frames = 0;
  }
  ++card->frames;
  card->seen_s = now_s_;
}

std::vector<int> CardWatch::see(const std::vector<vision::SeenTag>& tags, double time_s) {
  if (const auto step = time_.step(time_s)) {
    now_s_ += *step;
  } else {
    frames_lost();
    time_.step(time_s);
  }
  for (const vision::SeenTag& tag : tags)
    if (tag.id >= kFirstCard && tag.id <= kLastCard) put(tag);
  std::erase_if(cards_, [&](const Card& card) { return now_s_ - card.seen_s > (card.counted ? kGone_s : kBlink_s); });
  std::vector<int> laid;
  for (Card& card : cards_) {
    if (card.counted || card.frames < kLeastFrames || now_s_ - card.rests_since_s < kLain_s) continue;
    card.counted = true;
    laid.push_back(card.id);
  }
  std::sort(laid.begin(), laid.end());
  return laid;
}

void CardWatch::frames_lost() {
  time_.forget();
  std::erase_if(cards_, [](const Card& card) { return !card.counted; });
  for (Card& card : cards_) card.seen_s = now_s_;
}

}  // namespace app
