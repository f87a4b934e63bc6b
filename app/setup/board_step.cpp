#include "app/setup/board_step.h"

#include <algorithm>
#include <cstdio>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "app/format.h"
#include "app/places.h"
#include "app/setup/board_aim.h"
#include "app/setup/board_view.h"
#include "app/setup/board_words.h"
#include "app/words/words.h"
#include "calib/board_frame.h"
#include "calib/chart_finder.h"
#include "calib/files.h"
#include "calib/survey_board.h"
#include "vision/tag_finder.h"

namespace app {
namespace {

constexpr double kRest_s = 0.5;
constexpr int kWholeSheet = 40;  // corners of 48: nobody's hand lies on it
// The sheet counts as moved from so much of the picture's width on.
constexpr double kMovedShare = 0.03;
constexpr double kPaperMarginMm = 12.0;

class BoardStep : public SetupStep {
 public:
  explicit BoardStep(BoardStepOptions options)
      : options_(std::move(options)),
        station_(calib::load_station(options_.station_file, calib::StationNeeds::lens)),
        finder_(station_.lens) {}

  std::string title() const override { return tr("Board"); }

  StepAdvice take(const cv::Mat& grey, double time_s, const std::string& name) override {
    if (grey.cols != station_.lens.width_px || grey.rows != station_.lens.height_px) return wrong_size(grey);
    BoardView view;
    view.chart = calib::find_chart(grey);
    for (const vision::SeenTag& tag : finder_.find(grey))
      if (tag.id >= calib::kFirstBoardMarkId && tag.id <= calib::kLastBoardMarkId) view.marks.push_back(tag);
    const double rest_s = rest_.update(view, time_s);
    StepAdvice advice = name.empty() ? judged(view, rest_s) : judged_picture(view);
    if (advice.taken) keep(grey, view, name, advice);
    describe(view, advice);
    return advice;
  }

  StepOutcome finish() override {
    if (kept_.empty())
      throw StepError(wrong_size_.empty()
                          ? tr("no picture shows the calibration sheet on the board with a board mark beside "
                               "it; lay the sheet on the board, printed side up")
                          : wrong_size_);
    calib::BoardSurvey survey;
    try {
      survey = calib::survey_board(kept_, station_.lens, station_.print_scale);
    } catch (const calib::SurveyError& error) {
      throw StepError(tr(std::string(error.what())));
    }
    if (survey.marks_in_use() < calib::kFewestBoardMarksNeeded) throw StepError(too_few_marks(survey));
    return written(std::move(survey));
  }

  bool undo() override {
    if (kept_.empty()) return false;
    kept_.pop_back();
    pictures_.pop_back();
    survey_again();
    return true;
  }

 private:
  StepAdvice wrong_size(const cv::Mat& grey) {
    wrong_size_ =
        format(tr("the pictures are %d x %d pixels and the lens in %s is for %d x %d; take pictures of that "
                  "size, or calibrate the lens anew"),
               grey.cols, grey.rows, options_.station_file.string(), station_.lens.width_px, station_.lens.height_px);
    StepAdvice advice;
    advice.headline = tr("Another picture size");
    advice.sentence =
        tr("The lens was calibrated at another picture size: calibrate it anew, or change the camera's size.");
    return advice;
  }

  // A picture of a folder: everything that can be used is.
  static StepAdvice judged_picture(const BoardView& view) {
    StepAdvice advice;
    advice.taken = static_cast<int>(view.chart.corners.size()) >= calib::kFewestChartCorners && !view.marks.empty();
    advice.headline = advice.taken         ? format(tr("sheet and %d board marks"), static_cast<int>(view.marks.size()))
                      : view.marks.empty() ? tr("no board mark is seen")
                      : view.chart.corners.empty() ? tr("no calibration sheet is seen")
                                                   : tr("too little of the calibration sheet is seen");
    if (const std::vector<int> twice = seen_twice(view); !twice.empty())
      advice.headline = format(tr("%s, %s there twice"), advice.headline, id_list(twice));
    return advice;
  }

  StepAdvice judged(const BoardView& view, double rest_s) const {
    StepAdvice advice;
    const auto say = [&advice](std::string headline, std::string sentence) {
      advice.headline = std::move(headline);
      advice.sentence = std::move(sentence);
      return advice;
    };
    if (view.marks.size() < calib::kFewestBoardMarksNeeded)
      return say(tr("Too few board marks"),
                 tr("Stick four board marks or more near the board's rim, all in the picture, and keep hands off "
                    "them."));
    if (const std::vector<int> twice = seen_twice(view); !twice.empty())
      return say(tr("A mark is there twice"),
                 format(tr("Board mark %s is on the board twice: take one of the two away."), id_list(twice)));
    if (static_cast<int>(view.chart.corners.size()) < calib::kFewestChartCorners)
      return say(tr("Lay down the sheet"),
                 tr("Lay the calibration sheet flat on the board, printed side up, so that it covers no board mark."));
    if (const std::vector<int> hidden = covered(view); !hidden.empty())
      return say(tr("A mark is covered"),
                 format(tr("The sheet covers board mark %s: move it off the mark."), id_list(hidden)));
    if (static_cast<int>(view.chart.corners.size()) < kWholeSheet)
      return say(tr("Uncover the sheet"), tr("Take hands off the sheet; all of its pattern must be in the picture."));
    if (!elsewhere(view)) return say(tr("Move the sheet"), tr("Move the sheet to the marked place, turned a little."));
    if (rest_s < kRest_s)
      return say(tr("Let it lie"), tr("Take your hands away and let the sheet lie still for a moment."));
    advice.taken = true;
    return say(tr("Taken"), tr("Move the sheet to another place, turned a little."));
  }

  // Marks known from earlier pictures that lie under the sheet now.
  std::vector<int> covered(const BoardView& view) const {
    std::vector<int> ids;
    const std::vector<cv::Point2d> outline = sheet_outline(view.chart, kPaperMarginMm);
    if (pictures_.empty() || outline.empty()) return ids;
    const std::vector<cv::Point2f> area(outline.begin(), outline.end());
    for (const vision::SeenTag& tag : pictures_.back().marks) {
      const double reach_px = 0.6 * cv::norm(tag.corners_px[1] - tag.corners_px[0]);
      if (!sees_mark(view, tag.id) && cv::pointPolygonTest(area, cv::Point2f(tag_centre(tag)), true) > -reach_px)
        ids.push_back(tag.id);
    }
    return ids;
  }

  bool elsewhere(const BoardView& view) const {
    return std::all_of(pictures_.begin(), pictures_.end(), [&](const BoardView& before) {
      const std::optional<double> way = sheet_way_px(view.chart, before.chart);
      return !way || *way >= kMovedShare * station_.lens.width_px;
    });
  }

  void keep(const cv::Mat& grey, const BoardView& view, const std::string& name, StepAdvice& advice) {
    kept_.push_back(
        {name.empty() ? format(tr("picture %d"), static_cast<int>(kept_.size()) + 1) : name, view.chart, view.marks});
    pictures_.push_back(view);
    cv::cvtColor(grey, last_picture_, cv::COLOR_GRAY2BGR);
    survey_again();
    if (!name.empty() || !survey_) return;
    const calib::SurveyedPicture& last = survey_->pictures.back();
    if (last.use == calib::PictureUse::disagrees) {
      // Of no use, and it would be asked for again and again.
      kept_.pop_back();
      pictures_.pop_back();
      survey_again();
      advice.taken = false;
      advice.headline = tr("It does not fit");
      advice.sentence = tr("Lay the sheet flat on the board; if marks came loose, press them down and begin again.");
    } else if (const std::string fault = fault_of(last); !fault.empty()) {
      advice.sentence = tr("The sheet did not lie flat: smooth it, then move it to another place.");
    }
  }

  void survey_again() {
    survey_.reset();
    if (kept_.empty()) return;
    try {
      survey_ = calib::survey_board(kept_, station_.lens, station_.print_scale);
    } catch (const calib::SurveyError&) {
      // Not yet: the next picture may bring what is missing.
    }
  }

  int used() const {
    if (!survey_) return 0;
    return static_cast<int>(std::count_if(survey_->pictures.begin(), survey_->pictures.end(),
                                          [](const auto& picture) { return picture.use == calib::PictureUse::used; }));
  }

  void describe(const BoardView& view, StepAdvice& advice) const {
    const int enough = std::max(1, options_.pictures);
    advice.progress = std::min(1.0, static_cast<double>(used()) / enough);
    advice.complete = used() >= enough && survey_->marks_in_use() >= calib::kFewestBoardMarksNeeded;
    advice.details.push_back(format(tr("%d of %d places"), used(), enough));
    const auto marks = static_cast<int>(view.marks.size());
    advice.details.push_back(format(tr("%d board mark seen", "%d board marks seen", marks), marks));
    std::vector<int> bad = seen_twice(view);
    if (survey_) {
      for (const calib::SurveyedMark& mark : survey_->marks) {
        if (mark.in_use()) continue;
        bad.push_back(mark.mark.id);
        advice.details.push_back(fault_of(mark, survey_->pictures));
      }
      const int surveyed = static_cast<int>(survey_->marks_in_use());
      advice.details.push_back(format(tr("%d mark surveyed", "%d marks surveyed", surveyed), surveyed));
    }
    for (const vision::SeenTag& tag : view.marks) {
      const bool doubt = std::count(bad.begin(), bad.end(), tag.id) > 0;
      advice.marks.push_back({doubt ? StepMark::Kind::doubt : StepMark::Kind::found,
                              {tag.corners_px.begin(), tag.corners_px.end()},
                              true,
                              std::to_string(tag.id)});
    }
    if (std::vector<cv::Point2d> outline = sheet_outline(view.chart, 0.0); !outline.empty())
      advice.marks.push_back({StepMark::Kind::found, std::move(outline), true, {}});
    if (!survey_ || advice.complete) return;
    std::vector<cv::Point2d> aim = next_sheet_outline(*survey_, station_.lens, station_.print_scale, used());
    if (!aim.empty()) advice.marks.push_back({StepMark::Kind::aim, std::move(aim), true, tr("lay it here")});
  }

  StepOutcome written(calib::BoardSurvey survey) const {
    StepOutcome outcome;
    const std::string frame = options_.keep_frame ? keep_frame(survey) : std::string();
    vision::Station fresh = station_;
    fresh.board_marks.clear();
    double worst_mm = 0.0;
    for (const calib::SurveyedMark& mark : survey.marks) {
      if (!mark.in_use()) continue;
      fresh.board_marks.push_back(mark.mark);
      worst_mm = std::max(worst_mm, mark.mark.u_mm);
    }
    fresh.surveyed_camera = survey.camera_from_board;
    fresh.surveyed_camera->covariance = cv::Matx66d::zeros();
    outcome.headline = format(tr("%d board marks surveyed, each to %s mm or better"),
                              static_cast<int>(fresh.board_marks.size()), number(std::max(0.01, worst_mm), 2));
    outcome.good = true;
    outcome.lines = survey_lines(survey);
    if (!frame.empty()) outcome.lines.push_back(frame);
    if (const std::vector<int> gone = gone_marks(fresh); !gone.empty())
      outcome.lines.push_back(
          format(tr("no longer in the station file: board mark %s", "no longer in the station file: board marks %s",
                    static_cast<long>(gone.size())),
                 id_list(gone)));
    keep_old(options_.station_file);
    calib::save_station(fresh, options_.station_file);
    outcome.files.push_back(options_.station_file);
    outcome.picture = drawn(survey);
    return outcome;
  }

  // Lays the survey onto the one before; gives what is to be said of it.
  std::string keep_frame(calib::BoardSurvey& survey) const {
    std::vector<vision::BoardMark> marks;
    for (const calib::SurveyedMark& mark : survey.marks)
      if (mark.in_use()) marks.push_back(mark.mark);
    const std::optional<vision::Pose2> pose = calib::frame_of(station_.board_marks, marks);
    if (!pose) return tr("fewer than three marks lie as surveyed before: the board frame is that of the sheet");
    for (calib::SurveyedMark& mark : survey.marks) calib::move_mark(mark.mark, *pose);
    calib::move_camera(survey.camera_from_board, *pose);
    return tr("the board frame is that of the survey before");
  }

  std::vector<int> gone_marks(const vision::Station& fresh) const {
    std::vector<int> gone;
    for (const vision::BoardMark& old : station_.board_marks)
      if (std::none_of(fresh.board_marks.begin(), fresh.board_marks.end(),
                       [&](const vision::BoardMark& mark) { return mark.id == old.id; }))
        gone.push_back(old.id);
    return gone;
  }

  // The last picture with every mark's square as surveyed.
  cv::Mat drawn(const calib::BoardSurvey& survey) const {
    cv::Mat out = last_picture_.clone();
    const int line = std::max(1, out.cols / 600);
    for (const calib::SurveyedMark& mark : survey.marks) {
      const cv::Scalar colour = mark.in_use() ? cv::Scalar(90, 190, 60) : cv::Scalar(40, 60, 220);
      std::vector<cv::Point> outline;
      const vision::Pose2 pose{{mark.mark.x_mm, mark.mark.y_mm}, mark.mark.angle_deg * vision::kRadPerDeg};
      const double half = 0.5 * mark.mark.size_mm * station_.print_scale;
      for (const cv::Point2d& p : {cv::Point2d(-half, half), {half, half}, {half, -half}, {-half, -half}}) {
        const cv::Point2d b = vision::apply(pose, p);
        outline.emplace_back(vision::image_from_board(station_.lens, survey.camera_from_board, {b.x, b.y, 0.0}));
      }
      cv::polylines(out, outline, true, colour, line, cv::LINE_AA);
      cv::putText(out, std::to_string(mark.mark.id), outline.front() + cv::Point(0, -3 * line),
                  cv::FONT_HERSHEY_SIMPLEX, 0.35 * line, colour, line, cv::LINE_AA);
    }
    return out;
  }

  BoardStepOptions options_;
  vision::Station station_;
  vision::TagFinder finder_;
  RestWatch rest_;
  std::vector<calib::SurveyPicture> kept_;
  std::vector<BoardView> pictures_;  // alongside
  std::optional<calib::BoardSurvey> survey_;
  cv::Mat last_picture_;
  std::string wrong_size_;
};

}  // namespace

std::unique_ptr<SetupStep> make_board_step(const BoardStepOptions& options) {
  return std::make_unique<BoardStep>(options);
}

}  // namespace app
