// What is hooped: a job chosen from the list, or none; jobs are made, changed and removed from here.
#include <string>
#include <vector>

#include "app/format.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id { kNew = 1, kChange, kRemove, kUndo, kNoJob = 1000 };

class JobsView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    desk.look_again();
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Jobs");
    h.headline = desk.settings().job_name.empty() ? tr("Which job?") : desk.settings().job_name;
    return h;
  }

  std::vector<Button> row(const Desk& desk) const override {
    const bool any = !desk.settings().job_name.empty();
    return {view_button(kNew, tr("New")), view_button(kChange, tr("Change"), 0, any),
            view_button(kRemove, tr("Remove"), 0, any), view_button(kUndo, tr("Undo"), 0, desk.can_undo_job())};
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    return list_.placed(entries(sheet.desk), sheet.layout.main, sheet.layout.scale,
                        {.columns = sheet.layout.landscape ? 2 : 1, .line_mm = 20.0});
  }

  void pressed(int id, Desk& desk) override {
    const std::string chosen = desk.settings().job_name;
    switch (id) {
      case kNew:
        return desk.open_job("");
      case kChange:
        return desk.open_job(chosen);
      case kRemove:
        return ask({format(tr("Remove %s?"), chosen), tr("Its file is put aside; the records keep its name."),
                    tr("Remove"), [chosen](Desk& d) { d.remove_job(chosen); }});
      case kUndo:
        desk.undo_job();
        return;
      case kNoJob:
        return desk.choose_job("");
      default:
        break;
    }
    const auto index = static_cast<std::size_t>(id - kNoJob - 1);
    if (index >= desk.jobs().jobs.size()) return;
    const Job job = desk.jobs().jobs[index].job;
    const bool other_hoop = !job.hoop.empty() && job.hoop != desk.work().hoop().name;
    if (!other_hoop || !desk.work().cycle().held()) return desk.choose_job(job.name);
    ask({tr("Choose this job now?"), held_reading_lost(), tr("Choose it"),
         [name = job.name](Desk& d) { d.choose_job(name); }});
  }

 private:
  static std::vector<Button> entries(const Desk& desk) {
    const std::string& chosen = desk.settings().job_name;
    std::vector<Button> all{view_button(kNoJob, tr("No job"))};
    all.back().detail = tr("any sticker, the usual tolerance");
    all.back().selected = chosen.empty();
    for (const StoredJob& stored : desk.jobs().jobs) {
      all.push_back(view_button(kNoJob + static_cast<int>(all.size()), stored.job.name));
      all.back().detail = about(stored.job, desk);
      all.back().selected = stored.job.name == chosen;
    }
    for (std::size_t i = 0; i < all.size(); ++i) {
      if (all[i].selected) all[i].note = tr("chosen");
      if (i <= 9) all[i].key = SDLK_0 + static_cast<int>(i);
    }
    for (const DamagedJob& damaged : desk.jobs().damaged)
      all.push_back(damaged_entry(kNoJob + static_cast<int>(all.size()), damaged.file, damaged.message));
    return all;
  }

  static std::string about(const Job& job, const Desk& desk) {
    const Units units = desk.settings().units;
    const std::string hoop = job.hoop.empty() ? tr("any hoop") : job.hoop;
    const std::string stickers =
        !job.placed_stickers.empty() ? format(tr("%d stickers on each"), static_cast<int>(job.placed_stickers.size()))
        : job.stickers.empty()       ? tr("any sticker")
                                     : format(tr("stickers %s"), number_ranges(job.stickers).c_str());
    const std::string tolerance =
        format(tr("within %s and %s°"), length_text(job.tolerance.offset_mm, LengthKind::guide, units).c_str(),
               number(job.tolerance.rotation_deg, 1).c_str());
    const int done = static_cast<int>(desk.log().count_of_job(job.name));
    const std::string pieces =
        job.pieces > 0 ? format(tr("%d of %d done"), done, job.pieces) : format(tr("%d done"), done);
    const std::string place = job.place.name.empty() ? "" : tr(job.place.name) + " · ";
    return place + hoop + " · " + stickers + " · " + tolerance + " · " + pieces;
  }
};

}  // namespace

std::unique_ptr<StationView> make_jobs_view() { return std::make_unique<JobsView>(); }

}  // namespace app
