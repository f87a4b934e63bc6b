#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

class JobView : public PageView {
 protected:
  PageHeader header(const Desk&) const override {
    PageHeader h;
    h.title = tr("Job");
    return h;
  }
  std::vector<Button> draw_main(Sheet&) override { return {}; }
  void pressed(int, Desk&) override {}
};

}  // namespace

std::unique_ptr<StationView> make_job_view() { return std::make_unique<JobView>(); }

}  // namespace app
