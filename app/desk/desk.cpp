#include "app/desk/desk.h"

#include <spdlog/spdlog.h>

#include <algorithm>
#include <exception>
#include <utility>

#include "app/format.h"
#include "app/names.h"
#include "app/places.h"
#include "app/records/record_id.h"
#include "app/words/words.h"
#include "app/work/job_stickers.h"
#include "calib/files.h"
#include "calib/share_settings.h"

namespace app {
namespace {

constexpr double kMessageShown_s = 4.0;

std::vector<vision::Hoop> without(std::vector<vision::Hoop> hoops, const std::string& name) {
  std::erase_if(hoops, [&](const vision::Hoop& one) { return one.name == name; });
  return hoops;
}

}  // namespace

Desk::Desk(DeskParts parts)
    : parts_(std::move(parts)),
      crew_(crew_file(parts_.station_file)),
      job_store_(job_folder(parts_.station_file)),
      machine_store_(machine_folder(parts_.station_file)),
      log_(log_file(parts_.station_file)),
      work_(parts_.station, parts_.hoop) {
  try {
    settings_ = load_settings(settings_file(parts_.station_file));
  } catch (const calib::FileError& error) {
    say(error.what(), true);
  }
  set_language(settings_.language);
  if (!crew_.fault().empty()) say(crew_.fault(), true);
  done([this] {
    const auto share = calib::load_share(parts_.station_file);
    if (!share) return;
    station_name_ = share->station;
    if (share->every_min > 0) share_ = std::make_unique<ShareThread>(parts_.station_file, share->every_min);
  });
  look_again();
  use_machine();
  if (!settings_.job_name.empty()) choose_job(settings_.job_name);
  if (!crew_.find(settings_.operator_name)) settings_.operator_name.clear();
}

void Desk::see(Measured measured) {
  const CycleNotice before = work_.cycle().notice();
  const WorkNews news = work_.see(measured);
  picture_ = std::move(measured.frame);
  line_ = std::move(measured.line);
  tell_kept_hoop();
  if (news.piece && view() != ViewId::inspect) keep(*news.piece, work_.job(), work_.hoop().name);
  if (news.locked) held_jpeg_ = settings_.piece_pictures ? small_jpeg(picture_.grey) : std::vector<unsigned char>{};
  for (const int card : news.cards) card_laid(card);
  if (news.locked) sounds_.push_back(Sound::locked);
  const CycleNotice now = work_.cycle().notice();
  if (now != before && now != CycleNotice::none) sounds_.push_back(Sound::problem);
  if (!news.other_hoop.empty()) other_hoop_seen(news.other_hoop);
  answer_anew();
}

void Desk::answer_anew() {
  answer_.reset();
  entry_.reset();
  const std::optional<ShownReading>& shown = work_.shown();
  if (!shown || shown->kind == ShownReading::Kind::guide) return;
  answer_ = piece_answer(shown->reading, design_, machine_, work_.hoop(), {parts_.hoops, work_.tolerance()});
  if (answer_) {
    entry_ = answer_->entry;
  } else if (machine_) {
    entry_ = machine_entry(*machine_, std::vector<cv::Point2d>{}, pose_of(shown->reading));
  }
  if (shown->kind == ShownReading::Kind::held) entered_ = entered_record();
}

EnteredRecord Desk::entered_record() const {
  EnteredRecord record;
  if (answer_) record.fit_gap_mm = answer_->fit.gap_mm;
  if (!machine_ || !entry_) return record;
  record.machine = machine_->name;
  record.rotation = entry_->rotation;
  record.jog_right_mm = entry_->jog_right_mm;
  record.jog_up_mm = entry_->jog_up_mm;
  record.left_over_mm = entry_->left_over_mm;
  record.left_over_deg = entry_->left_over_deg;
  return record;
}

void Desk::keep(Inspection inspection) {
  inspection.operator_name = settings_.operator_name;
  log_.keep(std::move(inspection));
}

// A job that names its hoop is told of the wrong one (the work's notice); without such a job the hoop that lies there
// is the one to work with.
void Desk::other_hoop_seen(const std::string& name) {
  if (!work_.job() || work_.job()->hoop.empty()) choose_hoop(name);
}

void Desk::frames_lost() {
  work_.frames_lost();
  picture_ = {};
  line_.reset();
  answer_anew();
}

void Desk::keep(const HoopedPiece& piece, const std::optional<Job>& job, const std::string& hoop) {
  PieceRecord record;
  record.operator_name = settings_.operator_name;
  record.station = station_name_;
  record.job = job ? job->name : "";
  record.hoop = hoop;
  const Tolerance tolerance = job ? job->tolerance : Tolerance{};
  record.tolerance_mm = tolerance.offset_mm;
  record.tolerance_deg = tolerance.rotation_deg;
  record.source = health.source;
  record.live = health.live_camera;
  record.piece = piece;
  record.garment = job ? job->garment : "";
  record.cloth = job ? job->cloth : "";
  record.garment_number = job ? static_cast<int>(log_.count_of_job(job->name)) + 1 : 0;
  record.entered = std::exchange(entered_, {});
  if (piece.stretch) {
    record.stretch_percent = piece.stretch->percent;
    record.u_stretch_percent = piece.stretch->u_percent;
  }
  record.id = new_record_id();
  if (auto jpeg = std::exchange(held_jpeg_, {}); !jpeg.empty()) log_.keep(PiecePicture{record.id, "", std::move(jpeg)});
  log_.keep(std::move(record));
}

void Desk::look_again() {
  done([this] {
    jobs_ = job_store_.list();
    drop_badges(jobs_, crew_);
  });
  done([this] { machines_ = machine_store_.list(); });
  done([this] { damaged_hoops_ = HoopStore(hoop_folder(parts_.station_file)).list().damaged; });
  if (cloth_guide_.cloths().empty()) cloth_guide_ = ClothGuide::built_in();
  if (place_guide_.places().empty()) place_guide_ = PlaceGuide::built_in();
  done([this] { cloth_guide_ = ClothGuide::of_station(parts_.station_file); });
  done([this] { place_guide_ = PlaceGuide::of_station(parts_.station_file); });
  follow_job_file();
}

bool Desk::done(const std::function<void()>& change) {
  try {
    change();
    return true;
  } catch (const calib::FileError& error) {
    say(error.what(), true);
    return false;
  }
}

void Desk::card_laid(int card) {
  if (!badge_of_.empty()) {
    if (set_badge(badge_of_, card)) badge_of_.clear();
    return;
  }
  if (const Operator* one = crew_.of_badge(card)) return choose_operator(one->name);
  for (const StoredJob& stored : jobs_.jobs)
    if (stored.job.ticket == card) return choose_job(stored.job.name);
  say(format(tr("Card %d belongs to no operator and no job."), card), true);
}

void Desk::choose_operator(const std::string& name) {
  if (!name.empty() && crew_.find(name) == nullptr) return say(tr("There is no operator of this name."), true);
  Settings changed = settings_;
  changed.operator_name = name;
  set(changed);
  if (settings_.operator_name == name)
    say(name.empty() ? tr("Nobody is chosen.") : format(tr("Operator: %s"), name.c_str()));
}

void Desk::choose_job(const std::string& name) {
  std::optional<Job> job;
  for (const StoredJob& stored : jobs_.jobs)
    if (stored.job.name == name) job = stored.job;
  if (!name.empty() && !job) return say(tr("There is no job of this name."), true);
  Settings changed = settings_;
  changed.job_name = name;
  set(changed);
  if (settings_.job_name != name) return;
  if (parts_.reader) {
    parts_.reader->set_stickers(job ? one_sticker(*job) : std::nullopt,
                                job ? sticker_group(*job) : vision::StickerGroup{});
  }
  const std::string hoop = job ? job->hoop : "";
  // First the hoop: a piece that is held with the one before belongs to the job before.
  if (!hoop.empty() && hoop != work_.hoop().name) choose_hoop(hoop);
  const std::optional<Job> before = work_.job();
  if (const auto piece = work_.set_job(std::move(job))) keep(*piece, before, work_.hoop().name);
  say(name.empty() ? tr("No job is chosen.") : format(tr("Job: %s"), name.c_str()));
  prepare_for_job();
  use_machine();
}

// What the job says of its design and cloth; a drawing that cannot be used is named, and the work goes on without.
void Desk::prepare_for_job() {
  const std::optional<Job>& job = work_.job();
  design_.reset();
  if (job) done([&] { design_ = design_of(*job, job_store_.folder()); });
  const ClothType* cloth = job ? cloth_guide_.find(job->cloth) : nullptr;
  work_.set_stretch_limit_of_cloth(cloth != nullptr ? cloth->stretch_limit_percent : std::nullopt);
}

// A job that names a machine which is not there has none: what another one wants would be wrong at it.
void Desk::use_machine() {
  const std::string of_job = work_.job() ? work_.job()->machine : "";
  const std::string& wanted = of_job.empty() ? settings_.machine_name : of_job;
  machine_.reset();
  for (const StoredMachine& stored : machines_.machines)
    if (!wanted.empty() && same_name(stored.machine.name, wanted)) machine_ = stored.machine;
  if (!machine_ && !wanted.empty())
    say(format(tr("The machine %s is not described: rotation and offset are shown as read."), wanted.c_str()), true);
  answer_anew();
}

void Desk::choose_machine(const std::string& name) {
  const auto& all = machines_.machines;
  if (!name.empty() &&
      std::none_of(all.begin(), all.end(), [&](const StoredMachine& one) { return one.machine.name == name; }))
    return say(tr("There is no machine of this name."), true);
  Settings changed = settings_;
  changed.machine_name = name;
  set(changed);
  if (settings_.machine_name != name) return;
  say(name.empty() ? tr("No machine is chosen.") : format(tr("Machine: %s"), name.c_str()));
  use_machine();
}

bool Desk::keep_machine(const Machine& machine, const std::string& was) {
  if (!done([&] { machine_store_.save(machine, was); })) return false;
  look_again();
  if (!was.empty() && was == settings_.machine_name && machine.name != was) {
    Settings changed = settings_;
    changed.machine_name = tidy_name(machine.name);
    set(changed);
  }
  use_machine();
  return true;
}

bool Desk::remove_machine(const std::string& name) {
  if (!done([&] { machine_store_.remove(name); })) return false;
  look_again();
  if (settings_.machine_name == name) choose_machine("");
  use_machine();
  return true;
}

bool Desk::bring_machine_back() {
  std::optional<std::string> name;
  if (!done([&] { name = machine_store_.undo(); }) || !name) return false;
  look_again();
  say(format(tr("The machine %s is there again."), name->c_str()));
  use_machine();
  return true;
}

void Desk::choose_hoop(const std::string& name) {
  const auto hoop =
      std::find_if(parts_.hoops.begin(), parts_.hoops.end(), [&](const vision::Hoop& one) { return one.name == name; });
  if (hoop == parts_.hoops.end()) return say(format(tr("The hoop %s is not taught yet."), name.c_str()), true);
  Settings changed = settings_;
  changed.hoop_name = name;
  set(changed);
  use_hoop(*hoop);
}

void Desk::use_hoop(const vision::Hoop& hoop) {
  if (hoop.name == work_.hoop().name) return;
  if (parts_.reader) parts_.reader->set_hoop(hoop, without(parts_.hoops, hoop.name));
  const std::string before = work_.hoop().name;
  if (const auto piece = work_.set_hoop(hoop)) keep(*piece, work_.job(), before);
  say(format(tr("Hoop: %s"), hoop.name.c_str()));
}

void Desk::take() {
  if (work_.take()) sounds_.push_back(Sound::accepted);
}

void Desk::repeat() { work_.repeat(); }

void Desk::start_over() { work_.start_over(); }

void Desk::pedal() {
  // Before a reading is held the word accepts what a notice asks about.
  if (!work_.cycle().held() || !work_.cycle().taken()) return take();
  repeat();
}

void Desk::set(const Settings& settings) {
  try {
    save_settings(settings, settings_file(parts_.station_file));
  } catch (const calib::FileError& error) {
    return say(error.what(), true);
  }
  if (settings.language != settings_.language) set_language(settings.language);
  settings_ = settings;
}

bool Desk::add_operator(const Operator& one) {
  return done([&] { crew_.add(one); });
}

bool Desk::rename_operator(const std::string& name, const std::string& new_name) {
  const bool chosen = settings_.operator_name == name;
  if (!done([&] { crew_.rename(name, new_name); })) return false;
  const Operator* one = crew_.find(tidy_name(new_name));
  if (one == nullptr || one->name == name) return true;
  log_.keep(Naming{"", "", Naming::Kind::rename, name, one->name});
  if (!chosen) return true;
  Settings changed = settings_;
  changed.operator_name = one->name;
  set(changed);
  return true;
}

void Desk::hide_operator(const std::string& name, bool hidden) {
  log_.keep(Naming{"", "", hidden ? Naming::Kind::hide : Naming::Kind::show, name, ""});
  say(format(hidden ? tr("%s is left out of lists and comparisons; the pieces still count for the shop.")
                    : tr("%s is listed again."),
             name.c_str()));
}

void Desk::anonymise_operator(const std::string& name) {
  const auto work = [this, name](const Beside::Tell& tell) {
    tell(format(tr("Taking %s out of the records ..."), name.c_str()));
    const Anonymised done = log_.anonymise(name);
    const long records = static_cast<long>(done.records), mentions = static_cast<long>(done.mentions);
    std::string words =
        format(tr("%ld record is %s's now.", "%ld records are %s's now.", records), records, done.pseudonym.c_str());
    if (mentions > 0) {
      words += ' ';
      words += format(tr("%ld note still mentions the name.", "%ld notes still mention the name.", mentions), mentions);
    }
    return words;
  };
  // From here on no new record takes the name.
  if (settings_.operator_name == name) choose_operator("");
  const bool begun = beside_.start(work, [this, name](bool well) {
    if (well && crew_.find(name) != nullptr) remove_operator(name);
  });
  if (!begun) say(tr("Something else is being done just now; wait for its end."), true);
}

bool Desk::set_badge(const std::string& name, std::optional<int> badge) {
  for (const StoredJob& stored : jobs_.jobs)
    if (badge && stored.job.ticket == badge) {
      say(format(tr("Card %d is the ticket of the job %s."), *badge, stored.job.name.c_str()), true);
      return false;
    }
  if (!done([&] { crew_.set_badge(name, badge); })) return false;
  say(badge ? format(tr("Badge %d belongs to %s."), *badge, name.c_str())
            : format(tr("%s has no badge now."), name.c_str()));
  return true;
}

bool Desk::remove_operator(const std::string& name) {
  if (!done([&] { crew_.remove(name); })) return false;
  if (settings_.operator_name == name) choose_operator("");
  return true;
}

void Desk::want_line(std::optional<LineWanted> wanted) {
  if (!wanted && !line_wanted_) return;
  line_wanted_ = std::move(wanted);
  if (line_wanted_) line_wanted_->kept_hoop = work_.cycle().kept_hoop();
  line_.reset();
  if (parts_.reader) parts_.reader->set_line(line_wanted_);
}

// The cycle learns, or forgets, where the hoop lies while the line is being looked at.
void Desk::tell_kept_hoop() {
  if (!line_wanted_) return;
  const std::optional<vision::Pose2>& kept = work_.cycle().kept_hoop();
  const std::optional<vision::Pose2>& told = line_wanted_->kept_hoop;
  const bool same = kept.has_value() == told.has_value() &&
                    (!kept || (kept->origin_mm == told->origin_mm && kept->angle_rad == told->angle_rad));
  if (same) return;
  line_wanted_->kept_hoop = kept;
  if (parts_.reader) parts_.reader->set_line(line_wanted_);
}

void Desk::open(ViewId view) {
  const ViewId before = views_.back();
  if (view == ViewId::work) views_.clear();
  if (views_.empty() || views_.back() != view) views_.push_back(view);
  view_changed(before);
}

void Desk::back() {
  const ViewId before = views_.back();
  if (views_.size() > 1) views_.pop_back();
  view_changed(before);
}

// What is laid on the board to be inspected is no new piece: the one in hand is finished first. One that is hooped
// again to be gone on with is the same piece still.
void Desk::view_changed(ViewId before) {
  want_line(std::nullopt);
  work_.set_aside(view() == ViewId::resume);
  if (view() == before) return;
  if (view() == ViewId::inspect) {
    const vision::Hoop hoop = work_.hoop();
    if (const auto piece = work_.set_hoop(hoop)) keep(*piece, work_.job(), hoop.name);
  }
  if (before == ViewId::inspect) work_.start_over();
}

void Desk::say(std::string text, bool bad) {
  message_ = Message{std::move(text), bad};
  message_since_s_.reset();
  if (bad) sounds_.push_back(Sound::problem);
}

void Desk::say_outcome() {
  const auto outcome = beside_.outcome();
  if (!outcome) return;
  outcome->bad ? spdlog::error("{}", outcome->words) : spdlog::info("{}", outcome->words);
  say(outcome->words, outcome->bad);
}

const Message* Desk::message(double now_s) {
  say_outcome();
  if (std::string trouble = log_.trouble(); trouble != log_trouble_) {
    log_trouble_ = std::move(trouble);
    if (!log_trouble_.empty()) {
      spdlog::error("{}", log_trouble_);
      say(log_trouble_, true);
    }
  }
  if (!message_) return nullptr;
  if (!message_since_s_) message_since_s_ = now_s;
  // It was drawn before: the operator knows.
  if (now_s > *message_since_s_ && message_->text == log_trouble_) log_.trouble_shown();
  if (now_s - *message_since_s_ > kMessageShown_s) message_.reset();
  return message_ ? &*message_ : nullptr;
}

std::vector<Sound> Desk::take_sounds() { return std::exchange(sounds_, {}); }

}  // namespace app
