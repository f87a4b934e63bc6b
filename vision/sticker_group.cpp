#include "vision/sticker_group.h"

#include <algorithm>
#include <cmath>

#include "vision/fits.h"

namespace vision {
namespace {

using Matx32 = cv::Matx<double, 3, 2>;
using Matx23 = cv::Matx<double, 2, 3>;

cv::Point2d turned(double angle_rad, cv::Point2d p) { return apply(Pose2{{0.0, 0.0}, angle_rad}, p); }

double squared(double value) { return value * value; }

// How the fitted pose (x, y, rad) of the design moves when the crosses move, for each: a rigid fit's first order.
std::vector<Matx32> gains(std::span<const cv::Point2d> in_design, std::span<const double> weights, double angle_rad) {
  cv::Point2d mean{0.0, 0.0};
  double sum = 0.0, spread = 0.0;
  for (std::size_t i = 0; i < in_design.size(); ++i) mean += weights[i] * in_design[i], sum += weights[i];
  mean *= 1.0 / sum;
  for (std::size_t i = 0; i < in_design.size(); ++i) {
    const cv::Point2d d = in_design[i] - mean;
    spread += weights[i] * d.dot(d);
  }
  // The design's origin lies at `lever` from the crosses' centre.
  const cv::Point2d lever = turned(angle_rad, -mean);
  std::vector<Matx32> gains;
  for (std::size_t i = 0; i < in_design.size(); ++i) {
    const cv::Point2d d = turned(angle_rad, in_design[i] - mean);
    const double move = weights[i] / sum;
    const double by_x = -weights[i] * d.y / spread, by_y = weights[i] * d.x / spread;  // of the turn
    gains.push_back({move - lever.y * by_x, -lever.y * by_y,                           //
                     lever.x * by_x, move + lever.x * by_y,                            //
                     by_x, by_y});
  }
  return gains;
}

cv::Matx22d place_covariance(const GroupMember& member) {
  const Covariance3& c = member.covariance;
  return {c(0, 0), c(0, 1), c(1, 0), c(1, 1)};
}

double larger_eigenvalue(const cv::Matx22d& m) {
  return 0.5 * (m(0, 0) + m(1, 1)) + std::hypot(0.5 * (m(0, 0) - m(1, 1)), m(0, 1));
}

class Group {
 public:
  Group(const StickerGroup& group, const std::vector<GroupMember>& members) : group_(group), members_(members) {
    for (const GroupMember& member : members) {
      const Pose2& place = group.stickers[member.index].design_from_sticker;
      fit_.design_from_sticker.push_back(place);
      fit_.board_from_sticker.push_back(member.board_from_sticker);
      const cv::Matx22d c = place_covariance(member);
      fit_.weights.push_back(1.0 / (squared(group.placed_u_mm) + 0.5 * (c(0, 0) + c(1, 1))));
      in_design_.push_back(place.origin_mm);
    }
  }

  // Whether the crosses hold a pose.
  bool solve() {
    if (members_.size() > 1) {
      std::vector<cv::Point2d> in_board;
      for (const GroupMember& member : members_) in_board.push_back(member.board_from_sticker.origin_mm);
      if (fit_rigid(in_design_, in_board, fit_.weights).status != FitStatus::ok) return false;
    }
    pose_ = fit_.board_from_design(fit_.board_from_sticker);
    if (members_.size() > 1) gains_ = gains(in_design_, fit_.weights, pose_.angle_rad);
    return true;
  }

  const Pose2& pose() const { return pose_; }
  const GroupFit& fit() const { return fit_; }

  Covariance3 measured() const {
    if (members_.size() == 1) {
      // The design's origin at the end of a lever from the cross.
      const cv::Point2d lever = pose_.origin_mm - members_.front().board_from_sticker.origin_mm;
      const cv::Matx33d by(1.0, 0.0, -lever.y, 0.0, 1.0, lever.x, 0.0, 0.0, 1.0);
      return by * members_.front().covariance * by.t();
    }
    Covariance3 sum = Covariance3::zeros();
    for (std::size_t i = 0; i < members_.size(); ++i) sum += gains_[i] * place_covariance(members_[i]) * gains_[i].t();
    return sum;
  }

  Covariance3 shared() const {
    Covariance3 sum = Covariance3::zeros();
    if (members_.size() == 1) return sum;
    for (std::size_t i = 0; i < members_.size(); ++i) {
      const cv::Point2d& p = members_[i].per_height;
      const cv::Vec3d by = gains_[i] * cv::Vec2d(p.x, p.y);
      sum += squared(group_.height_apart_u_mm) * (by * by.t());
    }
    if (members_.size() < group_.stickers.size()) sum += hidden();
    return sum;
  }

  // Which of the members disagree, and by how much each is off.
  bool check(std::vector<StickerCheck>& checks) const {
    bool all = true;
    const Covariance3 pose = with_placing();
    for (std::size_t i = 0; i < members_.size(); ++i) {
      StickerCheck& check = checks[members_[i].index];
      const Pose2 seen = compose(inverse(pose_), members_[i].board_from_sticker);
      const Pose2& place = fit_.design_from_sticker[i];
      check.off_mm = seen.origin_mm - place.origin_mm;
      check.turn_off_deg = wrapped_rad(seen.angle_rad - place.angle_rad) * kDegPerRad;
      if (members_.size() == 1) continue;
      const double turn_u =
          std::sqrt(squared(group_.placed_u_deg * kRadPerDeg) + members_[i].covariance(2, 2) + pose(2, 2));
      check.agrees = cv::norm(check.off_mm) <= place_limit(i) &&
                     std::abs(check.turn_off_deg) <= kDisagreesAt * turn_u * kDegPerRad;
      all = all && check.agrees;
    }
    return all;
  }

 private:
  cv::Matx22d placed(std::size_t i) const {
    return place_covariance(members_[i]) + squared(group_.placed_u_mm) * cv::Matx22d::eye();
  }

  Covariance3 with_placing() const {
    Covariance3 sum = Covariance3::zeros();
    for (std::size_t i = 0; i < gains_.size(); ++i) sum += gains_[i] * placed(i) * gains_[i].t();
    return sum;
  }

  // What a cross may be off by the way people stick and cloth stretches.
  double place_limit(std::size_t i) const {
    const cv::Point2d at = turned(pose_.angle_rad, in_design_[i]);
    const Matx23 by_pose(1.0, 0.0, -at.y, 0.0, 1.0, at.x);
    cv::Matx22d residual = cv::Matx22d::zeros();
    cv::Point2d mean{0.0, 0.0};
    for (std::size_t j = 0; j < members_.size(); ++j) {
      cv::Matx22d by = -(by_pose * gains_[j]);
      if (i == j) by += cv::Matx22d::eye();
      residual += by * placed(j) * by.t();
      mean += in_design_[j] * (1.0 / static_cast<double>(members_.size()));
    }
    return kDisagreesAt * std::sqrt(larger_eigenvalue(residual)) +
           group_.stretch_allowed * cv::norm(in_design_[i] - mean);
  }

  // The whole group's pose less that of its seen part, by how people stick.
  Covariance3 hidden() const {
    std::vector<cv::Point2d> all;
    for (const GroupSticker& sticker : group_.stickers) all.push_back(sticker.design_from_sticker.origin_mm);
    const std::vector<double> even(all.size(), 1.0);
    std::vector<Matx32> less = gains(all, even, pose_.angle_rad);
    for (std::size_t i = 0; i < members_.size(); ++i) less[members_[i].index] -= gains_[i];
    Covariance3 sum = Covariance3::zeros();
    for (const Matx32& by : less) sum += squared(group_.placed_u_mm) * (by * by.t());
    return sum;
  }

  const StickerGroup& group_;
  const std::vector<GroupMember>& members_;
  std::vector<cv::Point2d> in_design_;
  GroupFit fit_;
  Pose2 pose_;
  std::vector<Matx32> gains_;
};

// Where the others agree without one, and only without that one, it is to blame.
void blame_one(const StickerGroup& group, const std::vector<GroupMember>& members, std::vector<StickerCheck>& checks) {
  std::vector<StickerCheck> blamed;
  for (std::size_t i = 0; i < members.size(); ++i) {
    std::vector<GroupMember> others = members;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(i));
    std::vector<StickerCheck> without = checks;
    Group rest(group, others);
    if (!rest.solve() || !rest.check(without)) continue;
    const std::size_t culprit = members[i].index;
    const GroupSticker& one = group.stickers[culprit];
    const Pose2 seen = compose(inverse(rest.pose()), members[i].board_from_sticker);
    without[culprit].off_mm = seen.origin_mm - one.design_from_sticker.origin_mm;
    without[culprit].turn_off_deg = wrapped_rad(seen.angle_rad - one.design_from_sticker.angle_rad) * kDegPerRad;
    without[culprit].agrees = false;
    if (!blamed.empty()) return;
    blamed = without;
  }
  if (!blamed.empty()) checks = blamed;
}

}  // namespace

Pose2 GroupFit::board_from_design(std::span<const Pose2> board_from_members) const {
  if (board_from_members.size() == 1) return compose(board_from_members[0], inverse(design_from_sticker[0]));
  // Closed form: Umeyama, IEEE TPAMI 13(4), 1991, in the plane and without scale.
  cv::Point2d design{0.0, 0.0}, board{0.0, 0.0};
  double sum = 0.0, dot = 0.0, cross = 0.0;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    design += weights[i] * design_from_sticker[i].origin_mm;
    board += weights[i] * board_from_members[i].origin_mm;
    sum += weights[i];
  }
  design *= 1.0 / sum;
  board *= 1.0 / sum;
  for (std::size_t i = 0; i < weights.size(); ++i) {
    const cv::Point2d d = design_from_sticker[i].origin_mm - design, b = board_from_members[i].origin_mm - board;
    dot += weights[i] * d.dot(b);
    cross += weights[i] * d.cross(b);
  }
  const double angle_rad = std::atan2(cross, dot);
  return {board - turned(angle_rad, design), angle_rad};
}

GroupPose group_pose(const StickerGroup& group, const std::vector<GroupMember>& members) {
  GroupPose outcome;
  for (const GroupSticker& sticker : group.stickers) outcome.checks.emplace_back().number = sticker.number;
  for (const GroupMember& member : members) outcome.checks[member.index].used = true;
  if (members.empty() || members.size() < std::min<std::size_t>(2, group.stickers.size())) return outcome;
  Group solved(group, members);
  outcome.status = Status::stickers_disagree;
  if (!solved.solve()) {
    for (const GroupMember& member : members) outcome.checks[member.index].agrees = false;
    return outcome;
  }
  if (!solved.check(outcome.checks)) {
    if (members.size() > 2) blame_one(group, members, outcome.checks);
    return outcome;
  }
  outcome.status = Status::ok;
  outcome.board_from_design = solved.pose();
  outcome.covariance = solved.measured();
  outcome.shared_covariance = solved.shared();
  outcome.fit = solved.fit();
  return outcome;
}

}  // namespace vision
