#include "app/views/page_view.h"
#include "app/words/words.h"

namespace app {
namespace {

class MachinesView : public PageView {
 protected:
  PageHeader header(const Desk&) const override {
    PageHeader h;
    h.title = tr("Machines");
    return h;
  }
  std::vector<Button> draw_main(Sheet&) override { return {}; }
  void pressed(int, Desk&) override {}
};

}  // namespace

std::unique_ptr<StationView> make_machines_view() { return std::make_unique<MachinesView>(); }

}  // namespace app
