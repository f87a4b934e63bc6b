// The whole measuring of the station, played from the rendered work without threads: frames at chosen times go through
// reader and work, and what came of them is kept.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "app/render/demo_station.h"
#include "app/render/renderer.h"
#include "app/render/work_cycle.h"
#include "app/work/hoop_reader.h"
#include "app/work/work.h"

// The demo camera with half its resolution: stickers are still read, frames take a third of the time.
inline vision::Station half_size_station() {
  vision::Station station = app::demo_station();
  vision::Lens& lens = station.lens;
  lens.width_px /= 2, lens.height_px /= 2;
  lens.fx *= 0.5, lens.fy *= 0.5;
  lens.cx = 0.5 * (lens.cx + 0.5) - 0.5, lens.cy = 0.5 * (lens.cy + 0.5) - 0.5;
  return station;
}

inline std::vector<vision::Hoop> other_hoops(const vision::Hoop& hoop) {
  std::vector<vision::Hoop> others;
  for (vision::Hoop& made : app::demo_hoops())
    if (made.name != hoop.name) others.push_back(std::move(made));
  return others;
}

class StationPlay {
 public:
  // With a mishap in the first piece.
  explicit StationPlay(const vision::Hoop& its_hoop, app::Mishap mishap = app::Mishap::none, std::uint64_t seed = 5)
      : hoop(its_hoop),
        script(hoop, app::demo_camera_place(), seed),
        reader(half_size_station(), hoop, other_hoops(hoop)),
        work(half_size_station(), hoop),
        renderer_(half_size_station(), hoop) {
    script.let_happen(0, mishap);
  }

  // The script from one time to another, seconds, so many frames a second.
  void play(double from_s, double to_s, double frames_per_s) {
    for (double t = from_s; t < to_s; t += 1.0 / frames_per_s) frame(t);
  }
  // A piece as it goes, with fewer frames where nothing happens.
  void play_piece(int piece) {
    const double start = piece * app::WorkCycle::seconds_per_piece();
    play(start + 0.6, start + 2.4, 6.0);
    play(start + 2.4, start + 10.5, 0.6);
    play(start + 10.8, start + 12.9, 8.0);
    play(start + 13.0, start + 16.6, 1.0);
    play(start + 16.8, start + 18.9, 2.5);
  }
  void frame(double script_s) {
    moment = script.at(script_s);
    if (moment.other_hoop != shown_hoop_) renderer_.set_hoop(moment.other_hoop != nullptr ? *moment.other_hoop : hoop);
    shown_hoop_ = moment.other_hoop;
    app::Measured measured;
    measured.frame.grey = renderer_.render(moment.scene, ++frames_);
    measured.frame.time_s = script_s + clock_s;
    measured.result = reader.read(measured.frame.grey);
    measured.other_hoop = reader.other_hoop();
    keep(work.see(measured));
  }
  bool noticed(app::CycleNotice notice) const {
    return std::find(notices.begin(), notices.end(), notice) != notices.end();
  }

  vision::Hoop hoop;
  app::WorkCycle script;
  app::CycleMoment moment;
  app::HoopReader reader;
  app::Work work;
  double clock_s = 100.0;  // of the frames when the script begins

  std::vector<app::Phase> phases;  // each change
  std::vector<app::CycleNotice> notices;
  std::vector<app::HoopedPiece> pieces;
  std::vector<int> cards;
  std::vector<std::string> other_hoops_seen;
  int locked = 0;

 private:
  void keep(const app::WorkNews& news) {
    if (news.piece) pieces.push_back(*news.piece);
    locked += news.locked ? 1 : 0;
    cards.insert(cards.end(), news.cards.begin(), news.cards.end());
    if (!news.other_hoop.empty()) other_hoops_seen.push_back(news.other_hoop);
    if (phases.empty() || phases.back() != work.cycle().phase()) phases.push_back(work.cycle().phase());
    if (notices.empty() || notices.back() != work.cycle().notice()) notices.push_back(work.cycle().notice());
  }

  app::Renderer renderer_;
  const vision::Hoop* shown_hoop_ = nullptr;
  std::uint64_t frames_ = 0;
};
