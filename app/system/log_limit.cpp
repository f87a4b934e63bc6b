#include "app/system/log_limit.h"

namespace app {

std::optional<std::string> LogLimit::pass(const std::string& text, double now_s) {
  forget_old(now_s);
  const auto known = texts_.find(text);
  if (known != texts_.end() && now_s - known->second.written_s < limits_.same_s) {
    ++known->second.left_out;
    return std::nullopt;
  }
  if (in_window_ >= limits_.lines) {
    ++left_out_;
    return std::nullopt;
  }
  ++in_window_;
  std::string out = text;
  if (known != texts_.end() && known->second.left_out > 0)
    out += " (" + std::to_string(known->second.left_out) + " times more since the last time)";
  if (left_out_ > 0) out += " (" + std::to_string(left_out_) + " other lines were left out before)";
  left_out_ = 0;
  texts_[text] = {now_s, 0};
  return out;
}

void LogLimit::forget_old(double now_s) {
  if (in_window_ == 0 || now_s - window_start_s_ >= limits_.window_s) {
    window_start_s_ = now_s;
    in_window_ = 0;
  }
  // Those with something left out are kept for their word on it, within reason.
  constexpr std::size_t kMost = 500;
  std::erase_if(texts_, [&](const auto& one) {
    const bool old = now_s - one.second.written_s >= limits_.same_s;
    return old && (one.second.left_out == 0 || texts_.size() > kMost);
  });
}

}  // namespace app
