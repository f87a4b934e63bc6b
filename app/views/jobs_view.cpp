// What is hooped: a job chosen from the list, or none.
#include <map>
#include <string>
#include <vector>

#include "app/format.h"
#include "app/units.h"
#include "app/views/page_view.h"
#include "app/views/view_words.h"
#include "app/words/words.h"

namespace app {
namespace {

enum Id { kNoJob = 1000 };

// Pieces that are looked back over when a job's are counted.
constexpr std::size_t kCounted = 5000;

class JobsView : public PageView {
 public:
  void entered(Desk& desk) override {
    PageView::entered(desk);
    desk.look_again();
    count(desk);
  }

 protected:
  PageHeader header(const Desk& desk) const override {
    PageHeader h;
    h.title = tr("Jobs");
    h.headline = desk.settings().job_name.empty() ? tr("Which job?") : desk.settings().job_name;
    return h;
  }

  std::vector<Button> draw_main(Sheet& sheet) override {
    if (pieces_counted_ != sheet.desk.work().pieces()) count(sheet.desk);
    return list_.placed(entries(sheet.desk), sheet.layout.main, sheet.layout.scale,
                        {.columns = sheet.layout.landscape ? 2 : 1, .line_mm = 20.0});
  }

  void pressed(int id, Desk& desk) override {
    if (id == kNoJob) return desk.choose_job("");
    const auto index = static_cast<std::size_t>(id - kNoJob - 1);
    if (index >= desk.jobs().jobs.size()) return;
    const Job job = desk.jobs().jobs[index].job;
    const bool other_hoop = !job.hoop.empty() && job.hoop != desk.work().hoop().name;
    if (!other_hoop || !desk.work().cycle().held()) return desk.choose_job(job.name);
    ask({tr("Choose this job now?"), held_reading_lost(), tr("Choose it"),
         [name = job.name](Desk& d) { d.choose_job(name); }});
  }

 private:
  void count(const Desk& desk) {
    done_.clear();
    for (const PieceRecord& record : desk.log().newest(kCounted)) ++done_[record.job];
    pieces_counted_ = desk.work().pieces();
  }

  std::vector<Button> entries(const Desk& desk) const {
    const std::string& chosen = desk.settings().job_name;
    std::vector<Button> all{view_button(kNoJob, tr("No job"))};
    all.back().detail = tr("any sticker, the usual tolerance");
    all.back().selected = chosen.empty();
    for (const StoredJob& stored : desk.jobs().jobs) {
      all.push_back(view_button(kNoJob + static_cast<int>(all.size()), stored.job.name));
      all.back().detail = about(stored.job, desk.settings().units);
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

  std::string about(const Job& job, Units units) const {
    const std::string hoop = job.hoop.empty() ? tr("any hoop") : job.hoop;
    const std::string stickers =
        job.stickers.empty() ? tr("any sticker") : format(tr("stickers %s"), number_ranges(job.stickers).c_str());
    const std::string tolerance =
        format(tr("within %s and %s°"), length_text(job.tolerance.offset_mm, LengthKind::guide, units).c_str(),
               number(job.tolerance.rotation_deg, 1).c_str());
    const auto found = done_.find(job.name);
    const int done = found != done_.end() ? found->second : 0;
    const std::string pieces =
        job.pieces > 0 ? format(tr("%d of %d done"), done, job.pieces) : format(tr("%d done"), done);
    return hoop + " · " + stickers + " · " + tolerance + " · " + pieces;
  }

  std::map<std::string, int> done_;
  int pieces_counted_ = -1;
};

}  // namespace

std::unique_ptr<StationView> make_jobs_view() { return std::make_unique<JobsView>(); }

}  // namespace app
