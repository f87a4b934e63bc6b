#include "app/work/work_words.h"

#include "app/advice.h"
#include "app/cycle/seen_parts.h"
#include "app/format.h"
#include "app/words/words.h"

namespace app {
namespace {

using vision::Status;

struct Lines {
  const char* headline;
  const char* sentence;
  WorkMood mood;
};

constexpr Lines kStarting{noop("Waiting for the camera"), noop("The next picture has not come yet."), WorkMood::todo};

constexpr Lines kSetHoop{noop("Set the hoop"), noop("Lay the outer ring in its place on the board."), WorkMood::todo};
constexpr Lines kRingSeen{noop("Let go of the ring"), noop("The ring is seen; its place is being taken."),
                          WorkMood::hold_still};
constexpr Lines kClothWithoutRing{
    noop("Set the hoop"), noop("The ring is not seen: lift the cloth off it for a moment, or press the ring in."),
    WorkMood::todo};

constexpr Lines kLayCloth{noop("Lay the cloth"), noop("Lay the cloth over the ring, with the target sticker face up."),
                          WorkMood::todo};
constexpr Lines kMoveCloth{noop("Move the cloth"), noop("Slide and turn the cloth as shown."), WorkMood::todo};
constexpr Lines kPressNow{noop("Press the ring in"), noop("The cloth lies right. Press the inner ring in evenly."),
                          WorkMood::done};

constexpr Lines kPress{noop("Press the ring in"), noop("Press evenly, then take your hands off."), WorkMood::todo};
constexpr Lines kHoldStill{noop("Hold still"), noop("Hands off: the reading is being taken."), WorkMood::hold_still};

constexpr Lines kEnter{noop("Enter at the machine"), noop("The cloth lies right. Enter these numbers at the machine."),
                       WorkMood::done};
constexpr Lines kEnterOff{noop("Enter, or hoop again"),
                          noop("The cloth lies outside the tolerance: enter these numbers, or press the ring anew."),
                          WorkMood::todo};
constexpr Lines kTaken{noop("Lift the hoop out"), noop("Taken. Lift the hoop out and bring it to the machine."),
                       WorkMood::done};

constexpr Lines kLifting{noop("Hoop out of sight"), noop("As soon as it is gone, the piece is written down."),
                         WorkMood::done};

constexpr Lines kShifted{noop("The ring shifted"),
                         noop("It moved while the cloth was laid. Check how the cloth lies; press anew if it is off."),
                         WorkMood::problem};
constexpr Lines kSlipped{noop("The cloth moved"),
                         noop("Cloth or ring moved since the reading was taken. Take the reading again."),
                         WorkMood::problem};
constexpr Lines kOverSticker{noop("Ring on the sticker"),
                             noop("The ring lies over the sticker's paper. Lift it, move the cloth and press again."),
                             WorkMood::problem};
constexpr Lines kWrongSticker{noop("Wrong sticker"),
                              noop("This sticker is not one of the job's. Change the garment, or choose its job."),
                              WorkMood::problem};
constexpr Lines kSecondSticker{noop("Second sticker"), noop("Take away all stickers but the one that counts."),
                               WorkMood::problem};
constexpr Lines kDisagree{noop("Stickers disagree"),
                          noop("They do not lie as the job says. Check their places, their numbers and the job."),
                          WorkMood::problem};
constexpr Lines kReversed{noop("Hoop the wrong way round"),
                          noop("Its north and the sticker's arrow point apart. Turn it, or accept it as it lies."),
                          WorkMood::problem};
constexpr Lines kReversedAlone{noop("Hoop the wrong way round"),
                               noop("Its north points the other way than before. Turn it round, or go on as it lies."),
                               WorkMood::problem};
constexpr Lines kWrongHoop{
    noop("Wrong hoop"), noop("The hoop %s lies there; %s is wanted. Change the hoop or the job."), WorkMood::problem};

WorkWords said(const Lines& lines) { return {tr(lines.headline), tr(lines.sentence), lines.mood}; }

// Nothing is to be read while this holds, whatever the phase.
WorkWords said(Status status, WorkMood mood) {
  return {tr(std::string(headline(status))), tr(std::string(advice(status))), mood};
}

const Lines* lines_of(CycleNotice notice) {
  switch (notice) {
    case CycleNotice::none:
      return nullptr;
    case CycleNotice::hoop_shifted:
      return &kShifted;
    case CycleNotice::cloth_slipped:
      return &kSlipped;
    case CycleNotice::ring_over_sticker:
      return &kOverSticker;
    case CycleNotice::wrong_sticker:
      return &kWrongSticker;
    case CycleNotice::second_sticker:
      return &kSecondSticker;
    case CycleNotice::hoop_reversed:
      return &kReversed;
    case CycleNotice::wrong_hoop:
      return &kWrongHoop;
    case CycleNotice::stickers_disagree:
      return &kDisagree;
  }
  return nullptr;
}

WorkWords notice_words(const Work& work, CycleNotice notice) {
  if (notice == CycleNotice::hoop_reversed && work.seen() && work.seen()->stickers.empty()) return said(kReversedAlone);
  WorkWords words = said(*lines_of(notice));
  if (notice == CycleNotice::wrong_hoop)
    words.sentence = format(words.sentence.c_str(), work.other_hoop().c_str(), work.hoop().name.c_str());
  return words;
}

WorkWords set_hoop_words(const Work& work) {
  const vision::FrameResult& seen = *work.seen();
  if (ring_alone(seen)) return said(kRingSeen);
  const Status status = work.said_status();
  if (!seen.stickers.empty()) return said(kClothWithoutRing);
  if (status == Status::ring_covered || status == Status::which_way_up) return said(status, WorkMood::todo);
  return said(kSetHoop);
}

WorkWords lay_cloth_words(const Work& work) {
  if (work.shown()) return said(work.within().both() ? kPressNow : kMoveCloth);
  if (work.seen()->stickers.empty()) return said(kLayCloth);
  return said(work.seen()->design.stickers.size() > 1 ? Status::sticker_missing : Status::sticker_covered,
              WorkMood::todo);
}

WorkWords press_words(const Work& work) {
  if (ring_and_sticker(*work.seen())) return said(kHoldStill);
  const Status status = work.said_status();
  if (status == Status::sticker_covered || status == Status::which_way_up || status == Status::sticker_missing)
    return said(status, WorkMood::todo);
  return said(kPress);
}

WorkWords phase_words(const Work& work) {
  const HoopingCycle& cycle = work.cycle();
  switch (cycle.phase()) {
    case Phase::set_hoop:
      return set_hoop_words(work);
    case Phase::lay_cloth:
      return lay_cloth_words(work);
    case Phase::press:
      return press_words(work);
    case Phase::enter:
      if (cycle.taken()) return said(kTaken);
      return said(work.within().both() ? kEnter : kEnterOff);
    case Phase::lift:
      return said(kLifting);
  }
  return said(kStarting);
}

}  // namespace

WorkWords work_words(const Work& work) {
  const HoopingCycle& cycle = work.cycle();
  if (cycle.notice() != CycleNotice::none) return notice_words(work, cycle.notice());
  // What is held is shown whatever the camera sees.
  if (cycle.held()) return phase_words(work);
  if (!work.seen()) return said(kStarting);
  if (blind(work.said_status())) return said(work.said_status(), WorkMood::problem);
  return phase_words(work);
}

std::string notice_headline(CycleNotice notice) {
  const Lines* lines = lines_of(notice);
  return lines == nullptr ? "" : tr(lines->headline);
}

}  // namespace app
