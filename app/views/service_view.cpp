// How the station is: camera, measuring, computer, versions, trouble; and its backup on a stick. A figure that cannot
// be told is a dash with a word.
#include <algorithm>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/backup/backup.h"
#include "app/backup/sticks.h"
#include "app/format.h"
#include "app/screen/text_block.h"
#include "app/system/logs.h"
#include "app/system/machine_state.h"
#include "app/system/versions.h"
#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id { kFigures = 1, kWarnings, kBackUp, kRestore };

constexpr double kMachineEvery_s = 2.0;
constexpr double kMergeWait_s = 10.0;

struct Figure {
  std::string name, value;
  bool bad = false;
};

struct Group {
  std::string title;
  std::vector<Figure> figures;
};

std::string unknown(const char* why) { return format(tr("- (%s)"), tr(why)); }

std::string with_unit(double value, int decimals, const char* pattern) {
  return format(tr(pattern), number(value, decimals).c_str());
}

std::string bytes(const std::optional<std::uint64_t>& count) {
  if (!count) return unknown(noop("not told"));
  const double mb = static_cast<double>(*count) / 1e6;
  return mb >= 10000.0 ? with_unit(mb / 1000.0, 0, noop("%s GB")) : with_unit(mb, 0, noop("%s MB"));
}

std::string duration(const std::optional<double>& seconds) {
  if (!seconds) return unknown(noop("not told"));
  const long minutes = static_cast<long>(*seconds) / 60;
  if (minutes < 60) return format(tr("%ld min"), minutes);
  if (minutes < 48 * 60) return format(tr("%ld h %ld min"), minutes / 60, minutes % 60);
  return format(tr("%ld day", "%ld days", minutes / 1440), minutes / 1440);
}

std::string pieces_words(long n) { return format(tr("%ld piece", "%ld pieces", n), n); }

Group camera_group(const Desk& desk) {
  const Health& h = desk.health;
  const bool any = h.frames > 0;
  const auto measured = [&](double value, int decimals, const char* pattern) {
    return any && value > 0.0 ? with_unit(value, decimals, pattern) : unknown(noop("not measured"));
  };
  Group g{tr("Camera and measuring"), {}};
  g.figures = {{tr("Frames from"), h.source.empty() ? unknown(noop("nothing")) : tr(h.source)},
               {tr("Frames"), measured(h.frames_per_s, 1, noop("%s per second"))},
               {tr("Exposure to screen"), measured(h.latency_ms, 0, noop("%s ms"))},
               {tr("Measuring a frame"), measured(h.measuring_ms, 1, noop("%s ms"))},
               {tr("Frames dropped"),
                any ? format(tr("%ld of %ld"), h.dropped, h.dropped + h.frames) : unknown(noop("no frames yet"))}};
  if (h.stale && h.trouble.empty()) g.figures.push_back({tr("Trouble"), tr("no frame comes any more"), true});
  if (!h.trouble.empty()) g.figures.push_back({tr("Trouble"), tr(h.trouble), true});
  return g;
}

Group board_group(const Desk& desk) {
  const Work& work = desk.work();
  Group g{tr("Board and proof"), {}};
  const std::size_t surveyed = work.station().board_marks.size();
  g.figures.push_back({tr("Board marks seen"), work.seen()
                                                   ? format(tr("%zu of %zu"), work.seen()->board_marks.size(), surveyed)
                                                   : unknown(noop("no frame"))});
  const auto& knock = work.board().knock();
  const std::string knocked =
      knock ? format(tr("moved by %s mm, corrected"), number(knock->way_mm, 1).c_str()) : std::string(tr("no"));
  g.figures.push_back({tr("Camera knocked"), work.seen() ? knocked : unknown(noop("no frame")), knock.has_value()});
  g.figures.push_back(
      {tr("Proof"), desk.health.proof.empty() ? unknown(noop("none")) : desk.health.proof, desk.health.proof_wanted});
  return g;
}

Group computer_group(const MachineState& m, const Desk& desk) {
  return {tr("Computer"),
          {{tr("Temperature"),
            m.temperature_c ? with_unit(*m.temperature_c, 0, noop("%s °C")) : unknown(noop("no sensor"))},
           {tr("Disk free"), bytes(m.disk_free_bytes)},
           {tr("Memory used"), bytes(m.resident_bytes)},
           {tr("Program runs for"), duration(m.program_s)},
           {tr("Computer runs for"), duration(m.machine_s)},
           {tr("Display"), desk.health.display.empty() ? unknown(noop("not told")) : desk.health.display}}};
}

Group version_group(const MachineState& m) {
  Group g{tr("Versions"), {}};
  for (const auto& [name, version] : library_versions())
    g.figures.push_back({name, version.empty() ? unknown(noop("not told")) : version});
  g.figures.push_back({"Linux", m.kernel.empty() ? unknown(noop("not told")) : m.kernel});
  return g;
}

Group log_group(const Desk& desk) {
  const std::string trouble = desk.log().trouble();
  Group g{tr("Records"), {}};
  g.figures.push_back({tr("Keeping"), trouble.empty() ? std::string(tr("in order")) : trouble, !trouble.empty()});
  g.figures.push_back({tr("Waiting for the disk"), pieces_words(static_cast<long>(desk.log().waiting()))});
  if (const std::string sharing = desk.sharing(); !sharing.empty()) g.figures.push_back({tr("Sharing"), sharing});
  return g;
}

Group backup_group(const Desk& desk, const std::vector<Stick>& sticks) {
  const Beside::Outcome& last = desk.beside().last();
  const std::string doing = desk.beside().doing();
  Group g{tr("Backup"), {}};
  g.figures.push_back({tr("Stick"), sticks.empty() ? unknown(noop("none is plugged in")) : sticks[0].folder.string()});
  if (!doing.empty()) g.figures.push_back({tr("Just now"), doing});
  if (doing.empty() && !last.words.empty()) g.figures.push_back({tr("Done last"), last.words, last.bad});
  return g;
}

std::string back_up(Desk& desk, const Stick& stick, const Beside::Tell& tell) {
  tell(tr("Writing what waits ..."));
  desk.log().merge(kMergeWait_s);  // where that fails the journal is copied as well
  const BackedUp done = backup_to(stick.folder, desk.station_file(), {.station = desk.station_name()}, tell);
  const long pieces = static_cast<long>(done.pieces);
  return format(tr("Backed up and read back: %ld piece, in %s.", "Backed up and read back: %ld pieces, in %s.", pieces),
                pieces, done.folder.filename().string());
}

std::string restore(Desk& desk, const Stick& stick, const Beside::Tell& tell) {
  tell(tr("Writing what waits ..."));
  desk.log().merge(kMergeWait_s);
  const Restored done = restore_from(stick.folder, desk.station_file(), desk.station_name(), tell);
  desk.log().changed_beside();
  const long pieces = static_cast<long>(done.pieces), files = static_cast<long>(done.files);
  std::string words =
      format(tr("Restored from %s: %ld piece was not here.", "Restored from %s: %ld pieces were not here.", pieces),
             done.folder.filename().string(), pieces);
  if (files > 0) {
    words += ' ';
    words += format(tr("%ld file came too; it holds from the next start.",
                       "%ld files came too; they hold from the next start.", files),
                    files);
  }
  if (!done.notice.empty()) words += ' ' + done.notice;
  return words;
}

class ServiceView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    warnings_ = false;
    read_at_s_.reset();
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Service");
    h.right = desk.station_file().parent_path().string();
    if (warnings_) {
      h.headline = tr("The last warnings");
      return h;
    }
    if (const std::string doing = desk.beside().doing(); !doing.empty()) {
      h.headline = doing;
      return h;
    }
    const Health& health = desk.health;
    if (!health.trouble.empty() || !desk.log().trouble().empty() || health.stale) {
      h.headline = tr("Something is wrong");
      h.mood = PageMood::bad;
    } else if (health.frames == 0) {
      h.headline = tr("No frame was measured yet");
    } else if (health.proof_wanted) {
      h.headline = tr("A new proof is wanted");
    } else {
      h.headline = tr("Frames come, nothing is wrong");
      h.mood = PageMood::good;
    }
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    const long n = static_cast<long>(logged_.size());
    Button figures = view_button(kFigures, tr("Figures"));
    Button warnings = view_button(kWarnings, format(tr("Warnings: %ld"), n));
    figures.selected = !warnings_;
    warnings.selected = warnings_;
    const bool can = !sticks_.empty() && !desk.beside().running();
    return {figures, warnings, view_button(kBackUp, tr("Back up to the stick"), 0, can),
            view_button(kRestore, tr("Restore from the stick"), 0, can)};
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    if (!read_at_s_ || sheet.now_s - *read_at_s_ >= kMachineEvery_s || sheet.now_s < *read_at_s_) {
      machine_ = machine_state(sheet.desk.station_file().parent_path());
      sticks_ = sticks();
      logged_ = last_warnings();
      std::reverse(logged_.begin(), logged_.end());
      read_at_s_ = sheet.now_s;
    }
    if (warnings_) {
      draw_warnings(sheet);
      return {};
    }
    const std::vector<std::vector<Group>> columns{{camera_group(sheet.desk), log_group(sheet.desk)},
                                                  {board_group(sheet.desk), computer_group(machine_, sheet.desk)},
                                                  {version_group(machine_), backup_group(sheet.desk, sticks_)}};
    draw_columns(sheet, columns);
    return {};
  }

  void pressed(int id, Desk& desk) override {
    if (id == kFigures || id == kWarnings) {
      warnings_ = id == kWarnings;
      return;
    }
    if (sticks_.empty()) return;
    const Stick stick = sticks_[0];
    if (id == kBackUp) {
      desk.beside().start([&desk, stick](const Beside::Tell& tell) { return back_up(desk, stick, tell); });
      return;
    }
    ask({tr("Bring back what the stick has?"),
         tr("Records and files that are missing here come in from its newest backup. Nothing that is here is changed."),
         tr("Restore"), [stick](Desk& d) {
           d.beside().start([&d, stick](const Beside::Tell& tell) { return restore(d, stick, tell); });
         }});
  }

 private:
  static void draw_columns(Sheet& sheet, const std::vector<std::vector<Group>>& columns) {
    const ViewLayout& layout = sheet.layout;
    const float gap = layout.scale.mm(2.0);
    std::vector<std::vector<Group>> placed = columns;
    if (!layout.landscape) {  // two columns: the third below the first
      placed[0].insert(placed[0].end(), columns[2].begin(), columns[2].end());
      placed.pop_back();
    }
    const std::vector<float> shares = layout.landscape ? std::vector{0.37F, 0.37F, 0.26F} : std::vector{0.5F, 0.5F};
    float x = layout.main.x;
    const float width = layout.main.w - gap * static_cast<float>(placed.size() - 1);
    for (std::size_t i = 0; i < placed.size(); ++i) {
      const SDL_FRect area{x, layout.main.y, shares[i] * width, layout.main.h};
      draw_groups(sheet, area, placed[i]);
      x += area.w + gap;
    }
  }

  static void draw_groups(Sheet& sheet, const SDL_FRect& area, const std::vector<Group>& groups) {
    const Scale& scale = sheet.layout.scale;
    sheet.canvas.rounded_rect(area, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(2.4);
    const SDL_FRect room{area.x + pad, area.y + pad, area.w - 2.0F * pad, area.h - 2.0F * pad};
    const TextStyle title{Weight::bold, scale.text_mm(2.5)}, small{Weight::regular, scale.text_mm(2.3)};
    // The pitch that lets all of it stand, at most a comfortable one.
    const auto height = [&](float pitch) {
      float y = 0.0F;
      for (const Group& group : groups) {
        y += 1.25F * pitch + 0.4F * pitch;
        for (const Figure& figure : group.figures)
          y += pitch + pitch * 0.85F * static_cast<float>(value_lines(sheet, small, room, figure) - 1);
      }
      return y;
    };
    float pitch = scale.mm(5.2);
    while (pitch > scale.mm(3.4) && height(pitch) > room.h) pitch -= 0.5F;
    if (height(pitch) > room.h + pitch) sheet.text.did_not_fit(groups.back().title);
    float y = room.y;
    for (const Group& group : groups) {
      sheet.text.draw(title, {room.x, y + static_cast<float>(title.height_px)}, group.title, theme::kText);
      y += 1.25F * pitch;
      for (const Figure& figure : group.figures) y = draw_figure(sheet, small, room, y, pitch, figure);
      y += 0.4F * pitch;
    }
  }

  // Name at the left; the value at the right, on lines of its own when it is long.
  static std::size_t value_lines(Sheet& sheet, const TextStyle& style, const SDL_FRect& room, const Figure& figure) {
    const float name = sheet.text.width(style, figure.name) + sheet.layout.scale.mm(2.0);
    if (name + sheet.text.width(style, figure.value) <= room.w) return 1;
    return 1 + sheet.text.wrap(style, figure.value, room.w - sheet.layout.scale.mm(3.0)).size();
  }

  static float draw_figure(Sheet& sheet, const TextStyle& style, const SDL_FRect& room, float y, float pitch,
                           const Figure& figure) {
    const float base = y + static_cast<float>(style.height_px);
    const Colour colour = figure.bad ? theme::kTrouble : theme::kText;
    sheet.text.draw(style, {room.x, base}, figure.name, theme::kTextQuiet);
    const std::size_t lines = value_lines(sheet, style, room, figure);
    if (lines == 1) {
      sheet.text.draw_right(style, {room.x + room.w, base}, figure.value, colour);
      return y + pitch;
    }
    const float in = sheet.layout.scale.mm(3.0);
    float at = base;
    for (const std::string_view line : sheet.text.wrap(style, figure.value, room.w - in)) {
      at += 0.85F * pitch;
      sheet.text.draw(style, {room.x + in, at}, line, colour);
    }
    return y + pitch + 0.85F * pitch * static_cast<float>(lines - 1);
  }

  void draw_warnings(Sheet& sheet) const {
    const ViewLayout& layout = sheet.layout;
    if (logged_.empty())
      return draw_nothing(sheet.canvas, sheet.text, layout, layout.main, tr("Nothing was logged since the start."));
    const Scale& scale = layout.scale;
    sheet.canvas.rounded_rect(layout.main, scale.mm(1.2), theme::kPanel);
    const float pad = scale.mm(3.0);
    draw_paragraphs(sheet.text, {Weight::regular, scale.text_mm(2.6)},
                    {layout.main.x + pad, layout.main.y + pad, layout.main.w - 2.0F * pad, layout.main.h - 2.0F * pad},
                    logged_, scale.mm(1.8), theme::kText);
  }

  bool warnings_ = false;
  std::optional<double> read_at_s_;
  MachineState machine_;
  std::vector<Stick> sticks_;
  std::vector<std::string> logged_;  // the newest first
};

}  // namespace

std::unique_ptr<StationView> make_service_view() { return std::make_unique<ServiceView>(); }

}  // namespace app
