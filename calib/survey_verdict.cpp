#include "calib/survey_verdict.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "calib/survey_start.h"

namespace calib {
namespace {

// Well above what noise and free cameras scatter, below what spoils a reading; a turn counts at a mark's own corner.
constexpr double kMovedMm = 0.15, kMovedRad = 0.3 * vision::kRadPerDeg;
// An office printer's square is true to some hundredths of a millimetre.
constexpr double kBentMm = 0.12;
// Of a mark over the others. What it looks larger by tells it only roughly: ink and light differ from mark to mark.
constexpr double kOffSizeMm = 4.0, kSwellDiffersMm = 0.03;
constexpr double kSigmas = 4.0;

struct Sight {
  int picture = 0;
  MarkPlace place;
  double sigma_mm = 0.0;  // of a corner
  double distance_mm = 0.0;
};

std::vector<Sight> sights_of(int mark, const SurveyProblem& problem, const SurveyState& state) {
  std::vector<Sight> out;
  for (std::size_t i = 0; i < problem.pictures.size(); ++i) {
    if (state.camera_of[i] < 0) continue;
    const vision::CameraPose& camera = state.cameras[static_cast<std::size_t>(state.camera_of[i])];
    for (const MarkSight& sight : problem.pictures[i].marks) {
      if (sight.mark != mark) continue;
      const auto place = mark_place(sight, camera, 0.0, problem.mark_size_mm);
      if (!place) continue;
      const cv::Point2d at = place->pose.origin_mm;
      const double distance = (camera.rotation * cv::Vec3d(at.x, at.y, 0.0) + camera.translation_mm)[2];
      out.push_back({static_cast<int>(i), *place, sight.sigma * distance, distance});
    }
  }
  return out;
}

// How far apart two pictures see a mark; 1 is the limit.
double apart(const Sight& a, const Sight& b) {
  const double sigma = std::hypot(a.sigma_mm, b.sigma_mm);
  const double way = cv::norm(a.place.pose.origin_mm - b.place.pose.origin_mm) / std::max(kMovedMm, kSigmas * sigma);
  const double turn = std::abs(vision::wrapped_rad(a.place.pose.angle_rad - b.place.pose.angle_rad));
  return std::max(way, turn / std::max(kMovedRad, kSigmas * sigma / 20.0));
}

// The picture that most others agree with: it tells where the mark usually lies.
std::size_t usual(const std::vector<Sight>& sights) {
  std::size_t best = 0;
  double least = std::numeric_limits<double>::max();
  for (std::size_t i = 0; i < sights.size(); ++i) {
    double sum = 0.0;
    for (const Sight& other : sights) sum += std::min(1.0, apart(sights[i], other));
    if (sum < least) {
      least = sum;
      best = i;
    }
  }
  return best;
}

void judge_move(const std::vector<Sight>& sights, MarkVerdict& verdict) {
  const Sight& there = sights[usual(sights)];
  cv::Point2d sum;
  int still = 0;
  double worst = 0.0;
  for (const Sight& sight : sights) {
    const double by = apart(there, sight);
    worst = std::max(worst, by);
    if (by > 1.0) {
      verdict.moved_in.push_back(sight.picture);
      verdict.moved_mm = std::max(verdict.moved_mm, cv::norm(sight.place.pose.origin_mm - there.place.pose.origin_mm));
    } else {
      sum += sight.place.pose.origin_mm;
      verdict.swell_mm += sight.place.swell_mm;
      ++still;
    }
  }
  verdict.board_from_mark = {sum * (1.0 / still), there.place.pose.angle_rad};
  verdict.swell_mm /= still;
  if (worst > 1.0) {
    verdict.fault = MarkFault::moved;
    verdict.score = worst;
  }
}

// The corners' way off the square, averaged over the pictures: noise shrinks, a bend stays.
void judge_shape(const std::vector<Sight>& sights, MarkVerdict& verdict) {
  std::array<cv::Point2d, 4> mean{};
  double variance = 0.0;
  const double count = static_cast<double>(sights.size());
  for (const Sight& sight : sights) {
    for (std::size_t k = 0; k < 4; ++k) mean[k] += sight.place.off_mm[k] * (1.0 / count);
    variance += sight.sigma_mm * sight.sigma_mm / (count * count);
  }
  for (const cv::Point2d& off : mean) verdict.bend_mm = std::max(verdict.bend_mm, cv::norm(off));
  // Half of the corners' eight degrees of freedom went into place, angle and size.
  verdict.u_bend_mm = 2.0 * std::sqrt(variance / 2.0);
  const double over = verdict.bend_mm / std::max(kBentMm, 0.5 * kSigmas * verdict.u_bend_mm);
  if (over > 1.0 && over > verdict.score) {
    verdict.fault = MarkFault::bent;
    verdict.score = over;
  }
}

void judge_size(const std::vector<Sight>& sights, double usual_mm, double size_mm, MarkVerdict& verdict) {
  double variance = kSwellDiffersMm * kSwellDiffersMm, distance = 0.0;
  const double count = static_cast<double>(sights.size());
  for (const Sight& sight : sights) {
    variance += 0.25 * sight.sigma_mm * sight.sigma_mm / (count * count);
    distance += sight.distance_mm / count;
  }
  // A mark that lies h higher looks larger by h over the distance.
  const double height_a_swell = 2.0 * distance / size_mm;
  verdict.height_mm = (verdict.swell_mm - usual_mm) * height_a_swell;
  verdict.u_height_mm = 2.0 * std::sqrt(variance) * height_a_swell;
  const double over = std::abs(verdict.height_mm) / std::max(kOffSizeMm, 0.5 * kSigmas * verdict.u_height_mm);
  if (over > 1.0 && over > verdict.score) {
    verdict.fault = MarkFault::off_size;
    verdict.score = over;
  }
}

}  // namespace

double usual_swell_mm(const std::vector<MarkVerdict>& verdicts) {
  std::vector<double> swells;
  for (const MarkVerdict& verdict : verdicts)
    if (verdict.pictures > 0) swells.push_back(verdict.swell_mm);
  if (swells.empty()) return 0.0;
  std::sort(swells.begin(), swells.end());
  return 0.5 * (swells[(swells.size() - 1) / 2] + swells[swells.size() / 2]);
}

std::vector<MarkVerdict> judge_marks(const SurveyProblem& problem, const SurveyState& state) {
  std::vector<MarkVerdict> verdicts(problem.ids.size());
  std::vector<std::vector<Sight>> sights;
  int seen = 0;
  for (std::size_t m = 0; m < verdicts.size(); ++m) {
    sights.push_back(sights_of(static_cast<int>(m), problem, state));
    verdicts[m].pictures = static_cast<int>(sights[m].size());
    if (sights[m].empty()) continue;
    judge_move(sights[m], verdicts[m]);
    ++seen;
  }
  const double swell_mm = usual_swell_mm(verdicts);
  for (std::size_t m = 0; m < verdicts.size(); ++m) {
    if (!sights[m].empty()) {
      judge_shape(sights[m], verdicts[m]);
      // Of two sizes neither is the usual one.
      if (seen > 2) judge_size(sights[m], swell_mm, problem.mark_size_mm, verdicts[m]);
    }
    if (problem.twice[m]) {
      verdicts[m].fault = MarkFault::twice;
      verdicts[m].score = std::numeric_limits<double>::infinity();
    }
  }
  return verdicts;
}

}  // namespace calib
