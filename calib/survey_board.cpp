#include "calib/survey_board.h"

#include <algorithm>
#include <cmath>

#include "calib/distributions.h"
#include "calib/survey_adjustment.h"
#include "calib/survey_start.h"
#include "calib/survey_verdict.h"

namespace calib {
namespace {

// The same camera sees resting marks at the same pixels; a knock that is worth its own camera moves them by more.
constexpr double kSamePlacePx = 0.12;
// Marks that two pictures must share before their cameras may be one.
constexpr std::size_t kFewestSharedMarks = 3;
// One camera in place of several must not make the residuals worse than chance does once in a thousand times.
constexpr double kChance = 0.001;

// By how many pixels the marks of two pictures lie apart, as the middle one of them does: a mark that was moved says
// nothing of the camera.
std::optional<double> shift_px(const PictureSights& a, const PictureSights& b) {
  std::vector<double> shifts;
  for (const MarkSight& one : a.marks) {
    for (const MarkSight& other : b.marks) {
      if (one.mark != other.mark) continue;
      cv::Point2d sum;
      for (std::size_t k = 0; k < 4; ++k) sum += other.image_px[k] - one.image_px[k];
      shifts.push_back(0.25 * cv::norm(sum));
    }
  }
  if (shifts.size() < kFewestSharedMarks) return std::nullopt;
  std::sort(shifts.begin(), shifts.end());
  return shifts[shifts.size() / 2];
}

// The same state with one camera for the pictures between which the camera rested.
SurveyState with_resting_camera(const SurveyProblem& problem, const SurveyState& state) {
  SurveyState out = state;
  out.cameras.clear();
  std::vector<std::size_t> first_of;  // camera -> its first picture
  for (std::size_t i = 0; i < problem.pictures.size(); ++i) {
    if (state.camera_of[i] < 0) continue;
    const auto same = std::find_if(first_of.begin(), first_of.end(), [&](std::size_t first) {
      const std::optional<double> shift = shift_px(problem.pictures[first], problem.pictures[i]);
      return shift && *shift <= kSamePlacePx;
    });
    out.camera_of[i] = static_cast<int>(same - first_of.begin());
    if (same != first_of.end()) continue;
    first_of.push_back(i);
    out.cameras.push_back(state.cameras[static_cast<std::size_t>(state.camera_of[i])]);
  }
  return out;
}

struct Solved {
  SurveyState state;
  Adjustment adjustment;
};

Solved solved(const SurveyProblem& problem, SurveyState state) {
  Solved out;
  out.state = std::move(state);
  out.adjustment = adjust(problem, out.state);
  return out;
}

// Fewer cameras where the evidence allows it.
Solved solved_by_evidence(const SurveyProblem& problem, const SurveyState& state) {
  Solved free = solved(problem, state);
  const SurveyState resting = with_resting_camera(problem, free.state);
  if (resting.cameras.size() == free.state.cameras.size()) return free;
  Solved tied = solved(problem, resting);
  const double fewer = 6.0 * static_cast<double>(free.state.cameras.size() - resting.cameras.size());
  if (!(free.adjustment.dof > 0.0)) return tied;
  // Corners far better than their sigma are not to make a hair's difference count.
  const double scatter = std::max(free.adjustment.chi2 / free.adjustment.dof, 0.01);
  const double ratio = (tied.adjustment.chi2 - free.adjustment.chi2) / fewer / scatter;
  return ratio <= 0.0 || fisher_tail(ratio, fewer, free.adjustment.dof) > kChance ? tied : free;
}

int in_use(const SurveyState& state) {
  return static_cast<int>(
      std::count_if(state.marks.begin(), state.marks.end(), [](const MarkState& mark) { return mark.in_use; }));
}

// Takes the worst mark out, or those that turned out sound back in; false when nothing is to change.
bool change_marks(const std::vector<MarkVerdict>& verdicts, SurveyState& state, std::vector<char>& taken_back) {
  std::size_t worst = verdicts.size();
  for (std::size_t m = 0; m < verdicts.size(); ++m) {
    if (!state.marks[m].in_use || verdicts[m].fault == MarkFault::none) continue;
    if (worst == verdicts.size() || verdicts[m].score > verdicts[worst].score) worst = m;
  }
  if (worst != verdicts.size()) {
    state.marks[worst].in_use = false;
    return true;
  }
  bool changed = false;
  for (std::size_t m = 0; m < verdicts.size(); ++m) {
    // Once each, so that a mark at the limit does not go in and out for ever.
    if (state.marks[m].in_use || verdicts[m].fault != MarkFault::none || verdicts[m].pictures == 0 || taken_back[m])
      continue;
    state.marks[m].in_use = true;
    state.marks[m].board_from_mark = verdicts[m].board_from_mark;
    taken_back[m] = 1;
    changed = true;
  }
  return changed;
}

double worse_direction(const cv::Matx33d& covariance) {
  const double mean = 0.5 * (covariance(0, 0) + covariance(1, 1));
  return std::sqrt(mean + std::hypot(0.5 * (covariance(0, 0) - covariance(1, 1)), covariance(0, 1)));
}

SurveyedMark surveyed_mark(const SurveyProblem& problem, const Solved& solution, const MarkVerdict& verdict,
                           std::size_t m) {
  SurveyedMark out;
  const MarkState& state = solution.state.marks[m];
  const vision::Pose2& pose = state.in_use ? state.board_from_mark : verdict.board_from_mark;
  out.mark = {problem.ids[m], pose.origin_mm.x, pose.origin_mm.y,
              vision::wrapped_rad(pose.angle_rad) * vision::kDegPerRad, kBoardMarkSizeMm};
  out.fault = verdict.fault;
  out.pictures = verdict.pictures;
  out.moved_in = verdict.moved_in;
  out.moved_mm = verdict.moved_mm;
  out.bend_mm = verdict.bend_mm;
  out.u_bend_mm = verdict.u_bend_mm;
  out.height_mm = verdict.height_mm;
  out.u_height_mm = verdict.u_height_mm;
  if (const int at = solution.adjustment.mark_at[m]; at >= 0) {
    for (int a = 0; a < 3; ++a)
      for (int b = 0; b < 3; ++b) out.covariance(a, b) = solution.adjustment.covariance(at + a, at + b);
    out.mark.u_mm = 2.0 * worse_direction(out.covariance);
    out.mark.u_angle_deg = 2.0 * std::sqrt(out.covariance(2, 2)) * vision::kDegPerRad;
  }
  return out;
}

void describe_flatness(const Solved& solution, std::size_t i, double print_scale, SurveyedPicture& out) {
  const SheetState& sheet = solution.state.sheets[i];
  const int at = solution.adjustment.lift_at[i];
  const double x = 0.5 * kChartColumns * kChartSquareMm * print_scale,
               y = 0.5 * kChartRows * kChartSquareMm * print_scale;
  out.highest_mm = -1e9;
  out.lowest_mm = 1e9;
  for (const double u : {-x, 0.0, x}) {
    for (const double v : {-y, 0.0, y}) {
      const double height = sheet_lift(sheet, {u, v});
      const std::array<double, 6> slopes = sheet_lift_slopes({u, v});
      double variance = 0.0;
      for (int a = 0; a < 6; ++a)
        for (int b = 0; b < 6; ++b)
          variance += slopes[static_cast<std::size_t>(a)] * slopes[static_cast<std::size_t>(b)] *
                      solution.adjustment.covariance(at + a, at + b);
      out.highest_mm = std::max(out.highest_mm, height);
      out.lowest_mm = std::min(out.lowest_mm, height);
      out.u_height_mm = std::max(out.u_height_mm, 2.0 * std::sqrt(std::max(0.0, variance)));
    }
  }
}

// Sum of the squared distances of one picture's corners, normalised coordinates, and their number.
struct Misfit {
  double squares = 0.0;
  int corners = 0;
};

Misfit misfit(const SurveyProblem& problem, const SurveyState& state, std::size_t i) {
  Misfit out;
  const vision::CameraPose& camera = state.cameras[static_cast<std::size_t>(state.camera_of[i])];
  const auto add = [&](cv::Point2d at, double z, cv::Point2d seen) {
    const cv::Vec3d p = camera.rotation * cv::Vec3d(at.x, at.y, z) + camera.translation_mm;
    const cv::Point2d error = seen - cv::Point2d(p[0] / p[2], p[1] / p[2]);
    out.squares += error.dot(error);
    ++out.corners;
  };
  const SheetState& sheet = state.sheets[i];
  for (const SheetCorner& corner : problem.pictures[i].corners)
    if (corner.in_use)
      add(vision::apply(sheet.board_from_sheet, corner.in_sheet_mm),
          problem.options.paper_thickness_mm + sheet_lift(sheet, corner.in_sheet_mm), corner.normalised);
  for (const MarkSight& sight : problem.pictures[i].marks) {
    const MarkState& mark = state.marks[static_cast<std::size_t>(sight.mark)];
    if (!mark.in_use) continue;
    for (int k = 0; k < 4; ++k)
      add(vision::apply(mark.board_from_mark, mark_corner(k, problem.mark_size_mm + 2.0 * mark.swell_mm)), 0.0,
          sight.normalised[static_cast<std::size_t>(k)]);
  }
  return out;
}

void describe_pictures(const SurveyProblem& problem, const Solved& solution, const std::vector<PictureUse>& use,
                       BoardSurvey& out) {
  Misfit all;
  for (std::size_t i = 0; i < out.pictures.size(); ++i) {
    SurveyedPicture& picture = out.pictures[i];
    picture.use = use[i];
    const auto& corners = problem.pictures[i].corners;
    picture.corners = static_cast<int>(
        std::count_if(corners.begin(), corners.end(), [](const SheetCorner& corner) { return corner.in_use; }));
    if (use[i] != PictureUse::used) continue;
    picture.camera = solution.state.camera_of[i];
    picture.camera_from_board = solution.state.cameras[static_cast<std::size_t>(picture.camera)];
    picture.board_from_sheet = solution.state.sheets[i].board_from_sheet;
    describe_flatness(solution, i, problem.print_scale, picture);
    const Misfit one = misfit(problem, solution.state, i);
    picture.rms_px = std::sqrt(one.squares / std::max(1, one.corners)) * problem.focal_px();
    all.squares += one.squares;
    all.corners += one.corners;
    out.camera_from_board = picture.camera_from_board;
  }
  out.rms_px = std::sqrt(all.squares / std::max(1, all.corners)) * problem.focal_px();
}

cv::Mat1d mark_covariance(const Solved& solution) {
  const int count = static_cast<int>(solution.adjustment.mark_at.size());
  cv::Mat1d out(3 * count, 3 * count, 0.0);
  for (int m = 0; m < count; ++m) {
    for (int n = 0; n < count; ++n) {
      const int at = solution.adjustment.mark_at[static_cast<std::size_t>(m)];
      const int to = solution.adjustment.mark_at[static_cast<std::size_t>(n)];
      if (at < 0 || to < 0) continue;
      for (int a = 0; a < 3; ++a)
        for (int b = 0; b < 3; ++b) out(3 * m + a, 3 * n + b) = solution.adjustment.covariance(at + a, to + b);
    }
  }
  return out;
}

}  // namespace

int BoardSurvey::marks_in_use() const {
  return static_cast<int>(
      std::count_if(marks.begin(), marks.end(), [](const SurveyedMark& mark) { return mark.in_use(); }));
}

BoardSurvey survey_board(const std::vector<SurveyPicture>& pictures, const vision::Lens& lens, double print_scale,
                         const SurveyOptions& options) {
  SurveyProblem problem = survey_problem(pictures, lens, print_scale, options);
  const SurveyStart start = survey_start(problem);
  Solved solution;
  solution.state = start.state;
  std::vector<MarkVerdict> verdicts;
  std::vector<char> taken_back(problem.ids.size(), 0);
  do {
    if (in_use(solution.state) == 0)
      throw SurveyError(
          "no board mark lies still and flat in the pictures; press the marks down and take new pictures");
    SurveyState one_each = start.state;  // cameras and sheets from the start, marks as they are now thought of
    one_each.marks = solution.state.marks;
    solution = solved_by_evidence(problem, one_each);
    verdicts = judge_marks(problem, solution.state);
  } while (change_marks(verdicts, solution.state, taken_back));

  BoardSurvey out;
  out.pictures.resize(pictures.size());
  for (std::size_t i = 0; i < pictures.size(); ++i) out.pictures[i].name = pictures[i].name;
  describe_pictures(problem, solution, start.use, out);
  for (std::size_t m = 0; m < problem.ids.size(); ++m)
    out.marks.push_back(surveyed_mark(problem, solution, verdicts[m], m));
  out.cameras = static_cast<int>(solution.state.cameras.size());
  out.sigma0 = solution.adjustment.sigma0();
  out.swell_mm = usual_swell_mm(verdicts);
  out.covariance = mark_covariance(solution);
  return out;
}

}  // namespace calib
