// The station's desk: all that the views see and all that a person can do at the station, in one place. Views draw it
// and call it; the shell feeds it with frames. Main thread only.
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/answer/answer.h"
#include "app/crew/crew.h"
#include "app/design/design.h"
#include "app/desk/beside.h"
#include "app/guides/cloth_guide.h"
#include "app/guides/place_guide.h"
#include "app/hoops/hoop_store.h"
#include "app/jobs/job_store.h"
#include "app/machine/machine_store.h"
#include "app/measuring.h"
#include "app/records/piece_log.h"
#include "app/settings.h"
#include "app/share/share_thread.h"
#include "app/straighten/line_look.h"
#include "app/work/hoop_reader.h"
#include "app/work/work.h"
#include "vision/station.h"

namespace app {

enum class ViewId {
  work,
  menu,
  operators,
  jobs,
  hoops,
  records,
  service,
  settings,
  job,         // one job is made or changed
  machines,    // the machine is chosen, or described
  straighten,  // cloth laid by a fold, hem or woven line; distances on the board
  resume,      // back onto stitches that were begun
  inspect,     // what came of a piece that was stitched
};
inline constexpr int kViewCount = 13;

// How frames come, as the shell finds it; for the views to show.
struct Health {
  std::string source;         // what delivers the frames
  std::string notice;         // to be said plainly as long as it holds: "No camera found: ..."
  std::string trouble;        // what is wrong with the frames just now; empty while all is well
  std::string proof;          // when the station was proved, and what came of it
  bool proof_wanted = false;  // a new proof is asked for
  bool live_camera = false;   // no rendered or recorded source
  bool stale = false;         // no frame for so long that the last one says nothing any more
  double frames_per_s = 0.0;
  double latency_ms = 0.0;    // from exposure (or arrival, where the source does not tell) to the screen, mean
  double measuring_ms = 0.0;  // of one frame, mean
  long frames = 0, dropped = 0;
  std::string display;  // SDL's driver and renderer, and the size
};

enum class Sound { locked, accepted, problem };

// What ends the shell's loop.
enum class Leave {
  no,
  end,       // the program ends
  guide,     // the set-up guide is run, then the station starts anew
  rendered,  // the rendered station instead of the camera
  reopen,    // the station starts anew: its files have changed
};

// A short line over the view for some seconds.
struct Message {
  std::string text;
  bool bad = false;
};

struct DeskParts {
  vision::Station station;
  vision::Hoop hoop;
  std::vector<vision::Hoop> hoops;     // all taught ones, `hoop` among them
  std::filesystem::path station_file;  // settings, operators, jobs and the log lie beside it
  std::shared_ptr<HoopReader> reader;  // told of hoops and stickers; may be null
};

class Desk {
 public:
  // Files that cannot be used give a message, not an exception: the work goes on with defaults.
  explicit Desk(DeskParts parts);

  // ---- What is seen
  const Work& work() const { return work_; }
  const Settings& settings() const { return settings_; }
  const Crew& crew() const { return crew_; }
  const JobList& jobs() const { return jobs_; }
  const ClothGuide& cloth_guide() const { return cloth_guide_; }
  const PlaceGuide& place_guide() const { return place_guide_; }
  // The job that is being changed; empty: a new one is made.
  const std::string& opened_job() const { return opened_job_; }
  const std::vector<vision::Hoop>& hoops() const { return parts_.hoops; }
  const std::vector<DamagedHoop>& damaged_hoops() const { return damaged_hoops_; }
  PieceLog& log() { return log_; }
  const PieceLog& log() const { return log_; }
  const std::filesystem::path& station_file() const { return parts_.station_file; }
  const std::string& station_name() const { return station_name_; }
  // When the records were last shared with the shop's server, or why not; empty where the station does not share by
  // itself.
  std::string sharing() const { return share_ ? share_->words() : std::string(); }
  Health health;  // the shell's
  // The job's design, where it says one.
  const std::optional<Design>& design() const { return design_; }
  const MachineList& machines() const { return machines_; }
  // The machine that the job or else the station names.
  const std::optional<Machine>& machine() const { return machine_; }
  // What to enter at it for the reading that is shown; with the job's design where there is one.
  const std::optional<MachineEntry>& entry() const { return entry_; }
  // What follows from the reading that is shown: live, or held. Nothing without a reading or a design.
  const std::optional<PieceAnswer>& answer() const { return answer_; }
  // What the last frame showed of the cloth itself, while that is wanted.
  const std::optional<LineSeen>& line() const { return line_; }
  // The newest frame that was not drawn yet; empty otherwise. Let go of after each draw.
  const cv::Mat& picture() const { return picture_.grey; }

  // ---- Frames
  void see(Measured measured);
  void frames_lost();
  void picture_drawn() { picture_ = {}; }

  // ---- What a person does. Whatever fails gives a message and changes nothing.
  void choose_operator(const std::string& name);  // empty: nobody
  void choose_job(const std::string& name);       // empty: none
  void choose_hoop(const std::string& name);
  void choose_machine(const std::string& name);  // the station's; empty: none
  void take();
  void repeat();
  void start_over();
  // The foot pedal: takes the held reading; pressed again, or held long, takes it anew.
  void pedal();
  void set(const Settings& settings);  // written, then in force
  // What came of a piece; the operator is filled in.
  void keep(Inspection inspection);
  // Whether it was done.
  bool add_operator(const Operator& one);
  bool rename_operator(const std::string& name, const std::string& new_name);
  bool set_badge(const std::string& name, std::optional<int> badge);
  bool remove_operator(const std::string& name);
  // Left out of lists and comparisons of the records, or listed there again.
  void hide_operator(const std::string& name, bool hidden);
  // Takes the name out of the records for good, beside the screen, and the operator out of the crew.
  void anonymise_operator(const std::string& name);
  // For what takes long; its outcome is said.
  Beside& beside() { return beside_; }
  const Beside& beside() const { return beside_; }
  // A new machine (`was` empty), or what the machine `was` is to be from now on.
  bool keep_machine(const Machine& machine, const std::string& was);
  bool remove_machine(const std::string& name);
  // What was removed last is there again.
  bool bring_machine_back();
  bool machine_was_removed() const { return machine_store_.can_undo(); }
  // Opens the view of this job; of a new one where the name is empty.
  void open_job(const std::string& name);
  // Kept in its file, in the place of the job of this name; empty: a new one, whose name must not be taken.
  bool save_job(const Job& job, const std::string& in_place_of);
  bool remove_job(const std::string& name);  // its file is put aside
  // Takes back the last change of a job since the program was started.
  bool undo_job();
  bool can_undo_job() const { return !job_changes_.empty(); }
  // From here on the next card laid on the board becomes this operator's badge; empty: cards choose again.
  void expect_badge_of(const std::string& name) { badge_of_ = name; }
  const std::string& badge_expected_of() const { return badge_of_; }
  // What is to be looked for on the cloth besides the reading, until another view is opened. The kept hoop is filled
  // in.
  void want_line(std::optional<LineWanted> wanted);
  // Looks at the files of jobs, machines, guides and hoops again. The chosen job follows its file, unless a reading is
  // held and would be lost by another hoop.
  void look_again();
  void play(Sound sound) { sounds_.push_back(sound); }

  // ---- Where the person is
  ViewId view() const { return views_.back(); }
  void open(ViewId view);
  // From the work view there is no way back.
  void back();
  void leave(Leave how) { leave_ = how; }
  Leave leaving() const { return leave_; }
  void say(std::string text, bool bad = false);
  // What is to be said just now; nothing once its time is over (the shell's clock, seconds).
  const Message* message(double now_s);
  // Since the last call.
  std::vector<Sound> take_sounds();

 private:
  // Runs what changes a file; whether it did.
  bool done(const std::function<void()>& change);
  void card_laid(int card);
  void view_changed(ViewId before);
  EnteredRecord entered_record() const;
  void keep(const HoopedPiece& piece, const std::optional<Job>& job, const std::string& hoop);
  void say_outcome();
  void other_hoop_seen(const std::string& name);
  void use_hoop(const vision::Hoop& hoop);
  void use_machine();
  void prepare_for_job();
  void answer_anew();
  void tell_kept_hoop();
  void follow_job_file();
  struct JobChange {
    std::optional<Job> before, after;  // of one job; nothing: it was not there
  };
  bool change_job(const JobChange& change);

  DeskParts parts_;
  Settings settings_;
  Crew crew_;
  JobStore job_store_;
  JobList jobs_;
  MachineStore machine_store_;
  MachineList machines_;
  ClothGuide cloth_guide_;
  PlaceGuide place_guide_;
  std::string opened_job_;
  std::vector<JobChange> job_changes_;
  std::vector<DamagedHoop> damaged_hoops_;
  std::string badge_of_;
  PieceLog log_;
  std::string station_name_;  // as it stands in its records; empty: not said
  std::unique_ptr<ShareThread> share_;
  Work work_;
  std::optional<Design> design_;
  std::optional<Machine> machine_;
  std::optional<PieceAnswer> answer_;
  std::optional<MachineEntry> entry_;
  EnteredRecord entered_;  // of the reading that is held, for its piece
  Frame picture_;
  std::vector<unsigned char> held_jpeg_;  // of the reading that is held, where pictures are wanted
  std::optional<LineWanted> line_wanted_;
  std::optional<LineSeen> line_;
  std::vector<ViewId> views_{ViewId::work};
  Leave leave_ = Leave::no;
  std::optional<Message> message_;
  std::optional<double> message_since_s_;
  std::string log_trouble_;  // said last
  std::vector<Sound> sounds_;
  Beside beside_;  // the last: its work ends first
};

}  // namespace app
